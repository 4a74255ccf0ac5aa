"""From the bench's settings to a flown approach and, if asked for, to its scatter."""

import functools
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.models.approach_planning import Planned, plan_touchdown
from lessonkit.models.approach_results import Approach
from lessonkit.models.approach_review import (
    GATE_HEIGHT,
    SLOW_CLEAN_BAND,
    UNCALIBRATED_BAND,
    key_points,
    least_stall_margin,
    lined_up_height,
    slow_and_clean,
    touches_in_line,
)
from lessonkit.models.habits import ASSUMED, Habit
from lessonkit.models.power_off_approach import COARSE_STEP, DRAFT_STEP, fly
from lessonkit.models.power_off_pilot import ApproachPlan, touchdown_speed
from lessonkit.models.standards import within_standard
from lessonkit.models.touchdown_spread import fly_tries, scattered
from lessonkit.models.touchdown_spread_draws import normal_scores
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, m_from_ft, m_from_nm, mps_from_kt

MARK = m_from_ft(500.0)  # from the threshold to the mark
AIM = m_from_ft(100.0)  # beyond the mark: the middle of the commercial window
HEIGHT_ABEAM = m_from_ft(1000.0)  # Airplane Flying Handbook FAA-H-8083-3A p. 8-23
FIRST_DISTANCES = tuple(m_from_nm(d) for d in (0.45, 0.5, 0.6, 0.7, 0.4, 0.8, 0.3))
LATEST_TURN = m_from_ft(4000.0)
LIGHT_LOAD = 80.0  # kg, one light pilot and a little fuel; common practice, no source
LEAST_SHARE = 0.7  # of the maximum, where no empty weight is known
FEW, FULL = 300, 2000
SEED = 20
KEPT = 64  # plans kept

# The panels of the page all begin with the same plan: it is flown once. Whatever a plan depends on
# is part of the call, so another airplane, wind or traffic is another plan.
_planned = functools.lru_cache(maxsize=KEPT)(plan_touchdown)

# One standard deviation of a careful pilot; assumed, not measured, and shown as such.
SPREADS = (
    Habit("abeam_distance_spread", m_from_ft(150), m_from_ft(50), m_from_ft(400), ASSUMED),
    Habit("abeam_height_spread", m_from_ft(40), m_from_ft(20), m_from_ft(100), ASSUMED),
    Habit("base_turn_delay_spread", 1.5, 0.5, 4.0, ASSUMED),
    Habit("final_turn_delay_spread", 0.7, 0.3, 2.0, ASSUMED),
    Habit("base_cas_spread", mps_from_kt(2), mps_from_kt(1), mps_from_kt(5), ASSUMED),
    Habit("final_cas_spread", mps_from_kt(2), mps_from_kt(1), mps_from_kt(5), ASSUMED),
    Habit("bank_deg_spread", 3.0, 1.0, 7.0, ASSUMED),
)


@dataclass(frozen=True)
class Flight:
    """One approach of the bench and what is shown of it."""

    values: dict[str, Any]  # what the controls asked for
    approach: Approach
    points: tuple
    margin: float | None
    stall: float | None  # stall speed in the landing configuration, CAS [m/s]
    in_line: bool
    beyond: float  # touchdown beyond the mark [m], NaN where the ground comes elsewhere
    band: float = UNCALIBRATED_BAND  # how much farther the truth may be [m]
    short_band: float = UNCALIBRATED_BAND  # how much shorter [m]
    scatter: np.ndarray | None = None  # touchdowns beyond the mark [m], in line, not stalled
    tries: int = 0
    inside: int = 0


class Bench:
    """The learner's airplane and airfield, ready to fly what the controls ask for."""

    def __init__(self, context):
        self.airplane, self.airfield = context.airplane, context.airfield
        # Where the model's wheels have to touch for the real ones to be on the mark.
        self.mark = MARK - self.airplane.touchdown_offset
        self.stall_known = self.airplane.stall_cas(self.airplane.landing_flap_deg) is not None
        self.start = self._start()

    def plan(self, values: dict[str, Any]) -> ApproachPlan:
        """Return the pilot's plan for the controls' values."""
        airplane, mass = self.airplane, values["mass"]
        return ApproachPlan(
            abeam_distance=values["abeam"],
            abeam_height=values["height"],
            base_turn_distance=values["base_turn"],
            entry_cas=max(self.entry_cas, values["glide_cas"]),
            downwind_cas=values["glide_cas"],
            base_cas=values["glide_cas"],
            final_cas=values["final_cas"],
            touchdown_cas=touchdown_speed(
                airplane.stall_cas(values["final_flap"], mass), self.final_cas
            ),
            base_flap_deg=values["base_flap"],
            final_flap_deg=values["final_flap"],
            bank_deg=values["bank"],
            mark_x=MARK,
            side=self.airfield.side,
        )

    def wind(self, values: dict[str, Any]) -> Wind:
        """Return the air for the controls' values."""
        return Wind(
            along=-values["headwind"],
            across=values["crosswind"],
            elevation=self.airfield.elevation,
        )

    def draft(self, values: dict[str, Any]) -> Flight:
        """Fly while a control moves: longer steps, a few hundred tries."""
        return self._fly(values, DRAFT_STEP, FEW)

    def fly(self, values: dict[str, Any]) -> Flight:
        """Fly once the controls rest: short steps, the full number of tries."""
        return self._fly(values, COARSE_STEP, FULL)

    def planned(self, values: dict[str, Any], quantity: str, limits, beyond: float) -> Planned:
        """Plan one quantity so that the wheels touch `beyond` the mark [m]."""
        return _planned(
            self.plan(values),
            quantity,
            tuple(limits),
            self.airplane.parameters(values["mass"]),
            self.wind(values),
            self.mark + beyond,
            self.half_width,
            DRAFT_STEP,
        )

    def _fly(self, values, step, tries):
        plan, wind = self.plan(values), self.wind(values)
        parameters = self.airplane.parameters(values["mass"])
        approach = fly(plan, parameters, wind, step)
        in_line = touches_in_line(approach.touchdown, self.half_width)
        stall = self.airplane.stall_cas(values["final_flap"], values["mass"])
        margin = least_stall_margin(approach, parameters, wind)[0] if self.stall_known else None
        flight = Flight(
            values,
            approach,
            key_points(approach),
            margin,
            stall,
            in_line,
            approach.touchdown.x - self.mark,
            self.band,
            self.band,
        )
        if slow_and_clean(approach, parameters, wind):
            flight = replace(flight, short_band=SLOW_CLEAN_BAND)
        if values["scatter"]:
            flight = self._with_scatter(flight, plan, parameters, wind, step, tries)
        return flight

    @property
    def lightest(self) -> float:
        """Least weight of the bench in kg: empty with a light load, or well below maximum."""
        empty, most = (self.airplane.card.value(f"weights.{key}") for key in ("empty", "max"))
        least = LIGHT_LOAD + empty if empty is not None else LEAST_SHARE * most
        return min(least, self.airplane.mass_today)

    @property
    def band(self) -> float:
        """How far off a computed touchdown may be, either way, in m: by how the card is proven."""
        return self.airplane.touchdown_band

    @property
    def half_width(self) -> float:
        """Half of the runway's width in m."""
        return 0.5 * self.airfield.runway_width

    @property
    def entry_cas(self) -> float:
        """Pattern speed abeam: the card's, or the glide speed where none may be stated."""
        return self.airplane.approach_cas("downwind") or self.airplane.best_glide_cas()

    @property
    def final_cas(self) -> float:
        """Recommended speed on final, or the glide speed where none may be stated."""
        return self.airplane.approach_cas("final") or self.airplane.best_glide_cas()

    def _with_scatter(self, flight, plan, parameters, wind, step, tries):
        plan, wind = scattered(plan, wind, SPREADS, normal_scores(len(SPREADS), tries, SEED))
        flown = fly_tries(
            plan, parameters, wind, self.half_width, step, watch_stall=self.stall_known
        )
        beyond = (flown.x - self.mark)[flown.good]
        inside = within_standard(
            "commercial", "power_off_180", "touchdown_ft_beyond", 0.0, ft_from_m(beyond)
        )
        return replace(flight, scatter=beyond, tries=tries, inside=int(np.count_nonzero(inside)))

    def _start(self):
        """Return start values: calm air, and a base turn that reaches the middle of the window."""
        airplane = self.airplane
        flaps = airplane.flap_deg
        values = {
            "base_turn": 0.5 * LATEST_TURN,
            "abeam": FIRST_DISTANCES[0],
            "height": HEIGHT_ABEAM,
            "headwind": 0.0,
            "crosswind": 0.0,
            "glide_cas": airplane.best_glide_cas(),
            "final_cas": self.final_cas,
            "base_flap": flaps[min(1, len(flaps) - 1)],
            "final_flap": flaps[-1],
            "bank": 30.0,
            "mass": airplane.mass_today,
            "scatter": False,
        }
        first = None
        for distance in FIRST_DISTANCES:
            tried = {**values, "abeam": distance}
            found = self.planned(tried, "base_turn_distance", (0.0, LATEST_TURN), AIM)
            if found.value is None:
                continue
            tried["base_turn"] = found.value
            if lined_up_height(key_points(found.approach)) >= GATE_HEIGHT:
                return tried
            first = first or tried
        return first or values
