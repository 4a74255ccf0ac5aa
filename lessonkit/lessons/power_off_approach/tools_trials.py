"""Each tool as the pilot would use it here, and as far as it goes: what it is worth, its limits."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.airplane.airspeed_correction import cas_of
from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.lessons.power_off_approach.tools_flights import (
    GATE,
    STEPS,
    Situation,
    ToolBench,
)
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

    @property
    def chosen(self) -> Trial:
        """The tool that the learner picked."""
        return self.trials[self.values["tool"]]

    @property
    def shown(self) -> tuple[str, ...]:
        """Tools in the bar chart: those for this error, and the one picked."""
        row = HIGH if self.values["error"] >= 0.0 else LOW
        return row if self.values["tool"] in row else (*row, self.values["tool"])


def answer(bench: ToolBench, values: dict[str, Any], quality: str) -> Answer:
    """Fly everything that the panel shows: the situation, each tool, its limit.

    The tool that is picked is flown in the quality asked for; the others always in draft, which
    moves what they are worth by less than is shown.
    """
    situation = bench.situation(values, STEPS[quality])
    rough = bench.situation(values, STEPS["draft"])
    row = HIGH if values["error"] >= 0.0 else LOW
    trials = {
        key: _TRIALS[key](bench, situation if key == values["tool"] else rough, values)
        for key in dict.fromkeys((*row, values["tool"]))
    }
    window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
    return Answer(
        values,
        situation,
        trials,
        _together(bench, rough, trials),
        (m_from_ft(window.low), m_from_ft(window.high)),
        bench.band,
    )


def _slip(bench, situation, values):
    plan, flaps = situation.plan, bench.airplane.flap_deg
    rule = bench.airplane.card.text("limits.slips")
    top = min(values["from_height"], situation.final_height)
    said = {"from_height": top, "to_height": values["to_height"], "rudder": values["rudder"]}
    with_flaps, full = plan.final_flap_deg > flaps[0], plan.final_flap_deg >= flaps[-1] > flaps[0]
    if (
        rule == "prohibited"
        or (rule == "not with flaps" and with_flaps)
        or (rule == "not with full flaps" and full)
    ):
        return Trial("slip", refused=SLIPS[rule], said=said)
    if math.isnan(situation.final_height):
        return Trial("slip", refused="no_final", said=said)
    if situation.final_height - OUT_BY < 2.0 * FADE_HEIGHT:
        return Trial("slip", refused="slip_no_room", said=said)

    def slipping(rudder, top, out_by):
        changed = replace(plan, slip_rudder=rudder, slip_from_height=top, slip_to_height=out_by)
        return bench.flown(situation, changed)

    limit = slipping(1.0, situation.final_height, OUT_BY)
    if top - values["to_height"] < 2.0 * FADE_HEIGHT:
        return Trial("slip", refused="slip_no_room", limit=limit, said=said)
    result = slipping(values["rudder"], top, values["to_height"])
    return Trial("slip", result, limit=limit, said=said)


def _s_turn(bench, situation, values):
    said = {"excursion": values["excursion"], "floor": values["floor"]}
    if math.isnan(situation.final_height):
        return Trial("s_turn", refused="no_final", said=said)
    if situation.final_height <= values["floor"]:
        said["height"] = situation.final_height
        return Trial("s_turn", refused="s_turn_no_room", said=said)

    def weaving(excursion):
        return bench.flown(
            situation,
            s_turn_plan(
                situation.plan,
                float(excursion),
                situation.final_height,
                situation.final_tas,
                situation.final_sink,
                values["swings"],
            ),
        )

    def above_floor(excursion):
        flown = weaving(excursion)
        return flown.in_line and lined_up_again_height(flown.approach) >= values["floor"]

    most = greatest_allowed(range(5, STEEPEST_EXCURSION + 1, 5), above_floor)
    result = weaving(values["excursion"])
    said["height"] = lined_up_again_height(result.approach)
    said["most"] = most
    refused = "" if above_floor(values["excursion"]) else "s_turn_below_floor"
    return Trial("s_turn", result, refused, weaving(most) if most else None, said)


def _flap(bench, situation, values):
    plan, flaps = situation.plan, bench.airplane.flap_deg
    more = [flap for flap in flaps if flap > plan.final_flap_deg]
    if not more:
        return Trial("flap", refused="flap_all_down", said={"flap": plan.final_flap_deg})
    top = min(values["from_height"], situation.final_height)
    full = more[0] == flaps[-1]
    said = {
        "flap": more[0],
        "from_height": top,
        "ends_slip": bench.airplane.card.text("limits.slips") == "not with full flaps" and full,
    }
    if math.isnan(situation.final_height):
        return Trial("flap", refused="no_final", said=said)

    def lowered(flap, height):
        changed = replace(plan, more_flap_deg=flap, more_flap_from_height=height)
        return bench.flown(situation, changed)

    result = lowered(more[0], top)
    said["speed"], said["vfe"] = _flap_speed(bench, situation, result, top)
    refused = "flap_too_fast" if said["vfe"] and said["speed"] > said["vfe"] else ""
    return Trial("flap", result, refused, lowered(flaps[-1], situation.final_height), said)


def _flap_speed(bench, situation, result, height):
    """Return the speed at which the flaps go down, and the greatest allowed, both CAS or None."""
    h, card = result.approach.history, bench.airplane.card
    tas = float(np.interp(height, h.height[::-1], h.true_airspeed[::-1]))
    cas = tas * math.sqrt(float(situation.wind.density(height)) / SEA_LEVEL_DENSITY)
    return cas, cas_of(card, card.figure("speeds.VFE"), bench.airplane.landing_flap_deg)


def _later(bench, situation, values):
    said = {"seconds": values["seconds"]}
    if situation.moment != "abeam":
        return Trial("later", refused="turn_flown", said=said)

    def turning(seconds):
        return bench.flown(situation, replace(situation.plan, base_turn_delay=float(seconds)))

    def in_time(seconds):
        flown = turning(seconds)
        return flown.in_line and flown.lined_up_height >= GATE

    most = greatest_allowed(range(1, LATEST + 1), in_time)
    limit = turning(most) if most else None
    return Trial("later", turning(values["seconds"]), "", limit, {**said, "most": most})


def _faster(bench, situation, values):
    return _other_speed(bench, situation, "faster", values["speed_off"])


def _stretch(bench, situation, values):
    return _other_speed(bench, situation, "stretch", -values["speed_off"])


def _other_speed(bench, situation, key, off):
    changed = replace(situation.plan, final_cas=situation.plan.final_cas + off)
    result = bench.flown(situation, changed)
    said = {"speed_off": abs(off), "touchdown_cas": result.approach.touchdown.calibrated_airspeed}
    stalls = bench.bench.stall_known and result.margin <= 0.0
    return Trial(key, result, "stalls" if stalls else "", said=said)


def _earlier(bench, situation, values):
    most = math.floor(situation.turn_time) if math.isfinite(situation.turn_time) else 0
    seconds = min(values["seconds"], most)
    said = {"seconds": seconds, "most": most}
    if situation.moment != "abeam":
        return Trial("earlier", refused="turn_flown", said=said)
    if most < 1:
        return Trial("earlier", refused="turn_now", said=said)

    def turning(early):
        return bench.flown(situation, replace(situation.plan, base_turn_delay=-float(early)))

    return Trial("earlier", turning(seconds), "", turning(most), said)


def _cut(bench, situation, values):
    said = {"seconds": values["cut"]}
    if situation.moment == "final":
        return Trial("cut", refused="turn_flown", said=said)

    def cutting(seconds):
        return bench.flown(situation, replace(situation.plan, final_turn_delay=-float(seconds)))

    most = greatest_allowed(range(1, CUT_MOST + 1), lambda seconds: cutting(seconds).in_line)
    result = cutting(values["cut"])
    refused = "" if result.in_line else "cut_no_line"
    return Trial("cut", result, refused, cutting(most) if most else None, {**said, "most": most})


def _hold_flaps(bench, situation, values):
    plan = situation.plan
    down = {"abeam": plan.downwind_flap_deg, "base": plan.base_flap_deg}.get(situation.moment)
    said = {"flap": plan.final_flap_deg if down is None else down}
    if down is None or down >= plan.final_flap_deg:
        return Trial("hold_flaps", refused="flaps_down", said=said)
    kept = replace(plan, base_flap_deg=down, final_flap_deg=down)
    return Trial("hold_flaps", bench.flown(situation, kept), said=said)


def _best_glide(bench, situation, values):
    plan, mass = situation.plan, situation.parameters.mass
    best = {
        leg: bench.airplane.best_glide_cas(mass, getattr(plan, f"{leg}_flap_deg"))
        for leg in ("downwind", "base", "final")
    }
    changed = replace(plan, **{f"{leg}_cas": cas for leg, cas in best.items()})
    said = {"speed": best["final"], "flap": plan.final_flap_deg, "planned": plan.final_cas}
    return Trial("best_glide", bench.flown(situation, changed), said=said)


_TRIALS: dict[str, Callable] = {
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


def _together(bench, situation, trials):
    """Fly the tools for this error at their limits together, where they go with each other."""
    if "slip" in trials and "later" in trials:
        keys = ["later", "slip"]
        if trials["slip"].limit is None or bench.airplane.card.text("limits.slips") not in SLIPS:
            keys.append("flap")
    else:
        keys = [key for key in LENGTHEN if key in trials]
    results = [trials[key].limit or _usable(trials[key]) for key in keys]
    changes: dict[str, Any] = {}
    for result in results:
        changes |= _changed(situation.plan, result.approach.plan) if result else {}
    return bench.flown(situation, replace(situation.plan, **changes)) if changes else None


def _usable(trial):
    return None if trial.refused else trial.result


def _changed(plan, other):
    """Return the fields in which another plan differs."""
    return {key: value for key, value in vars(other).items() if value != getattr(plan, key)}


def enough(answer: Answer, result: ToolResult | None) -> bool:
    """Tell whether a result comes at least as far, or at most as far, as the window asks."""
    if result is None or not result.in_line:
        return False
    beyond = result.approach.touchdown.x - MARK
    low, high = answer.window
    return beyond <= high if answer.values["error"] >= 0.0 else beyond >= low
