"""Which turn, distance or height puts the touchdown on a wanted place, and whether any does."""

from dataclasses import dataclass, replace

import numpy as np

from lessonkit.models.approach_results import Approach
from lessonkit.models.approach_review import touches_in_line
from lessonkit.models.power_off_approach import COARSE_STEP, fly, fly_many

CLOSE_ENOUGH = 1.0  # m of touchdown
MOST_TRIES = 40
TRIED = 7  # values of the planned quantity that are flown


@dataclass(frozen=True)
class Planned:
    """What planning an approach gives.

    Parameters
    ----------
    value : float or None
        Of the planned quantity; None where no value within the limits reaches the place. [SI]
    tried : array
        Values that were flown, shape (tries,). [SI]
    touchdown_x : array
        Their touchdowns from the threshold, shape (tries,); NaN where the ground comes before
        the airplane is lined up. [m]
    approach : Approach or None
        The planned approach, flown. [SI]
    """

    value: float | None
    tried: np.ndarray
    touchdown_x: np.ndarray
    approach: Approach | None = None


def plan_touchdown(
    plan,
    quantity,
    limits,
    parameters,
    wind,
    target_x,
    half_width,
    coarse_step=COARSE_STEP,
    tries=TRIED,
):
    """Find the value of one quantity of a plan that puts the touchdown on a wanted place.

    Assumes nothing about which way the touchdown moves: the whole range is flown, and the
    crossing is refined where two neighbours lie on either side of the wanted place.

    Parameters
    ----------
    plan : ApproachPlan
        Everything else about the approach. [SI]
    quantity : str
        Field of the plan, such as "base_turn_distance" or "abeam_distance". [-]
    limits : pair of float
        Least and greatest value that is tried. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    target_x : float
        Wanted touchdown, from the threshold. [m]
    half_width : float
        Half of the runway's width. [m]
    coarse_step : float
        As in `fly`. [s]
    tries : int
        How many values are flown, evenly apart. [-]

    Returns
    -------
    Planned
        With the first value found from the lower limit up. [SI]

    Notes
    -----
    Regula falsi with a guard, to 1 m of touchdown.

    References
    ----------
    .. [1] Bracketing of a root; any textbook of numerical analysis.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 200.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> found = plan_touchdown(
    ...     plan, "abeam_distance", (500.0, 1500.0), airplane, Wind(), 100.0, 9.0
    ... )
    >>> bool(abs(found.approach.touchdown.x - 100.0) <= 1.0)
    True
    >>> plan_touchdown(
    ...     plan, "abeam_distance", (500.0, 1500.0), airplane, Wind(), 5000.0, 9.0
    ... ).value is None
    True
    """

    def flown(value):
        return fly(replace(plan, **{quantity: value}), parameters, wind, coarse_step)

    tried = np.linspace(*limits, tries)
    downs = [flown(float(value)).touchdown for value in tried]  # so few are quickest one by one
    reached = np.array([down.x if touches_in_line(down, half_width) else np.nan for down in downs])
    bracket = _first_bracket(tried, reached - target_x)
    if bracket is None:
        return Planned(None, tried, reached)
    value, approach = _refined(flown, target_x, *bracket)
    if not touches_in_line(approach.touchdown, half_width):
        return Planned(None, tried, reached)
    return Planned(value, tried, reached, approach)


def _first_bracket(values, misses):
    """Return the two neighbours between which the miss changes its sign, with their misses."""
    for index in range(values.size - 1):
        one, other = misses[index], misses[index + 1]
        if np.isfinite(one) and np.isfinite(other) and one * other <= 0.0:
            return values[index], one, values[index + 1], other
    return None


def _refined(flown, target_x, low, low_miss, high, high_miss):
    """Close in on the wanted touchdown; never leave the bracket."""
    for _ in range(MOST_TRIES):
        share = 0.5 if low_miss == high_miss else low_miss / (low_miss - high_miss)
        middle = float(low + min(max(share, 0.1), 0.9) * (high - low))
        approach = flown(middle)
        miss = approach.touchdown.x - target_x
        if abs(miss) <= CLOSE_ENOUGH:
            break
        if miss * low_miss > 0.0:
            low, low_miss = middle, miss
        else:
            high, high_miss = middle, miss
    return middle, approach


def changes_that_reach(
    plan, changes, parameters, wind, target_x, beyond, half_width, coarse_step=COARSE_STEP
):
    """Tell which single changes of a plan bring a wanted touchdown within reach.

    Assumes that `plan` already holds the turn that reaches farthest, or least far.

    Parameters
    ----------
    plan : ApproachPlan
        With the earliest or the latest turn to base. [SI]
    changes : sequence of (str, float)
        Field of the plan and what it becomes, one change for each case. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    target_x : float
        Wanted touchdown, from the threshold. [m]
    beyond : bool
        True if the touchdown has to come at least as far as the target, False if at most. [-]
    half_width : float
        Half of the runway's width. [m]
    coarse_step : float
        As in `fly`. [s]

    Returns
    -------
    array of bool
        One for each change, shape (changes,); all are flown side by side. [-]

    References
    ----------
    .. [1] Flown, not derived; nothing to cite.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(2000.0, 150.0, 0.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> changes = [("abeam_distance", 1700.0), ("abeam_distance", 1400.0), ("abeam_height", 300.0)]
    >>> changes_that_reach(plan, changes, airplane, Wind(), 100.0, True, 9.0).tolist()
    [False, True, True]
    """
    if not len(changes):
        return np.zeros(0, dtype=bool)
    fields = {name: np.full(len(changes), getattr(plan, name), dtype=float) for name, _ in changes}
    for case, (name, value) in enumerate(changes):
        fields[name][case] = value
    down = fly_many(replace(plan, **fields), parameters, wind, coarse_step)
    sign = 1.0 if beyond else -1.0
    return touches_in_line(down, half_width) & (sign * (down.x - target_x) >= 0.0)
