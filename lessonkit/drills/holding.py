"""Feet that press as long as the bank lasts, instead of as long as the stick is over.

What the feet did is explained twice: by the rudder needed alone, at the best lag of a wide range,
and by the rudder needed and the bank together. Feet that stay in are explained much better with the
bank; feet that are late, weak or one-sided are not, for the rudder needed holds those faults.
"""

import numpy as np

from lessonkit.drills.demand_fit import sides_asked

LEAST_BANK_DEG = 4.0  # standard deviation; with less there is no bank to hold the pedal for
LAG_STEP = 0.1  # s
TOGETHER = (-0.5, 0.95)  # s by which feet that follow the bank may come after it
BETTER = 0.55  # sum of squares with the bank over that without it
LEAST_PART = 0.3  # strength of the part that follows the bank over that of the rudder used


def held_part(time, rudder, needed, bank_deg, lags) -> float:
    """Return how much of the rudder follows the bank and not what was needed; 0 where none does.

    Assumes that the feet follow need and bank with one and the same lag.

    Parameters
    ----------
    time : array
        At equal steps. [s]
    rudder, needed : array
        Used, and of the coordinated run. [share of travel]
    bank_deg : array
        + right wing down. [deg]
    lags : pair of float
        Range in which the feet may be late for what was needed. [s]

    Returns
    -------
    float
        Standard deviation of the part that follows the bank over that of the rudder, 0 where the
        bank does not explain the feet clearly better. [-]
    """
    if np.std(bank_deg) < LEAST_BANK_DEG or np.std(rudder) == 0.0:
        return 0.0
    few = slice(None, None, 3)
    asked = sides_asked(needed)
    feet = rudder[few]

    def left_over(lag, with_bank):
        shifted = np.interp(time[few] - lag, time, needed)
        columns = [np.ones(feet.size), *([shifted] if not all(asked) else _sides(shifted))]
        if with_bank:
            columns.insert(0, np.interp(time[few] - lag, time, bank_deg))
        columns = np.column_stack(columns)
        solved = np.linalg.lstsq(columns, feet, rcond=None)[0]
        return float(np.sum((feet - columns @ solved) ** 2)), float(solved[0])

    alone = min(left_over(lag, False)[0] for lag in np.arange(*lags, LAG_STEP))
    both, per_deg = min(left_over(lag, True) for lag in np.arange(*TOGETHER, LAG_STEP))
    part = per_deg * float(np.std(bank_deg)) / float(np.std(rudder))
    return part if both < BETTER * alone and part > LEAST_PART else 0.0


def _sides(needed):
    return [np.minimum(needed, 0.0), np.maximum(needed, 0.0)]
