"""The fixed-pitch propeller: rpm at a fixed throttle, engine power and advance ratio."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked
from lessonkit.units import SECONDS_PER_MINUTE, mps_from_kt


def rpm_ratio_at_constant_torque(
    power_coefficient_static: ArrayLike, power_coefficient: ArrayLike
) -> Numbers:
    """Rpm over the static rpm at a fixed throttle.

    Assumes that a fixed throttle gives a constant torque.

    Parameters
    ----------
    power_coefficient_static : float or array
        Power coefficient P / (rho n^3 D^5) of the propeller standing still. [-]
    power_coefficient : float or array
        Power coefficient at the advance ratio flown. [-]

    Returns
    -------
    float or array
        Rpm as a multiple of the static rpm. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Torque goes with CP n^2, so n / n0 = sqrt(CP0 / CP).

    References
    ----------
    .. [1] Theodorsen, Stickle and Brevoort, NACA Report 594 (1937), propeller C at 15 degrees:
       CP 0.0584 static, 0.0461 at J 0.5 (read in a public digitised copy).

    Examples
    --------
    >>> round(float(rpm_ratio_at_constant_torque(0.0584, 0.0461)), 3)
    1.126
    """
    static, flown = checked(
        power_coefficient_static=power_coefficient_static, power_coefficient=power_coefficient
    )
    return np.sqrt(static / flown)


def engine_power_ratio(density_ratio: ArrayLike, dropoff: ArrayLike) -> Numbers:
    """Full-throttle power of an unsupercharged engine over its power at sea level.

    Assumes the same rpm; friction is what makes power fall faster than density.

    Parameters
    ----------
    density_ratio : float or array
        Air density over standard sea-level density. [-]
    dropoff : float or array
        Drop-off parameter C, 0.12 for common engines (from memory). [-]

    Returns
    -------
    float or array
        Power ratio. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    P / P0 = (sigma - C) / (1 - C).

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, bootstrap data plate (from memory).

    Examples
    --------
    >>> float(engine_power_ratio(1.0, 0.12))
    1.0
    """
    density_ratio, dropoff = checked(density_ratio=density_ratio, dropoff=dropoff)
    return (density_ratio - dropoff) / (1.0 - dropoff)


def airspeed_at_advance_ratio(
    advance_ratio: ArrayLike, static_rpm: ArrayLike, diameter: ArrayLike, rpm_ratio: ArrayLike
) -> Numbers:
    """Find the true airspeed at which a propeller works at this advance ratio.

    Exact by definition of the advance ratio.

    Parameters
    ----------
    advance_ratio : float or array
        Advance ratio J = V / (n D). [-]
    static_rpm : float or array
        Rpm of the propeller standing still, same throttle. [rpm]
    diameter : float or array
        Propeller diameter. [m]
    rpm_ratio : float or array
        Rpm at the speed flown over the static rpm. [-]

    Returns
    -------
    float or array
        True airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    V = J n D with n in turns per second.

    References
    ----------
    .. [1] Definition of the advance ratio, as in NACA Report 594.

    Examples
    --------
    >>> float(airspeed_at_advance_ratio(0.5, 2400.0, 2.0, 1.0))
    40.0
    """
    advance_ratio, static_rpm, diameter, rpm_ratio = checked(
        advance_ratio=advance_ratio,
        static_rpm=static_rpm,
        diameter=diameter,
        rpm_ratio=rpm_ratio,
    )
    return advance_ratio * static_rpm * rpm_ratio / SECONDS_PER_MINUTE * diameter


def rpm_at_fixed_throttle(
    rpm: ArrayLike, speed: ArrayLike, rpm_per_kt: ArrayLike, new_speed: ArrayLike
) -> Numbers:
    """Rpm of a fixed-pitch propeller at another speed, the throttle left alone.

    Assumes part throttle and the same altitude; not valid at idle, where the propeller windmills.

    Parameters
    ----------
    rpm : float or array
        Rpm at the speed flown. [rpm]
    speed : float or array
        Airspeed, above 0. [m/s]
    rpm_per_kt : float or array
        Rise of the rpm with speed at that speed. [rpm/kt]
    new_speed : float or array
        The other airspeed, of the same kind. [m/s]

    Returns
    -------
    float or array
        Rpm at the other speed. [rpm]

    Raises
    ------
    ValueError
        If the propeller would stand still at the other speed.

    Notes
    -----
    At a fixed throttle the torque is nearly constant, and RPM^2 = RPM0^2 + (kappa V)^2; the slope
    is kappa^2 V / RPM. Followed a throttle sweep of a six-degree-of-freedom model within 2.3 %.

    References
    ----------
    .. [1] Form of the law: fitted to a six-degree-of-freedom model for this kit; slopes of 4 to 6
       rpm/kt there and 9 to 18 by propeller theory, near 85 kt.

    Examples
    --------
    >>> from lessonkit.units import mps_from_kt
    >>> round(float(rpm_at_fixed_throttle(2300.0, mps_from_kt(85.0), 5.0, mps_from_kt(75.0))))
    2252
    """
    rpm, speed, rpm_per_kt, new_speed = (
        np.asarray(given, dtype=float) for given in (rpm, speed, rpm_per_kt, new_speed)
    )
    # kappa^2 = slope x RPM / V
    square = rpm**2 + rpm_per_kt / mps_from_kt(1.0) * rpm / speed * (new_speed**2 - speed**2)
    if np.any(square <= 0.0):
        raise ValueError("The propeller would stand still at that speed: check RPM and slope.")
    return np.sqrt(square)
