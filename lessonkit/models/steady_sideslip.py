"""Straight flight with power, and with a sideslip: what hands and feet hold, and the limits.

Signs: sideslip + wind from the right, rudder + right pedal, aileron + rolls right, bank + right
wing down, crosswind + from the right.
"""

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_airplane import LateralAirplane
from lessonkit.models.lateral_sets import controls_for_sideslip_deg as controls_for_sideslip_deg
from lessonkit.models.steady_flight import SteadyFlight, steady_flight


def steady_straight(
    airplane: LateralAirplane,
    tas: float,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
    sideslip_deg: float = 0.0,
) -> SteadyFlight:
    """Straight flight with a given sideslip, none unless asked for.

    Assumes level flight; beyond the travel of a control the need is given all the same.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]
    sideslip_deg : float or array
        + wind from the right. [deg]

    Returns
    -------
    SteadyFlight
        [deg, shares of travel]

    Raises
    ------
    ValueError
        If the speed is not above 0.

    References
    ----------
    .. [1] Balance of side force, rolling and yawing moment, as in `steady_flight`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slip = steady_straight(scaled(SETS["B"], light), 36.0, sideslip_deg=5.0)
    >>> slip.rudder < 0.0 < slip.bank_deg  # wind from the right: left pedal, right wing low
    True
    """
    sideslip = np.radians(sideslip_deg)
    return steady_flight(airplane, tas, density, power, straight=True, sideslip=sideslip)


def rudder_to_hold_straight(
    airplane: LateralAirplane,
    tas: float,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
    bank_deg: float | None = None,
):
    """Pedal that keeps the nose straight against the propeller.

    Assumes no sideslip: the ball is then a hair off the middle, as the rudder's side force needs
    a little bank.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]
    bank_deg : float or array, optional
        Held bank instead of no sideslip, such as 0 for wings level. [deg]

    Returns
    -------
    float or array
        Share of full pedal, + right. [-]

    Raises
    ------
    ValueError
        If the speed is not above 0.

    References
    ----------
    .. [1] As in `steady_straight` and `propeller_yaw`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> abs(rudder_to_hold_straight(scaled(SETS["B"], light), 36.0)) < 1e-9  # no propeller
    True
    """
    if bank_deg is None:
        return steady_straight(airplane, tas, density, power).rudder
    bank = np.radians(bank_deg)
    return steady_flight(airplane, tas, density, power, straight=True, bank=bank).rudder


def steady_sideslip_of_rudder(
    airplane: LateralAirplane,
    tas: float,
    rudder: float,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
) -> SteadyFlight:
    """Straight slip that a held pedal gives, with the aileron and bank that belong to it.

    Assumes a pilot who stops the turn with bank and the roll with aileron.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    rudder : float or array
        Share of full pedal, + right. [-]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]

    Returns
    -------
    SteadyFlight
        [deg, shares of travel]

    Raises
    ------
    ValueError
        If more than full pedal is asked for.

    References
    ----------
    .. [1] Full rudder as the practical limit of a slip: FAA-H-8083-3C p. 9-13 (read).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(steady_sideslip_of_rudder(scaled(SETS["B"], light), 36.0, 1.0).sideslip_deg)
    -12
    """
    if np.any(np.abs(rudder) > 1.0):
        raise ValueError("More than full rudder cannot be held: ask for 100 % or less.")
    return steady_flight(airplane, tas, density, power, straight=True, rudder=rudder)


def crosswind_slip(
    airplane: LateralAirplane,
    tas: float,
    crosswind: float,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
) -> SteadyFlight:
    """Side slip that flies along the runway and points along it in a crosswind.

    Assumes a steady wind; the same angle as a crab would take, but held with rudder and bank.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    crosswind : float or array
        Wind across the runway, + from the right, below the airspeed. [m/s]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]

    Returns
    -------
    SteadyFlight
        [deg, shares of travel]

    Raises
    ------
    ValueError
        If the crosswind reaches the airspeed.

    Notes
    -----
    sin(sideslip) = crosswind / V.

    References
    ----------
    .. [1] Wing low, opposite rudder, axis along the track: FAA-H-8083-3C p. 9-12 (read).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slip = crosswind_slip(scaled(SETS["B"], light), 36.0, 5.0)
    >>> round(slip.sideslip_deg, 1), slip.bank_deg > 0.0  # wing into the wind
    (8.0, True)
    """
    if np.any(np.abs(crosswind) >= np.asarray(tas)):
        raise ValueError("The crosswind is as strong as the airspeed: no heading holds the track.")
    sideslip = np.arcsin(crosswind / np.asarray(tas, dtype=float))
    return steady_flight(airplane, tas, density, power, straight=True, sideslip=sideslip)


def crosswind_limit(
    airplane: LateralAirplane,
    tas: float,
    side: int = 1,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
):
    """Crosswind from one side at which a side slip takes full rudder or full aileron.

    Assumes still, steady air: gusts and the round-out need travel in hand, and a demonstrated
    crosswind is another thing. Not a limit to fly to.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float or array
        True airspeed. [m/s]
    side : int
        +1 wind from the right, -1 from the left. [-]
    density : float or array
        Air density. [kg/m3]
    power : float or array
        Share of full power, 0 to 1. [-]

    Returns
    -------
    float or array
        Crosswind, magnitude. [m/s]

    Raises
    ------
    ValueError
        If the side is neither of the two.

    Notes
    -----
    V sin(sideslip at the stop), the smaller of both controls'. 0 where the propeller takes all
    of the travel.

    References
    ----------
    .. [1] Full rudder as the practical limit of a slip: FAA-H-8083-3C p. 9-13 (read).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(crosswind_limit(scaled(SETS["B"], light), 36.0), 1)  # about V sin(12 deg)
    7.4
    """
    if side not in (1, -1):
        raise ValueError("The wind comes from the right (1) or from the left (-1): give one.")
    found = [
        steady_flight(airplane, tas, density, power, straight=True, **{name: value})
        for name, value in (("rudder", -side * 1.0), ("aileron", side * 1.0))
    ]
    # the smaller angle on this side is reached first; a stop on the other side leaves none
    into = np.minimum(*(side * one.sideslip_deg for one in found))
    limit = np.asarray(tas) * np.sin(np.radians(np.maximum(into, 0.0)))
    return limit if np.ndim(limit) else float(limit)
