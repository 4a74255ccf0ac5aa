"""Turns: rate, radius, bank, and the ball."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked, sentence
from lessonkit.units import STANDARD_GRAVITY, kt_from_mps

STANDARD_RATE_DPS = 3.0  # a full circle in two minutes, by definition


def rate_of_turn_dps(tas: ArrayLike, bank_deg: ArrayLike) -> Numbers:
    """Rate of turn of a steady, coordinated turn, level or gliding.

    Assumes no slip or skid and no wind (the rate over the ground differs in wind).

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]

    Returns
    -------
    float or array
        Rate of turn, positive to the right. [deg/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    omega = g tan(bank) / V. The handbook's 1091 is 1092.2 with exact constants.

    References
    ----------
    .. [1] FAA-H-8083-25C ch. 5, ROT = 1091 tan(bank) / V (from memory).

    Examples
    --------
    >>> round(float(rate_of_turn_dps(61.733, 30.0)), 2)  # 120 kt
    5.25
    """
    tas, bank_deg = checked(tas=tas, bank_deg=bank_deg)
    return np.degrees(STANDARD_GRAVITY * np.tan(np.radians(bank_deg)) / tas)


def radius_of_turn(tas: ArrayLike, bank_deg: ArrayLike) -> Numbers:
    """Radius of a level, coordinated turn through the air.

    Assumes no slip or skid and no wind.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]

    Returns
    -------
    float or array
        Radius, without a side; infinite with the wings level. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    R = V^2 / (g tan(bank)). The handbook's 11.26 is 11.294 with exact constants.

    References
    ----------
    .. [1] FAA-H-8083-25C ch. 5, R = V^2 / (11.26 tan(bank)) (from memory).

    Examples
    --------
    >>> round(float(radius_of_turn(36.0, 45.0)), 1)
    132.2
    """
    tas, bank_deg = checked(tas=tas, bank_deg=bank_deg)
    with np.errstate(divide="ignore"):  # wings level is a straight line, not an error
        return tas**2 / (STANDARD_GRAVITY * np.abs(np.tan(np.radians(bank_deg))))


def bank_for_turn_radius_deg(ground_speed: ArrayLike, radius: ArrayLike) -> Numbers:
    """Bank that bends the path over the ground to this radius.

    Assumes a level, coordinated turn; in wind it holds for the moment's ground speed.

    Parameters
    ----------
    ground_speed : float or array
        Speed over the ground. [m/s]
    radius : float or array
        Radius of the path over the ground. [m]

    Returns
    -------
    float or array
        Bank angle, without a side. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    bank = arctan(GS^2 / (g R)).

    References
    ----------
    .. [1] Geometry of the ground-reference maneuvers of FAA-H-8083-3C (from memory).

    Examples
    --------
    >>> round(float(bank_for_turn_radius_deg(36.0, 132.15)))
    45
    """
    ground_speed, radius = checked(ground_speed=ground_speed, radius=radius)
    return np.degrees(np.arctan(ground_speed**2 / (STANDARD_GRAVITY * radius)))


def bank_for_rate_deg(tas: ArrayLike, turn_rate_dps: ArrayLike) -> Numbers:
    """Bank of a coordinated turn at this rate.

    Assumes no slip or skid.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    turn_rate_dps : float or array
        Rate of turn, positive to the right. [deg/s]

    Returns
    -------
    float or array
        Bank angle, positive right wing down. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    bank = arctan(V omega / g).

    References
    ----------
    .. [1] Inverse of `rate_of_turn_dps`.

    Examples
    --------
    >>> round(float(bank_for_rate_deg(61.733, 5.25)))
    30
    """
    tas, turn_rate_dps = checked(tas=tas, turn_rate_dps=turn_rate_dps)
    return np.degrees(np.arctan(tas * np.radians(turn_rate_dps) / STANDARD_GRAVITY))


def standard_rate_bank_deg(tas: ArrayLike) -> Numbers:
    """Bank of a standard-rate turn, 3 degrees per second.

    Assumes no slip or skid.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Bank angle, without a side. [deg]

    Raises
    ------
    ValueError
        If a speed lies outside the range.

    Notes
    -----
    tan(bank) = V / 364 with V in knots. The rules V/10 + 7 and 15 % of the speed give 17 and 15
    degrees at 100 kt, where the exact answer is 15.4.

    References
    ----------
    .. [1] Definition of the standard rate; both rules read in public pages.

    Examples
    --------
    >>> round(float(standard_rate_bank_deg(51.444)), 1)  # 100 kt
    15.4
    """
    return bank_for_rate_deg(tas, STANDARD_RATE_DPS)


def ball_angle_deg(tas: ArrayLike, bank_deg: ArrayLike, turn_rate_dps: ArrayLike) -> Numbers:
    """Angle at which the ball rests in a steady level turn, seen from the seat.

    Assumes a ball at the centre of gravity, at rest in its tube.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]
    turn_rate_dps : float or array
        Rate of turn, positive to the right. [deg/s]

    Returns
    -------
    float or array
        Angle of the ball, positive to the right; press the rudder on its side. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    tan(ball) = lateral over normal specific force, so ball = bank - arctan(V omega / g).

    References
    ----------
    .. [1] Balance of forces across the airplane; "step on the ball" read in FAA-H-8083-3.

    Examples
    --------
    >>> round(float(ball_angle_deg(51.444, -20.0, -3.0)), 2)  # too much left bank: ball left
    -4.64
    """
    bank_deg = checked(bank_deg=bank_deg)
    return bank_deg - bank_for_rate_deg(tas, turn_rate_dps)


def inclinometer_angle_deg(
    tas: ArrayLike, bank_deg: ArrayLike, turn_rate_dps: ArrayLike
) -> Numbers:
    """Angle of the ball toward the inside of the turn: a slip is positive, a skid negative.

    Assumes a ball at the centre of gravity, at rest in its tube. Without a turn the low wing
    counts as the inside.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]
    turn_rate_dps : float or array
        Rate of turn, positive to the right. [deg/s]

    Returns
    -------
    float or array
        Angle of the ball, positive toward the inside of the turn. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    `ball_angle_deg` times the side of the turn.

    References
    ----------
    .. [1] Balance of forces across the airplane; slip and skid as in FAA-H-8083-3 (from memory).

    Examples
    --------
    >>> round(float(inclinometer_angle_deg(51.444, -20.0, -3.0)), 2)
    4.64
    """
    ball = ball_angle_deg(tas, bank_deg, turn_rate_dps)
    inside = np.where(np.equal(turn_rate_dps, 0.0), np.sign(bank_deg), np.sign(turn_rate_dps))
    return ball * inside


def tan_bank_ratio_tailwind_to_headwind(tas: ArrayLike, wind_speed: ArrayLike) -> Numbers:
    """Tangent of the bank flying downwind over that flying upwind, on one circle over the ground.

    Assumes a circle of constant radius over the ground at constant true airspeed.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    wind_speed : float or array
        Wind speed, below the airspeed. [m/s]

    Returns
    -------
    float or array
        Ratio of the tangents. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range or the wind is as strong as the airspeed.

    Notes
    -----
    ((V + W) / (V - W))^2, because tan(bank) grows with the square of the ground speed.

    References
    ----------
    .. [1] Geometry of the ground-reference maneuvers of FAA-H-8083-3C (from memory).

    Examples
    --------
    >>> float(tan_bank_ratio_tailwind_to_headwind(40.0, 0.0))
    1.0
    """
    tas, wind_speed = checked(tas=tas, wind_speed=wind_speed)
    if np.any(wind_speed >= tas):
        raise ValueError(_too_windy(tas, wind_speed))
    return ((tas + wind_speed) / (tas - wind_speed)) ** 2


def _too_windy(tas, wind_speed):
    tas, wind_speed = np.broadcast_arrays(tas, wind_speed)
    at = np.unravel_index(np.nanargmax(wind_speed - tas), tas.shape)
    return sentence(
        "no_answer.tailwind_ratio",
        wind=f"{kt_from_mps(wind_speed[at]):.4g}",
        tas=f"{kt_from_mps(tas[at]):.4g}",
    )
