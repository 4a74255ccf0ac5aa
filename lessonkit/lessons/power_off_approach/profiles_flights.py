"""Both approaches of the profiles panel, as the learner's airplane flies them."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.lessons.power_off_approach.flights import AIM, LATEST_TURN, MARK, Bench
from lessonkit.models.airspeed import cas_from_tas, tas_from_cas
from lessonkit.models.approach_geometry import descent_rate_on_path
from lessonkit.models.final_track import track_onto_final
from lessonkit.models.late_flaps import SETTING, LateFlapPilot, LateFlapPlan
from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_approach import fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.stabilised_approach import (
    LAST_HEIGHT,
    POWER_OFF,
    POWERED,
    Criterion,
    Final,
    Profile,
    assess,
)
from lessonkit.models.wind_profile import wind_growth
from lessonkit.units import m_from_ft, m_from_nm, mps_from_kt

POWERED_PATH_DEG = 3.5  # a usual path of a light airplane with power; common practice, no source
POWERED_LINED_UP = m_from_ft(650.0)  # where a turn on time ends, with power; no source
FLARE_AND_FLOAT = m_from_ft(400.0)  # from the aiming point to the touchdown; no source
BANK_DEG = 30.0
HIGHEST = m_from_ft(1000.0)
ABEAM = m_from_nm(0.35)  # close enough for a final that begins well above the gate; no source
STEP = 0.25  # s, also while a control moves: the gate is a matter of feet
READ = mps_from_kt(0.5)  # a dial is read no finer
ON_FINAL_DEG = 80.0  # of heading off the runway's: from here on the turn to final is under way
WIND_STEP = mps_from_kt(
    5.0
)  # winds for which the turn to base is planned; between, a straight line


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
    powered: Held | None
    power_off: Held | None  # None where an approach does not pass its gate
    final_cas: float


class ProfileBench:
    """Flies both approaches in the learner's airplane."""

    def __init__(self, context):
        self.bench = Bench(context)
        self.airplane = context.airplane
        self._start = {**self.bench.start, "abeam": ABEAM}
        self._turns: dict[int, float] = {}

    def fly(self, values: dict[str, Any]) -> Both:
        """Fly both for the controls' values."""
        powered = replace(
            POWERED, gate_height=values["powered_gate"], sink_limit=values["sink_limit"]
        )
        power_off = replace(POWER_OFF, gate_height=values["power_off_gate"])
        return Both(
            values,
            self._held(powered, *self._powered(values)),
            self._held(power_off, *self._power_off(values)),
            self.bench.final_cas,
        )

    def _held(self, profile, x, final):
        """Hold a final against its profile; None where it begins below the gate."""
        if not final.height.size or final.height.max() < profile.gate_height:
            return None
        meant = self.bench.final_cas
        read = meant + READ * np.round((final.cas - meant) / READ)
        criteria = assess(replace(final, cas=read), profile, meant, self.airplane.landing_flap_deg)
        return Held(profile, x, final, criteria)

    def _powered(self, values):
        """Return a steady path held with power; the sink follows from path and ground speed."""
        wind = self.bench.wind({"headwind": values["headwind"], "crosswind": 0.0})

        def ground_speed(height):
            speed = tas_from_cas(
                self.bench.final_cas + values["fast"], self.bench.airfield.elevation + height
            )
            return speed + wind.along * wind_growth(height, wind.exponent)[0]

        track = track_onto_final(
            MARK - FLARE_AND_FLOAT,
            POWERED_PATH_DEG,
            POWERED_LINED_UP,
            float(ground_speed(POWERED_LINED_UP)),
            values["late"],
            BANK_DEG,
            HIGHEST,
        )
        one = np.ones(track.height.size)
        final = Final(
            height=track.height,
            offset=track.offset,
            bank_deg=track.bank_deg,
            flap_deg=self._flaps(track.height, values["flaps_by"]),
            cas=(self.bench.final_cas + values["fast"]) * one,
            sink_rate=descent_rate_on_path(ground_speed(track.height), POWERED_PATH_DEG),
        )
        return track.x, final

    def _flaps(self, height, flaps_by):
        base, landing = self._start["base_flap"], self._start["final_flap"]
        return landing + (base - landing) * smooth_step(height, flaps_by, flaps_by + SETTING)

    def _power_off(self, values):
        """Fly the bench's approach with what the controls put wrong, and keep its final."""
        bench = self.bench
        settings = {
            **self._start,
            "headwind": values["headwind"],
            "base_turn": self._base_turn(values["headwind"]),
        }
        meant = bench.plan(settings)
        final_cas = meant.final_cas + values["fast"]
        # Whoever is fast on final was no slower on base.
        base_cas = max(meant.base_cas, final_cas)
        plan = LateFlapPlan(
            **{name: getattr(meant, name) for name in ApproachPlan.__dataclass_fields__},
            flaps_by=values["flaps_by"],
        )
        plan = replace(
            plan,
            final_cas=final_cas,
            base_cas=base_cas,
            downwind_cas=base_cas,
            entry_cas=max(meant.entry_cas, base_cas),
            final_turn_delay=values["late"],
        )
        wind = bench.wind(settings)
        history = fly(plan, bench.airplane.parameters(), wind, STEP, LateFlapPilot).history
        return self._final_of(history)

    def _final_of(self, history):
        """Return the part of a history from the turn to final down to the round-out."""
        shown = (np.abs(history.heading_deg) < ON_FINAL_DEG) & (history.height <= HIGHEST)
        shown &= history.height >= 0.5 * LAST_HEIGHT
        height, tas = history.height[shown], history.true_airspeed[shown]
        final = Final(
            height=height,
            offset=history.y[shown],
            bank_deg=history.bank_deg[shown],
            flap_deg=history.flap_lever_deg[shown],
            cas=cas_from_tas(tas, self.bench.airfield.elevation + height),
            sink_rate=-tas * np.sin(np.radians(history.path_angle_deg[shown])),
        )
        return history.x[shown], final

    def _base_turn(self, headwind):
        """Return the turn to base planned for a headwind, by a straight line between two winds."""
        at = headwind / WIND_STEP
        low = math.floor(at)
        share = at - low
        if share < 1e-6:
            return self._planned(low)
        return (1.0 - share) * self._planned(low) + share * self._planned(low + 1)

    def _planned(self, step):
        if step not in self._turns:
            settings = {**self._start, "headwind": step * WIND_STEP}
            found = self.bench.planned(settings, "base_turn_distance", (0.0, LATEST_TURN), AIM)
            # Where no turn fits, the bench's own: the approach is then judged as it comes.
            turn = self.bench.start["base_turn"] if found.value is None else found.value
            self._turns[step] = turn
        return self._turns[step]
