"""From "so many feet too high, here" to flown approaches, one without a tool and one with each."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.flights import (
    AIM,
    FIRST_DISTANCES,
    LATEST_TURN,
    Bench,
)
from lessonkit.models.approach_results import Approach
from lessonkit.models.approach_review import key_points
from lessonkit.models.error_tools import (
    ToolPilot,
    ToolPlan,
    ToolResult,
    state_at,
    tool_plan,
    try_tool,
)
from lessonkit.models.power_off_approach import COARSE_STEP, DRAFT_STEP, fly
from lessonkit.models.wind_profile import Wind
from lessonkit.units import m_from_ft
from lessonkit.words import say

MOMENTS = ("abeam", "base", "final")
LOWEST = m_from_ft(10.0)  # an error may not put the airplane lower than this
MOST_KEPT = 400  # flights remembered while the controls move


@dataclass(frozen=True)
class Situation:
    """The approach from the moment at which the error is seen, no tool used yet.

    Parameters
    ----------
    plan : ToolPlan
        What the pilot goes on to fly. [SI]
    start : tuple or None
        State at that moment, if it is not abeam.
    ideal : Approach
        The same without the error, all the way from abeam.
    without : ToolResult
        With the error and without a tool.
    final_height, final_tas, final_sink : float
        Height, true airspeed and sink where it is lined up on final; NaN where it never is. [SI]
    """

    plan: ToolPlan
    wind: Wind
    parameters: Any
    moment: str
    step: float
    start: tuple | None
    ideal: Approach
    without: ToolResult
    final_height: float
    final_tas: float
    final_sink: float
    turn_time: float  # s past abeam at which the base turn is begun, NaN once it is flown
    mark: float  # from where touchdowns are counted [m]

    @property
    def beyond(self) -> float:
        """Touchdown without a tool in m beyond the mark."""
        return self.without.approach.touchdown.x - self.mark


class ToolBench:
    """Flies situations and tools; remembers what it has flown."""

    def __init__(self, context):
        self.bench = Bench(context)
        self.airplane, self.airfield = context.airplane, context.airfield
        self.half_width = self.bench.half_width
        flaps = self.airplane.flap_deg
        # The last step is held back: that leaves a tool for being high.
        self.first_flap = flaps[max(len(flaps) - 2, 0)]
        self._flown: dict = {}

    @property
    def band(self) -> float:
        """How far off a computed touchdown may be, in m either way."""
        return self.bench.band

    def situation(self, values: dict[str, Any], step: float) -> Situation:
        """Return the approach that is too high or too low as the controls say."""
        asked = tuple(values[key] for key in ("error", "moment", "headwind", "final_flap"))
        return self._kept((asked, step), lambda: self._situation(values, step))

    def flown(self, situation: Situation, plan: ToolPlan) -> ToolResult:
        """Return the situation flown on with a tool in the plan."""

        def fly_it():
            return try_tool(
                situation.without.approach,
                plan,
                situation.parameters,
                situation.wind,
                self.half_width,
                situation.start,
                situation.step,
            )

        return self._kept((situation.plan, situation.start, situation.step, plan), fly_it)

    def _kept(self, key, make: Callable):
        if key not in self._flown:
            if len(self._flown) >= MOST_KEPT:
                self._flown.clear()
            self._flown[key] = make()
        return self._flown[key]

    def _situation(self, values, step):
        asked = self._planned(values["headwind"], values["final_flap"])
        full = self.airplane.full_rudder_sideslip_deg
        plan = replace(tool_plan(self.bench.plan(asked)), full_sideslip_deg=full)
        wind = self.bench.wind(asked)
        parameters = self.airplane.parameters(asked["mass"])
        ideal = self._kept((plan, wind, step), lambda: fly(plan, parameters, wind, step, ToolPilot))
        start = None
        if values["moment"] == "abeam":
            plan = replace(plan, abeam_height=plan.abeam_height + values["error"])
        else:
            start = self._raised(ideal, values["moment"], values["error"])
        without = try_tool(None, plan, parameters, wind, self.half_width, start, step)
        points = {point.key: point for point in key_points(without.approach)}
        final = points.get("final")
        tas, sink = _speeds_at(without.approach, final.time) if final else (np.nan, np.nan)
        turn = points.get("base_turn") if values["moment"] == "abeam" else None
        return Situation(
            plan=plan,
            wind=wind,
            parameters=parameters,
            moment=values["moment"],
            step=step,
            start=start,
            ideal=ideal,
            without=without,
            final_height=final.height if final else np.nan,
            final_tas=tas,
            final_sink=sink,
            turn_time=turn.time if turn else np.nan,
            mark=self.bench.mark,
        )

    def _raised(self, ideal, moment, error):
        point = next(point for point in key_points(ideal) if point.key == moment)
        if point.height + error < LOWEST:
            raise ValueError(say("approach_tools.error.underground"))
        return tuple(state_at(ideal, point.time, error))

    def _planned(self, headwind, final_flap):
        """Return settings whose approach, without an error, ends on the aim."""
        return self._kept((headwind, final_flap), lambda: self._plan(headwind, final_flap))

    def _plan(self, headwind, final_flap):
        start = self.bench.start
        asked = {
            **start,
            "headwind": headwind,
            "final_flap": final_flap,
            "base_flap": min(start["base_flap"], final_flap),
        }
        for distance in (start["abeam"], *FIRST_DISTANCES):
            asked["abeam"] = distance
            found = self.bench.planned(asked, "base_turn_distance", (0.0, LATEST_TURN), AIM)
            if found.value is not None:
                return {**asked, "base_turn": found.value}
        raise ValueError(say("approach_tools.error.no_plan"))


def _speeds_at(approach, time):
    """Return true airspeed and sink rate at a moment of an approach."""
    h = approach.history
    tas = float(np.interp(time, h.time, h.true_airspeed))
    path = np.radians(np.interp(time, h.time, h.path_angle_deg))
    return tas, float(-tas * np.sin(path))


STEPS = {"draft": DRAFT_STEP, "full": COARSE_STEP}
