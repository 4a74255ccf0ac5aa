"""From a wanted touchdown to the turn or the distance that gives it, or to what would make one."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.flights import (
    LATEST_TURN,
    MARK,
    Bench,
    Flight,
)
from lessonkit.lessons.power_off_approach.picture import ABEAM_RANGE, HEIGHT_RANGE
from lessonkit.models.approach_planning import Planned, changes_that_reach
from lessonkit.models.approach_review import GATE_HEIGHT, key_points, lined_up_height
from lessonkit.models.power_off_approach import DRAFT_STEP
from lessonkit.units import m_from_ft, m_from_nm

# What can be planned: the control, the plan's field, and the range that is tried. [m]
SOUGHT = {
    "base_turn": ("base_turn_distance", (0.0, LATEST_TURN)),
    "abeam": ("abeam_distance", ABEAM_RANGE),
}
# What a pilot would change if nothing fits, in this order, and the field of the plan behind it.
CHANGED = {
    "final_flap": "final_flap_deg",
    "base_flap": "base_flap_deg",
    "abeam": "abeam_distance",
    "base_turn": "base_turn_distance",
    "height": "abeam_height",
}
STEPS = {"abeam": m_from_nm(0.05), "base_turn": m_from_ft(200.0), "height": m_from_ft(50.0)}
RANGES = {"abeam": ABEAM_RANGE, "base_turn": (0.0, LATEST_TURN), "height": HEIGHT_RANGE}
LONGER_BY_MORE = ("height",)  # the others land shorter the more there is of them
MOST_REMEDIES = 3
MOST_STEPS = 8  # as far as a remedy is looked for where each step has to be planned anew
LOW = "low"
ROUNDED = m_from_ft(5.0)  # heights are said to 10 ft


@dataclass(frozen=True)
class Remedy:
    """One change that makes the wanted touchdown possible.

    Parameters
    ----------
    key : str
        Control to change.
    value : float
        What it becomes. [SI, deg]
    sought : float
        What the planned quantity is then. [m]
    """

    key: str
    value: float
    sought: float


@dataclass(frozen=True)
class Answer:
    """What the planner found for the controls' values."""

    values: dict[str, Any]
    sought: str
    planned: Planned
    flight: Flight  # as planned, or the nearest that can be flown
    miss: str = ""  # "short" or "long" where nothing fits, "low" where it is lined up too low
    nearest: float = np.nan  # touchdown beyond the mark of the nearest that can be flown [m]
    remedies: tuple[Remedy, ...] | None = None  # None: not looked for yet
    mark: float = MARK  # from where the planned touchdowns are counted [m]


class Planner:
    """Plans on the bench of one airplane."""

    def __init__(self, bench: Bench):
        self.bench = bench

    def draft(self, values: dict[str, Any]) -> Answer:
        """Plan while a control moves."""
        return self._plan(values)

    def plan(self, values: dict[str, Any]) -> Answer:
        """Plan once the controls rest, and look for what would make one possible."""
        answer = self._plan(values)
        if not answer.miss:
            return answer
        find = self._higher if answer.miss == LOW else self._remedies
        return Answer(**{**vars(answer), "remedies": tuple(find(answer))})

    def _plan(self, values):
        sought = values["sought"]
        values = {**values, "scatter": False}
        quantity, limits = SOUGHT[sought]
        planned = self.bench.planned(values, quantity, limits, values["beyond"])
        if planned.value is None:
            return self._none(values, sought, planned)
        flight = self.bench.draft({**values, sought: planned.value})
        low = lined_up_height(flight.points) < GATE_HEIGHT - ROUNDED
        miss = LOW if low else ""
        return Answer(values, sought, planned, flight, miss, values["beyond"], mark=self.bench.mark)

    def _none(self, values, sought, planned):
        """Fly the turn or distance that comes nearest, and say on which side it misses."""
        misses = planned.touchdown_x - self.bench.mark - values["beyond"]
        if not np.isfinite(misses).any():  # the ground comes first, whatever is tried
            value, nearest, miss = planned.tried[0], np.nan, "short"
        else:
            index = int(np.nanargmin(np.abs(misses)))
            value, nearest = planned.tried[index], planned.touchdown_x[index] - self.bench.mark
            miss = "short" if misses[index] < 0.0 else "long"
        flight = self.bench.draft({**values, sought: float(value)})
        return Answer(values, sought, planned, flight, miss, float(nearest), mark=self.bench.mark)

    def _remedies(self, answer):
        """Yield the smallest single changes that make the wanted touchdown possible."""
        bench, values = self.bench, answer.values
        short = answer.miss == "short"
        quantity, limits = SOUGHT[answer.sought]
        end = {**values, answer.sought: limits[0] if short else limits[1]}
        tried = [
            (key, float(value))
            for key in CHANGED
            if key != answer.sought
            for value in self._steps(values, key, short)
        ]
        good = changes_that_reach(
            bench.plan(end),
            [(CHANGED[key], value) for key, value in tried],
            bench.airplane.parameters(values["mass"]),
            bench.wind(values),
            bench.mark + values["beyond"],
            short,
            bench.half_width,
            DRAFT_STEP,
        )
        nearest = {}
        for (key, value), reaches in zip(tried, good, strict=True):
            if reaches:
                nearest.setdefault(key, value)
        for key, value in list(nearest.items())[:MOST_REMEDIES]:
            planned = bench.planned({**values, key: value}, quantity, limits, values["beyond"])
            if planned.value is not None:
                yield Remedy(key, value, planned.value)

    def _higher(self, answer):
        """Yield the smallest single changes with which the plan is lined up by the gate."""
        values = answer.values
        quantity, limits = SOUGHT[answer.sought]
        for key, more in (("abeam", False), ("height", True)):
            if key == answer.sought:
                continue
            for value in self._range(values, key, more)[:MOST_STEPS]:
                changed = {**values, key: float(value)}
                planned = self.bench.planned(changed, quantity, limits, values["beyond"])
                if planned.value is None:
                    continue
                if lined_up_height(key_points(planned.approach)) >= GATE_HEIGHT:
                    yield Remedy(key, float(value), planned.value)
                    break

    def _steps(self, values, key, short):
        """Return the values to try, the smallest change first, in the direction that helps."""
        more = short == (key in LONGER_BY_MORE)
        if key not in STEPS:  # flaps
            now = values[key]
            others = [flap for flap in self.bench.airplane.flap_deg if flap != now]
            return sorted((f for f in others if (f > now) == more), reverse=not more)
        return self._range(values, key, more)

    def _range(self, values, key, more):
        low, high = RANGES[key]
        step = STEPS[key]
        if more:
            begin = np.floor(values[key] / step + 1.0) * step
            return np.arange(begin, high + 1e-6, step)
        begin = np.ceil(values[key] / step - 1.0) * step
        return np.arange(begin, low - 1e-6, -step)
