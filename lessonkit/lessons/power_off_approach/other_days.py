"""One plan on other days: flown in every headwind, at another weight, with other speeds.

The touchdown is computed over the whole range of headwind at once, and kept: moving the
headwind then only reads the lines.
"""

import functools
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.flights import AIM, LATEST_TURN, Bench, Flight
from lessonkit.models.approach_review import touches_in_line
from lessonkit.models.glide_distance import speed_scaled_to_weight
from lessonkit.models.power_off_approach import DRAFT_STEP, fly, fly_many
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.units import mps_from_kt

HEADWINDS = mps_from_kt(np.linspace(-10.0, 25.0, 8))
FEW_HEADWINDS = HEADWINDS[[0, 1, 2, 4, 7]]  # while a control moves; the lines are nearly straight
TURNS = np.linspace(0.0, LATEST_TURN, 8)
HALF = 0.5  # share of the headwind added by the rule of the trade
SAME, SCALED = "same", "scaled"
SPEEDS = ("downwind_cas", "base_cas", "final_cas")
SHAPE = ("abeam", "height", "final_flap", "base_flap", "bank")  # what the plan is made for
KEPT = 8  # settings whose lines are kept


@dataclass(frozen=True)
class Lines:
    """Touchdowns beyond the mark and base turns over headwinds, in m; NaN where there is none."""

    headwinds: np.ndarray
    unchanged: np.ndarray  # at the weight that the plan was made for
    kept: np.ndarray  # at the weight set
    half_added: np.ndarray  # with half of the headwind added to each speed
    planned_turn: float  # in calm air, at the weight that the plan was made for
    turn: np.ndarray | None = None  # base turn that touches down as meant; None: not yet computed


@dataclass(frozen=True)
class Day:
    """The lines, and what they give at the headwind that is set."""

    values: dict[str, Any]
    lines: Lines
    flight: Flight  # in the headwind that is set, nothing else changed

    def at(self, line: np.ndarray | None) -> float:
        """Read a line at the headwind that is set; NaN where there is none."""
        if line is None:
            return np.nan
        return float(np.interp(self.values["headwind"], self.lines.headwinds, line))


class Sky:
    """Flies the plan of one bench in every headwind, and keeps what was flown."""

    def __init__(self, bench: Bench):
        self.bench = bench
        self._planned = functools.lru_cache(maxsize=KEPT)(self._plan)
        self._full = functools.lru_cache(maxsize=KEPT)(self._fly_all)
        self._done: set[tuple] = set()

    def draft(self, values: dict[str, Any]) -> Day:
        """Read the lines if they are known; else fly a few headwinds, without other turns."""
        key = _key(values)
        return self.full(values) if key in self._done else self._day(values, self._fly_few(key))

    def full(self, values: dict[str, Any]) -> Day:
        """Fly all headwinds, and all base turns in each."""
        key = _key(values)
        lines = self._full(key)
        self._done.add(key)
        return self._day(values, lines)

    def _day(self, values, lines):
        """Add the flight of the day itself, for what has to be minded on it."""
        _, flown, _ = self._plans(_key(values))
        settings = {**self.bench.start, **values, "base_turn": lines.planned_turn}
        speeds = {"glide_cas": flown.base_cas, "final_cas": flown.final_cas}
        return Day(values, lines, self.bench.draft({**settings, **speeds}))

    def _plan(self, shape):
        """Return the plan for calm air at the bench's weight."""
        values = {**self.bench.start, **dict(shape)}
        found = self.bench.planned(values, "base_turn_distance", (0.0, LATEST_TURN), AIM)
        plan = self.bench.plan(values)
        return plan if found.value is None else replace(plan, base_turn_distance=found.value)

    def _plans(self, key):
        """Return the plan as made, and as flown at the weight set."""
        values = dict(key)
        plan = self._planned(tuple((name, values[name]) for name in SHAPE))
        return plan, _for_weight(self.bench, plan, values), values["mass"]

    def _fly_few(self, key):
        plan, flown, mass = self._plans(key)
        winds = FEW_HEADWINDS
        kept = self._alone(flown, mass, winds)
        same = flown is plan and mass == self.bench.start["mass"]
        unchanged = kept if same else self._alone(plan, self.bench.start["mass"], winds)
        half = np.array(
            [self._alone(_faster(flown, wind), mass, [wind])[0] for wind in winds.tolist()]
        )
        return Lines(winds, unchanged, kept, half, plan.base_turn_distance)

    def _alone(self, plan, mass, winds):
        """Fly one by one: so few are quickest that way."""
        parameters = self.bench.airplane.parameters(mass)
        downs = [fly(plan, parameters, self._air(wind), DRAFT_STEP).touchdown for wind in winds]
        return np.array([self._beyond(down) for down in downs])

    def _beyond(self, down):
        in_line = touches_in_line(down, self.bench.half_width)
        return np.where(in_line, down.x - self.bench.mark, np.nan)[()]

    def _air(self, headwind):
        calm = self.bench.wind({"headwind": 0.0, "crosswind": 0.0})
        return replace(calm, along=-headwind)

    def _fly_all(self, key):
        plan, flown, mass = self._plans(key)
        count = HEADWINDS.size
        winds, turns = (g.ravel() for g in np.meshgrid(HEADWINDS, TURNS, indexing="ij"))
        groups = (
            (plan, self.bench.start["mass"], HEADWINDS),
            (flown, mass, HEADWINDS),
            (_faster(flown, HEADWINDS), mass, HEADWINDS),
            (replace(flown, base_turn_distance=turns), mass, winds),
        )
        beyond = self._together(groups)
        lines = beyond[:count], beyond[count : 2 * count], beyond[2 * count : 3 * count]
        turn = _turns(beyond[3 * count :].reshape(count, TURNS.size))
        return Lines(HEADWINDS, *lines, plan.base_turn_distance, turn)

    def _together(self, groups):
        """Fly groups of plan, mass and headwinds in one batch."""

        def joined(values):
            pairs = zip(values, groups, strict=True)
            return np.concatenate([np.broadcast_to(v, g[2].shape) for v, g in pairs])

        plan = replace(
            groups[0][0],
            **{
                field.name: joined([getattr(group[0], field.name) for group in groups])
                for field in fields(ApproachPlan)
                if field.name != "side"
            },
        )
        parameters = self.bench.airplane.parameters(joined([group[1] for group in groups]))
        air = self._air(np.concatenate([group[2] for group in groups]))
        return self._beyond(fly_many(plan, parameters, air, DRAFT_STEP))


def _key(values):
    return tuple(sorted((name, value) for name, value in values.items() if name != "headwind"))


def _for_weight(bench, plan, values):
    """Return the plan at the weight set: speeds as they were, or scaled with the weight."""
    if values["speeds"] == SAME:
        return plan
    masses = bench.start["mass"], values["mass"]
    names = (*SPEEDS, "touchdown_cas")
    return replace(
        plan,
        **{name: float(speed_scaled_to_weight(getattr(plan, name), *masses)) for name in names},
    )


def _faster(plan, headwind):
    """Return the plan with half of the headwind added to each speed."""
    added = HALF * np.maximum(headwind, 0.0)
    return replace(plan, **{name: getattr(plan, name) + added for name in SPEEDS})


def _turns(beyond):
    """Return for each headwind the base turn that touches down on the aim; NaN if none does."""
    found = []
    for row in beyond:
        reached = np.isfinite(row)
        miss, turn = (row[reached] - AIM)[::-1], TURNS[reached][::-1]  # later turns land shorter
        inside = miss.size > 1 and miss[0] <= 0.0 <= miss[-1]
        found.append(np.interp(0.0, miss, turn) if inside else np.nan)
    return np.array(found)
