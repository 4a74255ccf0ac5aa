"""What a drill of the feet asks for against time, and who holds the stick."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np

from lessonkit.drills.rhythm import STEP, power_changes, rolls
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.turning import rate_of_turn_dps
from lessonkit.units import mps_from_kt

FEET, BOTH, CHANGING = "feet", "both", "changing"
LEVELS = (FEET, BOTH, CHANGING)
HEADING, STRAIGHT = "rolls", "straight"  # rolls on a heading; hold the nose straight
BANK_DEG = 12.0  # each way; a whole roll of 24 deg in two seconds is brisk, not violent
STEADY_POWER = 0.45  # share of full power, about what level flight takes; common practice
CHANGED_POWER = (0.2, 0.9)
SLOWEST, FASTEST = 0.9, 1.35  # of best glide, flaps up: well above the stall, below VA
LEAST_ABOVE_STALL = 1.2
DRAWS = 40  # rhythms from which one is taken; each is as random as the others
SPEED_STEP = mps_from_kt(1.0)


@dataclass(frozen=True, eq=False)
class Program:
    """One run of a drill, made beforehand; the same for the same seed.

    Parameters
    ----------
    task, level : str
        What is practised, and who does what.
    airplane : LateralAirplane
        As the motion sees it. [SI]
    seed : int
        Of the rhythm.
    time, bank_deg, tas, power : array
        At every step: time [s], wanted bank [deg], true airspeed [m/s], share of full power [-].
    """

    task: str
    level: str
    airplane: Any
    seed: int
    time: np.ndarray
    bank_deg: np.ndarray
    tas: np.ndarray
    power: np.ndarray
    density: float = SEA_LEVEL_DENSITY
    step: float = STEP

    @property
    def flown_by_hand(self) -> tuple[str, ...]:
        """The controls that the learner moves."""
        by_feet = self.task == STRAIGHT or self.level == FEET
        return ("rudder",) if by_feet else ("aileron", "rudder")

    @property
    def duration(self) -> float:
        """Length of the run in seconds."""
        return float(self.time[-1])


def speed_range(airplane) -> tuple[float, float, float]:
    """Return the lowest, the usual and the highest speed of the drills [m/s, CAS].

    Parameters
    ----------
    airplane : Airplane
        The learner's card.
    """
    glide = airplane.best_glide_cas()
    stall = airplane.stall_cas(0.0)
    low = max(SLOWEST * glide, LEAST_ABOVE_STALL * (stall or 0.0))
    return low, max(glide, low), max(FASTEST * glide, low + 10.0 * SPEED_STEP)


@lru_cache(maxsize=8)
def program(task: str, level: str, lateral, speeds: tuple, cas: float, seed: int) -> Program:
    """Return the run of a drill; made once for the same question.

    Parameters
    ----------
    task, level : str
        `HEADING` or `STRAIGHT`; one of `LEVELS`.
    lateral : LateralAirplane
        The airplane as the motion sees it.
    speeds : tuple of three floats
        Of ``speed_range``. [m/s]
    cas : float
        Calibrated airspeed at which it is flown, sea level; where speed changes, it begins or
        ends there. [m/s]
    seed : int
        Of the rhythm.
    """
    if task == STRAIGHT:
        change = power_changes(seed)
        low, _, high = speeds
        fast = high if cas - low < high - cas else cas
        slow = cas if cas - low < high - cas else low
        # The steady level leaves the speed alone: only the throttle moves.
        share = change.speed if level == CHANGING else np.zeros_like(change.time)
        tas = slow + (fast - slow) * share if level == CHANGING else np.full_like(share, cas)
        level_wings = np.zeros_like(change.time)
        return Program(task, level, lateral, seed, change.time, level_wings, tas, change.power)
    rhythm = _on_heading(seed, cas)
    tas, power = np.full_like(rhythm.time, cas), np.full_like(rhythm.time, STEADY_POWER)
    if level == CHANGING:
        low, _, high = speeds
        change = power_changes(seed)
        tas = low + (high - low) * change.speed
        power = np.interp(change.speed, (0.0, 1.0), CHANGED_POWER[::-1])
    return Program(task, level, lateral, seed, rhythm.time, rhythm.bank_deg, tas, power)


def _on_heading(seed: int, tas: float):
    """Return of many random rhythms the one whose turns keep the nose nearest to the tower."""
    drawn = [rolls(DRAWS * seed + number, bank_deg=BANK_DEG) for number in range(DRAWS)]

    def off(rhythm):
        turned = np.cumsum(rate_of_turn_dps(tas, rhythm.bank_deg)) * STEP
        return np.abs(turned).max()

    return min(drawn, key=off)
