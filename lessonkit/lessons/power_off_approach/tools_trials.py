"""Each tool as the pilot would use it here, and as far as it goes: what it is worth, its limits."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.airplane.airspeed_correction import cas_of
from lessonkit.lessons.power_off_approach.tools_flights import (
    STEPS,
    Situation,
    ToolBench,
)
from lessonkit.models.approach_review import GATE_HEIGHT
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.error_tools import ToolResult, greatest_allowed
from lessonkit.models.s_turn import lined_up_again_height, s_turn_plan
from lessonkit.models.slip import FADE_HEIGHT
from lessonkit.models.standards import tolerance
from lessonkit.units import m_from_ft

HIGH = ("later", "slip", "s_turn", "flap", "faster")  # what one reaches for when too high
LOW = ("earlier", "cut", "hold_flaps", "best_glide", "stretch")  # and when too low
SHORTEN, LENGTHEN = ("later", "slip", "s_turn", "flap"), ("earlier", "cut", "hold_flaps")
NO_TOOL = ("faster", "stretch")  # temptations: flown to be seen, not to be used
OUT_BY = m_from_ft(50.0)  # lowest height at which a slip is still to be taken out
STEEPEST_EXCURSION, LATEST, CUT_MOST = 60, 20, 8  # deg, s, s: as far as limits are looked for
SLIPS = {
    "not with flaps": "slip_flaps",
    "not with full flaps": "slip_full_flaps",
    "prohibited": "slip_prohibited",
}


@dataclass(frozen=True)
class Trial:
    """One tool in one situation.

    Parameters
    ----------
    key : str
        One of `HIGH` and `LOW`.
    result : ToolResult or None
        As set on the controls; None where it cannot be flown at all.
    refused : str
        Key of the sentence that says why it may not be used like this; empty where it may.
    limit : ToolResult or None
        As far as the tool goes.
    said : dict
        Numbers for the sentences, SI.
    """

    key: str
    result: ToolResult | None = None
    refused: str = ""
    limit: ToolResult | None = None
    said: dict[str, Any] | None = None

    @property
    def moved(self) -> float:
        """How far the touchdown moves, in m: 0 for a tool that may not be used."""
        return 0.0 if self.refused or self.result is None else self.result.moved


@dataclass(frozen=True)
class Answer:
    """All that the panel shows for its controls' values."""

    values: dict[str, Any]
    situation: Situation
    trials: dict[str, Trial]
    together: ToolResult | None  # tools at their limits, as far as they go with each other
    window: tuple[float, float]  # wanted touchdown beyond the mark [m]
    band: float  # how far off a computed touchdown may be, either way [m]
    whole: bool  # False while a control moves: the limits have not been looked for

    @property
    def chosen(self) -> Trial:
        """The tool that the learner picked."""
        return self.trials[self.values["tool"]]

    @property
    def shown(self) -> tuple[str, ...]:
        """Tools in the bar chart: those for this error, and the one picked."""
        row = HIGH if self.values["error"] >= 0.0 else LOW
        return row if self.values["tool"] in row else (*row, self.values["tool"])


@dataclass(frozen=True)
class Flyer:
    """Flies tools in one situation; looks for their limits only where all is asked for."""

    bench: ToolBench
    situation: Situation
    values: dict[str, Any]
    whole: bool

    def flown(self, **changes) -> ToolResult:
        """Return the situation flown on with changes of the plan."""
        return self.bench.flown(self.situation, replace(self.situation.plan, **changes))

    def limit(self, **changes) -> ToolResult | None:
        """Return the tool at its limit."""
        return self.flown(**changes) if self.whole else None

    def most(self, choices, allowed) -> float | None:
        """Return the greatest choice that is allowed."""
        return greatest_allowed(choices, allowed) if self.whole else None

    @property
    def slip_rule(self) -> str:
        """What the card says about slips."""
        return self.bench.airplane.card.text("limits.slips")


def answer(bench: ToolBench, values: dict[str, Any], quality: str) -> Answer:
    """Fly everything that the panel shows: the situation, each tool, its limit.

    The tool that is picked is flown in the quality asked for; the others always in draft, which
    moves what they are worth by less than is shown.
    """
    whole = quality == "full"
    situation = bench.situation(values, STEPS[quality])
    fine = Flyer(bench, situation, values, whole)
    rough = Flyer(bench, bench.situation(values, STEPS["draft"]), values, whole)
    row = HIGH if values["error"] >= 0.0 else LOW
    trials = {
        key: _TRIALS[key](fine if key == values["tool"] else rough)
        for key in dict.fromkeys((*row, values["tool"]))
    }
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    return Answer(
        values,
        situation,
        trials,
        _together(rough, trials) if whole else None,
        (m_from_ft(window.low), m_from_ft(window.high)),
        bench.band,
        whole,
    )


def _slip(fly):
    values, situation = fly.values, fly.situation
    flap, flaps = situation.plan.final_flap_deg, fly.bench.airplane.flap_deg
    top = min(values["from_height"], situation.final_height)
    said = {"from_height": top, "to_height": values["to_height"], "rudder": values["rudder"]}
    forbidden = {
        "prohibited": True,
        "not with flaps": flap > flaps[0],
        "not with full flaps": flap >= flaps[-1] > flaps[0],
    }
    if forbidden.get(fly.slip_rule, False):
        return Trial("slip", refused=SLIPS[fly.slip_rule], said=said)
    if math.isnan(situation.final_height):
        return Trial("slip", refused="no_final", said=said)
    if situation.final_height - OUT_BY < 2.0 * FADE_HEIGHT:
        return Trial("slip", refused="slip_no_room", said=said)
    limit = fly.limit(
        slip_rudder=1.0, slip_from_height=situation.final_height, slip_to_height=OUT_BY
    )
    if top - values["to_height"] < 2.0 * FADE_HEIGHT:
        return Trial("slip", refused="slip_no_room", limit=limit, said=said)
    result = fly.flown(
        slip_rudder=values["rudder"], slip_from_height=top, slip_to_height=values["to_height"]
    )
    return Trial("slip", result, limit=limit, said=said)


def _s_turn(fly):
    values, situation = fly.values, fly.situation
    said = {"excursion": values["excursion"], "floor": values["floor"]}
    if math.isnan(situation.final_height):
        return Trial("s_turn", refused="no_final", said=said)
    if situation.final_height <= values["floor"]:
        said["height"] = situation.final_height
        return Trial("s_turn", refused="s_turn_no_room", said=said)

    def weaving(excursion):
        plan = s_turn_plan(
            situation.plan,
            float(excursion),
            situation.final_height,
            situation.final_tas,
            situation.final_sink,
            values["swings"],
        )
        return fly.bench.flown(situation, plan)

    def above_floor(excursion):
        flown = weaving(excursion)
        return flown.in_line and lined_up_again_height(flown.approach) >= values["floor"]

    said["most"] = most = fly.most(range(5, STEEPEST_EXCURSION + 1, 5), above_floor)
    result = weaving(values["excursion"])
    said["height"] = lined_up_again_height(result.approach)
    refused = "" if above_floor(values["excursion"]) else "s_turn_below_floor"
    return Trial("s_turn", result, refused, weaving(most) if most else None, said)


def _flap(fly):
    situation, flaps = fly.situation, fly.bench.airplane.flap_deg
    more = [flap for flap in flaps if flap > situation.plan.final_flap_deg]
    if not more:
        return Trial("flap", refused="flap_all_down", said={"flap": flaps[-1]})
    top = min(fly.values["from_height"], situation.final_height)
    said = {
        "flap": more[0],
        "from_height": top,
        "ends_slip": fly.slip_rule == "not with full flaps" and more[0] == flaps[-1],
    }
    if math.isnan(situation.final_height):
        return Trial("flap", refused="no_final", said=said)
    result = fly.flown(more_flap_deg=more[0], more_flap_from_height=top)
    limit = fly.limit(more_flap_deg=flaps[-1], more_flap_from_height=situation.final_height)
    said["speed"], said["vfe"] = _flap_speed(fly, result, top)
    refused = "flap_too_fast" if said["vfe"] and said["speed"] > said["vfe"] else ""
    return Trial("flap", result, refused, limit, said)


def _flap_speed(fly, result, height):
    """Return the speed at which the flaps go down, and the greatest allowed, both CAS or None."""
    h, airplane = result.approach.history, fly.bench.airplane
    tas = float(np.interp(height, h.height[::-1], h.true_airspeed[::-1]))
    cas = tas * math.sqrt(float(fly.situation.wind.density(height)) / SEA_LEVEL_DENSITY)
    limit = airplane.card.figure("speeds.VFE")
    return cas, cas_of(airplane.card, limit, airplane.landing_flap_deg)


def _later(fly):
    seconds = fly.values["seconds"]
    said = {"seconds": seconds}
    if fly.situation.moment != "abeam":
        return Trial("later", refused="turn_flown", said=said)

    def in_time(late):
        flown = fly.flown(base_turn_delay=float(late))
        return flown.in_line and flown.lined_up_height >= GATE_HEIGHT

    most = fly.most(range(1, LATEST + 1), in_time)
    limit = fly.flown(base_turn_delay=float(most)) if most else None
    return Trial("later", fly.flown(base_turn_delay=seconds), "", limit, said)


def _faster(fly):
    return _other_speed(fly, "faster", fly.values["speed_off"])


def _stretch(fly):
    return _other_speed(fly, "stretch", -fly.values["speed_off"])


def _other_speed(fly, key, off):
    result = fly.flown(final_cas=fly.situation.plan.final_cas + off)
    stalls = fly.bench.bench.stall_known and result.margin <= 0.0
    return Trial(key, result, "stalls" if stalls else "", said={"speed_off": abs(off)})


def _earlier(fly):
    turn_time = fly.situation.turn_time
    most = math.floor(turn_time) if math.isfinite(turn_time) else 0
    seconds = min(fly.values["seconds"], most)
    said = {"seconds": seconds}
    if fly.situation.moment != "abeam":
        return Trial("earlier", refused="turn_flown", said=said)
    if most < 1:
        return Trial("earlier", refused="turn_now", said=said)
    result, limit = fly.flown(base_turn_delay=-seconds), fly.limit(base_turn_delay=-float(most))
    return Trial("earlier", result, "", limit, said)


def _cut(fly):
    seconds = fly.values["cut"]
    said = {"seconds": seconds}
    if fly.situation.moment == "final":
        return Trial("cut", refused="turn_flown", said=said)

    def cutting(early):
        return fly.flown(final_turn_delay=-float(early))

    most = fly.most(range(1, CUT_MOST + 1), lambda early: cutting(early).in_line)
    result = cutting(seconds)
    refused = "" if result.in_line else "cut_no_line"
    return Trial("cut", result, refused, cutting(most) if most else None, said)


def _hold_flaps(fly):
    plan = fly.situation.plan
    down = {"abeam": plan.downwind_flap_deg, "base": plan.base_flap_deg}.get(fly.situation.moment)
    said = {"flap": plan.final_flap_deg if down is None else down}
    if down is None or down >= plan.final_flap_deg:
        return Trial("hold_flaps", refused="flaps_down", said=said)
    return Trial("hold_flaps", fly.flown(base_flap_deg=down, final_flap_deg=down), said=said)


def _best_glide(fly):
    plan, mass = fly.situation.plan, fly.situation.parameters.mass
    best = {
        f"{leg}_cas": fly.bench.airplane.best_glide_cas(mass, getattr(plan, f"{leg}_flap_deg"))
        for leg in ("downwind", "base", "final")
    }
    return Trial("best_glide", fly.flown(**best), said={"speed": best["final_cas"]})


_TRIALS: dict[str, Callable[[Flyer], Trial]] = {
    "slip": _slip,
    "s_turn": _s_turn,
    "flap": _flap,
    "later": _later,
    "faster": _faster,
    "earlier": _earlier,
    "cut": _cut,
    "hold_flaps": _hold_flaps,
    "best_glide": _best_glide,
    "stretch": _stretch,
}


def _together(fly, trials):
    """Fly the tools for this error at their limits together, where they go with each other."""
    if fly.values["error"] >= 0.0:
        keys = ["later", "slip"]
        if trials["slip"].limit is None or fly.slip_rule not in SLIPS:
            keys.append("flap")
    else:
        keys = list(LENGTHEN)
    changes: dict[str, Any] = {}
    for trial in (trials[key] for key in keys):
        result = trial.limit or (None if trial.refused else trial.result)
        changes |= _changed(fly.situation.plan, result.approach.plan) if result else {}
    return fly.flown(**changes) if changes else None


def _changed(plan, other):
    """Return the fields in which another plan differs."""
    return {key: value for key, value in vars(other).items() if value != getattr(plan, key)}


def enough(answer: Answer, result: ToolResult | None) -> bool:
    """Tell whether a result comes at least as far, or at most as far, as the window asks."""
    if result is None or not result.in_line:
        return False
    beyond = result.approach.touchdown.x - answer.situation.mark
    low, high = answer.window
    return beyond <= high if answer.values["error"] >= 0.0 else beyond >= low
