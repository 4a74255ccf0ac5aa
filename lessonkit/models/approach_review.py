"""What a flown power-off approach shows: key points, stall margin, place of the touchdown."""

from dataclasses import dataclass

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.drag import lift_coefficient
from lessonkit.units import m_from_ft

# Half-width of the band in which a touchdown computed from handbook figures may truly lie: a
# point mass fitted to them landed within 400 ft of a six-degree-of-freedom reference in seven
# cases of wind and turn (tests/sixdof). 400 ft is 51 ft of height at a glide of 7.8 to 1.
UNCALIBRATED_BAND = m_from_ft(400.0)  # m
# Flaps up, slow or steeply banked, one parabola through the best glide gives too little drag: the
# reference landed 422 to 835 ft shorter (tests/sixdof, test_flaps_up_and_slow_...).
SLOW_CLEAN_BAND = m_from_ft(850.0)  # m, on the short side
SLOW_CLEAN_LIFT_SHARE = 0.65  # of the greatest lift; 1.24 times the stall speed in level flight
CLEAN_FLAP_DEG = 5.0

# A power-off approach is lined up by here or gone around from: turn to final complete at or above
# 300 ft, Airplane Flying Handbook FAA-H-8083-3A p. 8-24, said there of the approach from overhead.
GATE_HEIGHT = m_from_ft(300.0)

BANK_BEGINS_DEG = 5.0  # bank at which a turn has visibly begun; common practice, no source
BASE_TRACK_DEG, LEAVE_BASE_TRACK_DEG, FINAL_TRACK_DEG = 100.0, 80.0, 10.0  # off the final track
ON_LINE_HEADING_DEG, ON_LINE_BANK_DEG = (
    20.0,
    10.0,
)  # beyond either, the wheels meet the ground in a turn

KEYS = ("abeam", "base_turn", "base", "final_turn", "final", "round_out", "touchdown")


@dataclass(frozen=True)
class KeyPoint:
    """A named moment of an approach.

    Parameters
    ----------
    key : str
        One of `KEYS`.
    time : float
        Since abeam. [s]
    x, y, height : float
        Place. [m]
    """

    key: str
    time: float
    x: float
    y: float
    height: float


def key_points(approach):
    """Find the key points of an approach, in the order in which they are flown.

    Assumes a rectangular pattern or a continuous turn; a point that is not reached before the
    ground is left out.

    Parameters
    ----------
    approach : Approach
        A flown approach. [SI]

    Returns
    -------
    tuple of KeyPoint
        Abeam; turn to base begun (5 deg of bank); on base (track within 100 deg of the final
        track); turn to final (within 80 deg); on final (within 10 deg); round-out; touchdown.
        [m, s]

    References
    ----------
    .. [1] Key positions: Airplane Flying Handbook FAA-H-8083-3A p. 8-23; the angles are our own.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_approach import fly
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> [point.key for point in key_points(fly(plan, airplane, Wind()))][:3]
    ['abeam', 'base_turn', 'base']
    """
    h, plan = approach.history, approach.plan
    track = np.abs(np.degrees(np.arctan2(np.gradient(h.y), np.gradient(h.x))))
    turning = -plan.side * h.bank_deg >= BANK_BEGINS_DEG
    passed = {
        "abeam": np.arange(h.time.size) == 0,
        "base_turn": turning,
        "base": track <= BASE_TRACK_DEG,
        "final_turn": track <= LEAVE_BASE_TRACK_DEG,
        "final": track <= FINAL_TRACK_DEG,
        "round_out": h.height <= plan.round_out_height,
    }
    found = [_point(key, h, int(np.argmax(mask))) for key, mask in passed.items() if mask.any()]
    if np.isfinite(approach.touchdown.x):
        found.append(_point("touchdown", h, h.time.size - 1))
    return tuple(found)


def key_point(points, key):
    """Pick a key point by its name.

    Parameters
    ----------
    points : sequence of KeyPoint
        As from `key_points`. [m, s]
    key : str
        One of `KEYS`. [-]

    Returns
    -------
    KeyPoint or None
        None where it is not reached before the ground. [m, s]

    References
    ----------
    .. [1] Nothing to cite.

    Examples
    --------
    >>> key_point([KeyPoint("final", 52.0, -600.0, 0.0, 101.0)], "final").height
    101.0
    """
    return next((point for point in points if point.key == key), None)


def lined_up_height(points):
    """Height at which an approach is lined up on final.

    Parameters
    ----------
    points : sequence of KeyPoint
        As from `key_points`. [m, s]

    Returns
    -------
    float
        0 where it never is. [m]

    References
    ----------
    .. [1] Nothing to cite.

    Examples
    --------
    >>> lined_up_height([KeyPoint("final", 52.0, -600.0, 0.0, 101.0)]), lined_up_height([])
    (101.0, 0.0)
    """
    final = key_point(points, "final")
    return 0.0 if final is None else final.height


def _point(key, history, index):
    h = history
    return KeyPoint(
        key, float(h.time[index]), float(h.x[index]), float(h.y[index]), float(h.height[index])
    )


def least_stall_margin(approach, parameters, wind):
    """Find the smallest gap between the airspeed and the stall speed above the round-out.

    Assumes coordinated flight; a gust or a skid takes from this margin.

    Parameters
    ----------
    approach : Approach
        A flown approach. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air, for its density. [SI]

    Returns
    -------
    margin : float
        Airspeed less the stall speed at the load factor pulled and the flap angle, CAS. [m/s]
    index : int
        Where in the history. [-]

    References
    ----------
    .. [1] V_stall = sqrt(2 n W / (rho S CLmax)); stall speed grows with sqrt(n): Airplane Flying
       Handbook FAA-H-8083-3A ch. 9.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_approach import fly
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    >>> margin, _ = least_stall_margin(fly(plan, airplane, Wind()), airplane, Wind())
    >>> 3.0 < margin < 8.0
    True
    """
    h = approach.history
    density = wind.density(h.height)
    cl = lift_coefficient(
        h.load_factor, parameters.weight, density, h.true_airspeed, parameters.wing_area
    )
    cl_max = np.interp(h.flap_deg, parameters.flap_deg, parameters.cl_max)
    cas = h.true_airspeed * np.sqrt(density / SEA_LEVEL_DENSITY)
    margin = cas * (1.0 - np.sqrt(np.maximum(cl, 0.0) / cl_max))
    margin = np.where(h.height > approach.plan.round_out_height, margin, np.inf)
    index = int(np.argmin(margin))
    return float(margin[index]), index


def slow_and_clean(approach, parameters, wind):
    """Tell whether the approach was flown where the card's drag is known to be too low.

    Parameters
    ----------
    approach : Approach
        A flown approach. [SI]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air, for its density. [SI]

    Returns
    -------
    bool
        True where, flaps up and above the round-out, the lift coefficient passed 0.65 of its
        greatest value. [-]

    References
    ----------
    .. [1] Comparison with a six-degree-of-freedom model, tests/sixdof.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.power_off_approach import fly
    >>> from lessonkit.models.power_off_pilot import ApproachPlan
    >>> from lessonkit.models.wind_profile import Wind
    >>> airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> plan = ApproachPlan(900.0, 300.0, 450.0, 45.0, 42.0, 42.0, 42.0, 30.0)
    >>> slow_and_clean(fly(plan, airplane, Wind()), airplane, Wind())
    False
    """
    h = approach.history
    cl = lift_coefficient(
        h.load_factor,
        parameters.weight,
        wind.density(h.height),
        h.true_airspeed,
        parameters.wing_area,
    )
    counted = (h.flap_deg < CLEAN_FLAP_DEG) & (h.height > approach.plan.round_out_height)
    return bool(np.any(counted & (cl > SLOW_CLEAN_LIFT_SHARE * parameters.cl_max[0])))


def touches_in_line(touchdown, half_width):
    """Tell whether the wheels meet the runway's strip wings level and about along it.

    Parameters
    ----------
    touchdown : Touchdowns
        Of one approach or of many. [SI, deg]
    half_width : float
        Half of the runway's width. [m]

    Returns
    -------
    bool or array of bool
        False where the ground comes in a turn, beside the runway, or not at all. [-]

    References
    ----------
    .. [1] Limits of our own: heading within 20 deg, bank within 10 deg.

    Examples
    --------
    >>> from lessonkit.models.approach_results import Touchdowns
    >>> touches_in_line(Touchdowns(90.0, 1.0, 80.0, 27.0, 27.0, 0.6, 2.0, 0.0), 9.0)
    True
    """
    inside = (
        (np.abs(touchdown.y) <= half_width)
        & (np.abs(touchdown.heading_deg) <= ON_LINE_HEADING_DEG)
        & (np.abs(touchdown.bank_deg) <= ON_LINE_BANK_DEG)
    )
    return bool(inside) if np.ndim(inside) == 0 else inside
