"""Many tries of one pilot: power-off, and the same pattern with part power."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.flights import (
    AIM,
    FEW,
    LATEST_TURN,
    SEED,
    SPREADS,
    Bench,
)
from lessonkit.models.habits import ASSUMED, Habit
from lessonkit.models.power_off_approach import DRAFT_STEP
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot
from lessonkit.models.powered_approach import (
    PoweredPilot,
    PoweredPlan,
    base_turn_of_touchdown,
    corrected_on_final,
    powered_plan,
)
from lessonkit.models.powered_propeller import (
    REPORT_ZERO_THRUST,
    Propeller,
    idle_advance_ratio,
    zero_thrust_ratio_of_cruise,
)
from lessonkit.models.standards import tolerance
from lessonkit.models.touchdown_spread import (
    TouchdownSpread,
    Tries,
    costs,
    fly_tries,
    scattered,
    side_by_side,
    summary,
)
from lessonkit.models.touchdown_spread_draws import normal_scores, one_at_a_time
from lessonkit.units import m_from_ft, m_from_nm, mps_from_kt
from lessonkit.words import say

FULL = 10_000  # tries of each pilot once the controls rest
PORTION = 2_500  # of them between two looks at whether they are still wanted
HALVED = 2_500  # tries with the habit that costs most at half its spread
# Steps of the integration in s: touchdowns within some 25 ft while a control moves, and within
# some 5 ft after it, where single tries lie hundreds of feet apart.
MOVING_STEP, RESTING_STEP = 1.0, DRAFT_STEP
FARTHEST_TURN = m_from_nm(2.5)  # past abeam, with power
OFF, ALONE, CORRECTED = "off", "alone", "corrected"

HABITS = (
    *SPREADS,
    Habit("rpm_spread", 50.0, 20.0, 100.0, ASSUMED),
    Habit("aim_spread", m_from_ft(75), m_from_ft(25), m_from_ft(200), ASSUMED),
    Habit("headwind_spread", mps_from_kt(3), mps_from_kt(0.5), mps_from_kt(8), ASSUMED),
)
# Habits that only a pilot with power has; the aiming point only one who corrects.
OF_POWER = {"rpm_spread": (ALONE, CORRECTED), "aim_spread": (CORRECTED,)}


@dataclass(frozen=True)
class Pilot:
    """What is known of one pilot's tries so far.

    Parameters
    ----------
    spread : TouchdownSpread
        Where the touchdowns lie. [m from the mark]
    beyond : array
        The touchdowns that count, from the mark. [m]
    costs : tuple of (str, float)
        Each habit that this pilot has, and the length of runway that it covers alone eight times
        out of ten, the longest first. [m]
    halved : float or None
        Share within the window were the first of them half as large; None while unknown. [-]
    """

    spread: TouchdownSpread
    beyond: np.ndarray
    costs: tuple[tuple[str, float], ...]
    halved: float | None = None


@dataclass(frozen=True)
class Consistency:
    """What the panel shows.

    Parameters
    ----------
    values : dict
        What the controls asked for.
    off, on : Pilot or None
        Power off; with part power, None where that is not shown.
    complete : bool
        True once all tries are in.
    rpm : tuple of float
        RPM on downwind, base and final; empty where there is no power. [rpm]
    """

    values: dict[str, Any]
    off: Pilot
    on: Pilot | None
    complete: bool = False
    rpm: tuple[float, ...] = ()


class ConsistencyBench:
    """Flies the tries that the controls ask for."""

    def __init__(self, context, habits=HABITS):
        self.bench = Bench(context)
        self.habits = habits
        self.propeller = propeller_of(context.airplane)
        self.parameters = context.airplane.parameters(context.airplane.mass_today)
        window = tolerance("commercial", "power_off_180", "touchdown_ft_beyond")
        self.window = m_from_ft(window.low), m_from_ft(window.high)
        self.no_turn = say("consistency.error.no_turn", preferences=context.preferences)
        self._planned: dict[tuple[str, float], ApproachPlan] = {}

    def draft(self, values: dict[str, Any]) -> Consistency:
        """Fly a few hundred tries of each pilot in one go, while a control moves."""
        habits, plans = self._habits(values), self._plans(values)
        alone = one_at_a_time(len(habits))
        scores = np.hstack([normal_scores(len(habits), FEW, SEED), alone])
        tries = [scattered(plan, self._wind(values), habits, scores) for plan in plans]
        plan, wind = tries[0]
        for other_plan, other_wind in tries[1:]:
            plan = side_by_side(_with_power(plan), other_plan)
            wind = side_by_side(wind, other_wind)
        pilot = PoweredPilot if len(plans) > 1 else PowerOffPilot
        flown = self._fly(plan, wind, MOVING_STEP, pilot)
        size = scores.shape[1]
        pilots = []
        for index in range(len(plans)):
            mine = _some(flown, slice(index * size, (index + 1) * size))
            ranked = self._ranked(_some(mine, slice(FEW, None)), values, OFF if not index else None)
            pilots.append(self._pilot(_some(mine, slice(FEW)), ranked))
        return self._result(values, plans, pilots)

    def full(self, values: dict[str, Any]) -> Iterator[Consistency]:
        """Fly all tries, some at a time; each result holds all that are in so far."""
        drafted = self.draft(values)
        habits, plans = self._habits(values), self._plans(values)
        ranked = [pilot.costs for pilot in (drafted.off, drafted.on) if pilot]
        flown: list[list[Tries]] = [[] for _ in plans]
        for portion in range(FULL // PORTION):
            for plan, mine in zip(plans, flown, strict=True):
                mine.append(self._try(plan, values, habits, portion))
            pilots = [self._pilot(_joined(m), r) for m, r in zip(flown, ranked, strict=True)]
            yield self._result(values, plans, pilots)
        finished = []
        for plan, pilot in zip(plans, pilots, strict=True):
            finished.append(replace(pilot, halved=self._halved(plan, values, habits, pilot)))
            yield self._result(values, plans, [*finished, *pilots[len(finished) :]])
        yield self._result(values, plans, finished, complete=True)

    def _halved(self, plan, values, habits, pilot):
        """Share within the window with the costliest habit at half its spread."""
        worst = pilot.costs[0][0]
        steadier = [
            Habit(h.quantity, 0.5 * h.value, 0.0, h.high, h.origin) if h.quantity == worst else h
            for h in habits
        ]
        tries = [self._try(plan, values, steadier, n) for n in range(HALVED // PORTION)]
        return summary(_joined(tries), self.bench.mark, self.window).inside

    def _try(self, plan, values, habits, portion):
        """Fly one portion of the tries; its number gives every pilot the same luck."""
        scores = normal_scores(len(habits), PORTION, (SEED, portion))
        plan, wind = scattered(plan, self._wind(values), habits, scores)
        pilot = PoweredPilot if isinstance(plan, PoweredPlan) else PowerOffPilot
        return self._fly(plan, wind, RESTING_STEP, pilot)

    def _fly(self, plan, wind, step, pilot):
        return fly_tries(
            plan,
            self.parameters,
            wind,
            self.bench.half_width,
            step,
            pilot,
            watch_stall=self.bench.stall_known,
        )

    def _pilot(self, tries, ranked):
        spread = summary(tries, self.bench.mark, self.window)
        return Pilot(spread, tries.x[tries.good] - self.bench.mark, ranked)

    def _ranked(self, tries, values, power):
        """Return what each habit of a pilot costs, the longest first."""
        power = power or values["power"]
        found = zip(self.habits, costs(tries, len(self.habits)), strict=True)
        mine = [(h.quantity, float(cost)) for h, cost in found if has_habit(h.quantity, power)]
        return tuple(sorted(mine, key=lambda pair: -np.nan_to_num(pair[1])))

    def _result(self, values, plans, pilots, complete=False):
        on = pilots[1] if len(pilots) > 1 else None
        plan = plans[-1]
        rpm = (plan.downwind_rpm, plan.base_rpm, plan.final_rpm) if on else ()
        return Consistency(values, pilots[0], on, complete, rpm)

    def _habits(self, values):
        """Return the habits with the spreads that the controls ask for."""
        return [replace(habit, value=values[habit.quantity]) for habit in self.habits]

    def _wind(self, values):
        return self.bench.wind({**self.bench.start, "headwind": values["headwind"]})

    def _plans(self, values):
        """Return the plan without power and, if it is asked for, the one with."""
        keys = [OFF]
        if values["power"] != OFF and self.propeller is not None:
            keys.append(values["power"])
        return [self.plan(key, values["headwind"]) for key in keys]

    def plan(self, key: str, headwind: float) -> ApproachPlan:
        """Return what a pilot means to do in a headwind: to touch in the middle of the window."""
        known = key, round(headwind, 2)
        if known not in self._planned:
            values = {**self.bench.start, "headwind": headwind}
            self._planned[known] = getattr(self, f"_plan_{key}")(values, self.bench.wind(values))
        return self._planned[known]

    def _plan_off(self, values, wind):
        found = self.bench.planned(values, "base_turn_distance", (0.0, LATEST_TURN), AIM)
        if found.value is None:
            raise ValueError(self.no_turn)
        return replace(self.bench.plan(values), base_turn_distance=found.value)

    def _plan_alone(self, values, wind):
        plan = powered_plan(self.bench.plan(values), self.parameters, self.propeller, wind)
        limits = (0.0, FARTHEST_TURN)
        turn = base_turn_of_touchdown(plan, self.parameters, wind, self.bench.mark + AIM, limits)
        if turn is None:
            raise ValueError(self.no_turn)
        return replace(plan, base_turn_distance=turn)

    def _plan_corrected(self, values, wind):
        return corrected_on_final(self.plan(ALONE, values["headwind"]), self.parameters, wind)


def has_habit(quantity: str, power: str) -> bool:
    """Tell whether a pilot has a habit: nobody has an RPM with the throttle closed."""
    return power in OF_POWER.get(quantity, (OFF, ALONE, CORRECTED))


def propeller_of(airplane) -> Propeller | None:
    """Return the card's propeller, or None where it has no fixed-pitch one of known diameter."""
    card = airplane.card
    diameter = card.value("propeller.diameter")
    if card.text("propeller.kind") == "constant speed" or diameter is None:
        return None
    idle, no_thrust = (airplane.parameters(propeller=state) for state in ("idle", "zero thrust"))
    power, rpm = card.value("engine.power"), card.value("engine.cruise_rpm")
    ratio = REPORT_ZERO_THRUST
    if power is not None and rpm is not None:
        ratio = zero_thrust_ratio_of_cruise(power, rpm, diameter, no_thrust)
    brake = idle.cd0[0] - no_thrust.cd0[0]
    return Propeller(
        diameter, ratio, idle_advance_ratio(max(brake, 0.0), idle.wing_area, diameter, ratio)
    )


def _with_power(plan):
    """Return a plan as one that could have power, with the throttle closed."""
    return PoweredPlan(**{field.name: getattr(plan, field.name) for field in fields(plan)})


def _some(tries, chosen):
    return Tries(tries.x[chosen], tries.in_line[chosen], tries.stalled[chosen])


def _joined(parts):
    return Tries(
        *(np.concatenate([getattr(part, f.name) for part in parts]) for f in fields(Tries))
    )
