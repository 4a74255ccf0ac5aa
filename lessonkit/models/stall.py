"""Stall speed, from weight, load factor and bank."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.limits import Numbers, checked
from lessonkit.models.load_factor import load_factor_in_level_turn
from lessonkit.units import STANDARD_GRAVITY


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
