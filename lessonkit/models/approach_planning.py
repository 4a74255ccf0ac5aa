"""Where to begin the turn to base so that the wheels touch down on the mark."""

from dataclasses import replace

from lessonkit.models.power_off_approach import COARSE_STEP, fly

CLOSE_ENOUGH = 1.0  # m of touchdown
MOST_TRIES = 40


def base_turn_for_touchdown(plan, parameters, wind, target_x, latest, coarse_step=COARSE_STEP):
    """Find the base turn that puts the touchdown on a wanted place.

    Assumes that a later turn lands shorter, which holds for a glide toward the runway.

    Parameters
    ----------
    plan : ApproachPlan
        Everything else about the approach. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    target_x : float
        Wanted touchdown, from the threshold. [m]
    latest : float
        Farthest past abeam that is tried. [m]
    coarse_step : float
        As in `fly`. [s]

    Returns
    -------
    float or None
        How far past abeam the turn begins; None where neither the earliest (abeam) nor the
        latest turn brackets the wanted place. [m]

    Notes
    -----
    Halving of the interval, to 1 m of touchdown.

    References
    ----------
    .. [1] Bisection; any textbook of numerical analysis.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 200.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> turn = base_turn_for_touchdown(plan, airplane, Wind(), 100.0, 2000.0)
    >>> flown = fly(replace(plan, base_turn_distance=turn), airplane, Wind())
    >>> bool(abs(flown.touchdown.x - 100.0) <= 1.0)
    True
    """

    def beyond(distance):
        turned = replace(plan, base_turn_distance=distance)
        return fly(turned, parameters, wind, coarse_step).touchdown.x - target_x

    early, late = 0.0, latest
    long, short = beyond(early), beyond(late)
    if not (long >= 0.0 >= short):
        return None
    for _ in range(MOST_TRIES):
        if long - short <= 0.0:
            break
        share = min(max(long / (long - short), 0.1), 0.9)
        middle = early + share * (late - early)
        miss = beyond(middle)
        if abs(miss) <= CLOSE_ENOUGH:
            return middle
        if miss > 0.0:
            early, long = middle, miss
        else:
            late, short = middle, miss
    return 0.5 * (early + late)
