"""Two stabilised approaches: one with power, one without, each held against its own gate."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.flights import MARK, Bench
from lessonkit.lessons.power_off_approach.profiles_picture import (
    criterion_text,
    draw,
    make_scene,
    say_it,
)
from lessonkit.models.airspeed import cas_from_tas, tas_from_cas
from lessonkit.models.approach_geometry import descent_rate_on_path
from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_approach import COARSE_STEP, DRAFT_STEP, fly
from lessonkit.models.stabilised_approach import (
    POWER_OFF,
    POWERED,
    Criterion,
    Final,
    Profile,
    assess,
)
from lessonkit.models.wind_profile import wind_growth
from lessonkit.panels import NumberControl, Panel, Prediction
from lessonkit.units import m_from_ft, mps_from_fpm, mps_from_kt
from lessonkit.words import show

POWERED_PATH_DEG = 4.0  # a usual path of a light airplane with power; common practice, no source
START_HEIGHT = m_from_ft(1000.0)
FADES_BY = m_from_ft(150.0)  # a pilot who is fast at the gate is on speed by here; no source
STEPS = 120
ROUNDED_OUT = m_from_ft(30.0)


@dataclass(frozen=True)
class Held:
    """One approach and how it stands against its profile."""

    profile: Profile
    x: np.ndarray  # from the threshold [m]
    final: Final
    criteria: tuple[Criterion, ...]

    @property
    def go_on(self) -> bool:
        """Whether everything holds."""
        return all(one.met for one in self.criteria)


@dataclass(frozen=True)
class Both:
    """Both approaches for the controls' values."""

    values: dict[str, Any]
    powered: Held
    power_off: Held | None  # None where the power-off approach does not pass its gate
    final_cas: float


class ProfileBench:
    """Flies both approaches in the learner's airplane."""

    def __init__(self, context):
        self.bench = Bench(context)
        self.airplane = context.airplane

    def draft(self, values: dict[str, Any]) -> Both:
        """Fly while a control moves."""
        return self._both(values, DRAFT_STEP)

    def fly(self, values: dict[str, Any]) -> Both:
        """Fly once the controls rest."""
        return self._both(values, COARSE_STEP)

    def _both(self, values, step):
        powered = replace(
            POWERED, gate_height=values["powered_gate"], sink_limit=values["sink_limit"]
        )
        power_off = replace(POWER_OFF, gate_height=values["power_off_gate"])
        x, final = self._powered(values)
        held = Held(powered, x, final, self._assessed(final, powered))
        return Both(values, held, self._power_off(values, power_off, step), self.bench.final_cas)

    def _assessed(self, final, profile):
        return assess(final, profile, self.bench.final_cas, self.airplane.landing_flap_deg)

    def _powered(self, values):
        """Return a straight path held with power; the sink follows from path and ground speed."""
        height = np.linspace(START_HEIGHT, ROUNDED_OUT / 2.0, STEPS)
        slope = np.tan(np.radians(POWERED_PATH_DEG))
        cas = self.bench.final_cas + _fading(height, values["powered_gate"], values["fast"])
        growth = wind_growth(height, self.bench.wind(_calm()).exponent)[0]
        ground_speed = tas_from_cas(cas, self.bench.airfield.elevation + height)
        ground_speed = ground_speed - values["headwind"] * growth
        late = values["late"]
        final = Final(
            height=height,
            offset=np.zeros(STEPS),
            bank_deg=np.where(height > late, 25.0, 0.0),
            flap_deg=self._flaps(height, values["flaps_by"]),
            cas=cas,
            sink_rate=descent_rate_on_path(ground_speed, POWERED_PATH_DEG),
        )
        return MARK - height / slope, final

    def _flaps(self, height, flaps_by):
        flaps = self.airplane.flap_deg
        before = flaps[min(1, len(flaps) - 1)]
        set_share = smooth_step(flaps_by - height, -m_from_ft(30.0), 0.0)
        return before + (flaps[-1] - before) * set_share

    def _power_off(self, values, profile, step):
        """Fly the bench's approach, fast and lined up late as asked; flaps by height."""
        bench = self.bench
        settings = {**bench.start, "headwind": values["headwind"]}
        plan = bench.plan(settings)
        plan = replace(
            plan,
            final_cas=plan.final_cas + values["fast"],
            final_turn_delay=self._late_turn(values, profile),
        )
        approach = fly(plan, bench.airplane.parameters(), bench.wind(settings), step)
        history = approach.history
        on_final = np.abs(history.heading_deg) < 80.0
        on_final &= history.height <= START_HEIGHT
        if not on_final.any() or history.height[on_final].max() < profile.gate_height:
            return None
        rows = {name: getattr(history, name)[on_final] for name in ("height", "y", "bank_deg")}
        altitude = bench.airfield.elevation + rows["height"]
        speed = history.true_airspeed[on_final]
        path = np.radians(history.path_angle_deg[on_final])
        final = Final(
            height=rows["height"],
            offset=rows["y"],
            bank_deg=rows["bank_deg"],
            flap_deg=np.minimum(
                history.flap_lever_deg[on_final], self._flaps(rows["height"], values["flaps_by"])
            ),
            cas=cas_from_tas(speed, altitude),
            sink_rate=-speed * np.sin(path),
        )
        return Held(profile, history.x[on_final], final, self._assessed(final, profile))

    def _late_turn(self, values, profile):
        """Return how late the turn to final is begun for a roll-out that is lower than usual."""
        lower = max(profile.gate_height + m_from_ft(30.0) - values["late"], 0.0)
        return min(lower / m_from_ft(100.0), 3.0)


def _calm():
    return {"headwind": 0.0, "crosswind": 0.0}


def _fading(height, gate, deviation):
    """Return a speed deviation that is whole at the gate and gone shortly above the runway."""
    return deviation * smooth_step(height, min(FADES_BY, 0.5 * gate), gate)


def stabilised_profiles(context) -> Panel:
    """Return the panel that holds two approaches against their profiles."""
    bench = ProfileBench(context)
    gate = None

    def show_both(scene, both, values):
        asked = gate is None or gate.status == "open"
        draw(scene, both, context, verdicts=not asked)
        return say_it(context, "say.asked") if asked else sentence(both, context)

    panel = Panel(
        context,
        "stabilised_profiles",
        title=say_it(context, "title"),
        scene=make_scene(context),
        controls=_controls(bench, context),
        more=_more(context),
        compute=bench.draft,
        full=bench.fly,
        draw=show_both,
        prediction=_prediction(context),
    )
    gate = panel.prediction
    gate.on_done(panel.update)  # until then the picture keeps the verdicts to itself
    return panel


def _number(context, key, kind, value, low, high, step):
    text = say_it(context, f"control.{key}")
    return NumberControl(
        key, text, kind, value=value, low=low, high=high, step=step, preferences=context.preferences
    )


def _controls(bench, context):
    foot, knot = m_from_ft(1.0), mps_from_kt(1.0)
    return [
        _number(context, "fast", "speed", 0.0, -10.0 * knot, 20.0 * knot, knot),
        _number(context, "flaps_by", "height", 600.0 * foot, 100.0 * foot, 800.0 * foot, 20 * foot),
        _number(context, "late", "height", 700.0 * foot, 100.0 * foot, 800.0 * foot, 20.0 * foot),
        *bench_controls(bench.bench, context, ("headwind",)),
    ]


def _more(context):
    foot, fpm = m_from_ft(1.0), mps_from_fpm(1.0)
    return [
        _number(
            context, "powered_gate", "height", POWERED.gate_height, 300.0 * foot, 800.0 * foot,
            50.0 * foot,
        ),
        _number(
            context, "power_off_gate", "height", POWER_OFF.gate_height, 200.0 * foot, 500.0 * foot,
            50.0 * foot,
        ),
        _number(
            context, "sink_limit", "vertical_speed", POWERED.sink_limit, 400.0 * fpm,
            1000.0 * fpm, 50.0 * fpm,
        ),
    ]  # fmt: skip


def _prediction(context):
    """Ask which limit of the powered profile a good power-off approach breaks."""

    def outcome(both):
        if both.power_off is None:
            return None
        sink = both.power_off.criteria[-1].value
        return say_it(
            context,
            "outcome",
            sink=show(sink, "vertical_speed", context.preferences, digits=-1),
            limit=show(both.values["sink_limit"], "vertical_speed", context.preferences),
        )

    return Prediction(
        say_it(context, "question"),
        choices=[
            (key, say_it(context, f"answer.{key}")) for key in ("speed", "sink", "flaps", "none")
        ],
        outcome=outcome,
    )


# Saying -----------------------------------------------------------------------------------------


def sentence(both: Both, context) -> str:
    """Say for each approach whether to go on, and what stands against it."""
    powered = _decision(both.powered, context)
    if both.power_off is None:
        return f"{powered} {say_it(context, 'say.no_gate')}"
    return f"{powered} {_decision(both.power_off, context)}"


def _decision(held, context):
    gate = show(held.profile.gate_height, "height", context.preferences)
    broken = [criterion_text(one, context) for one in held.criteria if not one.met]
    if not broken:
        return say_it(context, f"say.{held.profile.key}.go_on", gate=gate)
    return say_it(context, f"say.{held.profile.key}.go_around", gate=gate, broken=", ".join(broken))
