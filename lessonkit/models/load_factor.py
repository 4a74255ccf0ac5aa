"""The load factor: what the pilot pulls, as lift over weight."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked


def load_factor_in_level_turn(bank_deg: ArrayLike) -> Numbers:
    """Load factor of a level, coordinated turn.

    Assumes constant height and no slip or skid.

    Parameters
    ----------
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]

    Returns
    -------
    float or array
        Lift over weight. [g]

    Raises
    ------
    ValueError
        If the bank reaches 90 degrees: no level turn exists.

    Notes
    -----
    n = 1 / cos(bank). In a glide see `load_factor_in_gliding_turn`.

    References
    ----------
    .. [1] FAA-H-8083-25, aerodynamics of flight, load-factor chart; the printed list
       10 = 1.015, 30 = 1.154, 60 = 2.000, 70 = 2.923 was read.

    Examples
    --------
    >>> round(float(load_factor_in_level_turn(60.0)), 3)
    2.0
    """
    return 1.0 / np.cos(np.radians(checked(bank_deg=bank_deg)))


def load_factor_in_gliding_turn(bank_deg: ArrayLike, path_angle_deg: ArrayLike) -> Numbers:
    """Load factor of a steady, coordinated turn on a climbing or gliding path.

    Assumes constant speed and path angle.

    Parameters
    ----------
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]
    path_angle_deg : float or array
        Flight-path angle, positive climbing. [deg]

    Returns
    -------
    float or array
        Lift over weight. [g]

    Raises
    ------
    ValueError
        If an angle reaches 90 degrees.

    Notes
    -----
    n = cos(path angle) / cos(bank): 6 degrees down at 45 degrees of bank 1.406 against 1.414
    level, so a steady glide gives no relief worth the name.

    References
    ----------
    .. [1] Balance of forces across a steady path; any flight-mechanics text.

    Examples
    --------
    >>> round(float(load_factor_in_gliding_turn(45.0, -6.0)), 3)
    1.406
    """
    path_angle_deg = checked(path_angle_deg=path_angle_deg)
    return np.cos(np.radians(path_angle_deg)) * load_factor_in_level_turn(bank_deg)


def bank_for_load_factor_deg(load_factor: ArrayLike) -> Numbers:
    """Bank of the level, coordinated turn that has this load factor.

    Assumes constant height.

    Parameters
    ----------
    load_factor : float or array
        Lift over weight, 1 or more. [g]

    Returns
    -------
    float or array
        Bank angle, without a side. [deg]

    Raises
    ------
    ValueError
        If the load factor is below 1: no level turn has it.

    Notes
    -----
    bank = arccos(1 / n).

    References
    ----------
    .. [1] FAA-H-8083-25, aerodynamics of flight, load-factor chart.

    Examples
    --------
    >>> round(float(bank_for_load_factor_deg(3.0)), 1)
    70.5
    """
    return np.degrees(np.arccos(1.0 / checked(turn_load_factor=load_factor)))


def load_factor_at_stall(speed: ArrayLike, stall_speed: ArrayLike) -> Numbers:
    """Load factor at which the wing stalls at this speed.

    Assumes unchanged weight, flaps and greatest lift coefficient; says nothing about strength.

    Parameters
    ----------
    speed : float or array
        Calibrated airspeed. [m/s]
    stall_speed : float or array
        Stall speed at 1 g, calibrated. [m/s]

    Returns
    -------
    float or array
        Lift over weight at the stall. [g]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    (V / Vs)^2.

    References
    ----------
    .. [1] FAA-H-8083-25, load factors and stalling speeds: 1.7 times the stall speed gives
       2.89 g (read).

    Examples
    --------
    >>> round(float(load_factor_at_stall(51.0, 30.0)), 2)
    2.89
    """
    speed, stall_speed = checked(speed=speed, stall_speed=stall_speed)
    return (speed / stall_speed) ** 2
