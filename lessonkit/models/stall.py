"""Stall speed and load factor: the load factor is what the pilot pulls."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.limits import Numbers, checked
from lessonkit.units import STANDARD_GRAVITY


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


def stall_speed_at_load_factor(stall_speed: ArrayLike, load_factor: ArrayLike) -> Numbers:
    """Stall speed while the pilot pulls a load factor.

    Assumes unchanged weight, flaps and greatest lift coefficient; a factor below 1 (unloading)
    lowers the stall speed only while it lasts.

    Parameters
    ----------
    stall_speed : float or array
        Stall speed at 1 g, a calibrated airspeed. [m/s]
    load_factor : float or array
        Lift over weight as pulled, above 0. [g]

    Returns
    -------
    float or array
        Stall speed, calibrated. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Vs sqrt(n).

    References
    ----------
    .. [1] FAA-H-8083-25, load factors and stalling speeds: 50 kt becomes 100 kt at 4 g and
       150 kt at 9 g (read).

    Examples
    --------
    >>> float(stall_speed_at_load_factor(25.0, 4.0))
    50.0
    """
    stall_speed, load_factor = checked(stall_speed=stall_speed, load_factor=load_factor)
    return stall_speed * np.sqrt(load_factor)


def stall_speed_in_level_turn(stall_speed: ArrayLike, bank_deg: ArrayLike) -> Numbers:
    """Stall speed of the same airplane in a level, coordinated turn.

    Assumes unchanged weight, flaps and greatest lift coefficient.

    Parameters
    ----------
    stall_speed : float or array
        Stall speed at 1 g, a calibrated airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]

    Returns
    -------
    float or array
        Stall speed in the turn, calibrated. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Vs / sqrt(cos(bank)).

    References
    ----------
    .. [1] FAA-H-8083-25, aerodynamics of flight, stall-speed chart.

    Examples
    --------
    >>> round(float(stall_speed_in_level_turn(25.0, 60.0)), 2)
    35.36
    """
    return checked(stall_speed=stall_speed) * np.sqrt(load_factor_in_level_turn(bank_deg))


def stall_speed_increase_in_level_turn(bank_deg: ArrayLike) -> Numbers:
    """Share by which bank raises the stall speed of a level, coordinated turn.

    Assumes unchanged weight, flaps and greatest lift coefficient.

    Parameters
    ----------
    bank_deg : float or array
        Bank angle, positive right wing down, within +/-90. [deg]

    Returns
    -------
    float or array
        Increase as a fraction of the stall speed at 1 g. [-]

    Raises
    ------
    ValueError
        If the bank reaches 90 degrees.

    Notes
    -----
    1 / sqrt(cos(bank)) - 1.

    References
    ----------
    .. [1] FAA-H-8083-25, aerodynamics of flight, stall-speed chart.

    Examples
    --------
    >>> round(float(stall_speed_increase_in_level_turn(60.0)), 3)
    0.414
    """
    return np.sqrt(load_factor_in_level_turn(bank_deg)) - 1.0


def stall_speed_at_weight(stall_speed: ArrayLike, mass: ArrayLike, new_mass: ArrayLike) -> Numbers:
    """Stall speed at another weight.

    Assumes the same flaps and centre of gravity.

    Parameters
    ----------
    stall_speed : float or array
        Stall speed at `mass`, a calibrated airspeed. [m/s]
    mass, new_mass : float or array
        Mass to which the stall speed belongs, and the one wanted. [kg]

    Returns
    -------
    float or array
        Stall speed at `new_mass`, calibrated. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Vs sqrt(new mass / mass).

    References
    ----------
    .. [1] FAA-H-8083-25C, ch. 11 (from memory).

    Examples
    --------
    >>> float(stall_speed_at_weight(25.0, 1000.0, 640.0))
    20.0
    """
    stall_speed, mass, new_mass = checked(stall_speed=stall_speed, mass=mass, new_mass=new_mass)
    return stall_speed * np.sqrt(new_mass / mass)


def stall_eas(
    mass: ArrayLike, wing_area: ArrayLike, cl_max: ArrayLike, load_factor: ArrayLike
) -> Numbers:
    """Speed at which the wing reaches its greatest lift coefficient.

    Assumes that lift alone carries the load: no thrust.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    cl_max : float or array
        Greatest lift coefficient with these flaps. [-]
    load_factor : float or array
        Lift over weight as pulled, above 0. [g]

    Returns
    -------
    float or array
        Stall speed, equivalent airspeed (calibrated below 200 kt). [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Vs = sqrt(2 n W / (rho0 S CLmax)).

    References
    ----------
    .. [1] Definition of the lift coefficient.

    Examples
    --------
    >>> round(float(stall_eas(1000.0, 16.0, 1.6, 1.0)), 2)
    25.01
    """
    mass, wing_area, cl_max, load_factor = checked(
        mass=mass, wing_area=wing_area, cl_max=cl_max, load_factor=load_factor
    )
    weight = mass * STANDARD_GRAVITY
    return np.sqrt(2.0 * load_factor * weight / (SEA_LEVEL_DENSITY * wing_area * cl_max))


def maximum_lift_coefficient(
    stall_speed: ArrayLike, mass: ArrayLike, wing_area: ArrayLike
) -> Numbers:
    """Greatest lift coefficient from a stall speed.

    Assumes a stall at 1 g with idle power and a *calibrated* stall speed: an indicated one can
    read 10 to 15 kt low near the stall and makes the result meaningless.

    Parameters
    ----------
    stall_speed : float or array
        Stall speed at 1 g, a calibrated airspeed. [m/s]
    mass : float or array
        Mass to which the stall speed belongs. [kg]
    wing_area : float or array
        Reference wing area. [m2]

    Returns
    -------
    float or array
        CLmax. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    CLmax = 2 W / (rho0 S Vs^2). Believable: 1.1-2.3 flaps up, 1.3-2.8 with landing flaps
    (from memory).

    References
    ----------
    .. [1] Definition of the lift coefficient at the condition of 14 CFR 23.49 (Amdt 23-62, read).

    Examples
    --------
    >>> round(float(maximum_lift_coefficient(25.0, 1000.0, 16.0)), 3)
    1.601
    """
    stall_speed, mass, wing_area = checked(stall_speed=stall_speed, mass=mass, wing_area=wing_area)
    return 2.0 * mass * STANDARD_GRAVITY / (SEA_LEVEL_DENSITY * wing_area * stall_speed**2)


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
