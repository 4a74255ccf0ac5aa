"""Height, speed and the energy they share."""

from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked
from lessonkit.units import STANDARD_GRAVITY


def kinetic_height(tas: ArrayLike) -> Numbers:
    """Height that the speed is worth.

    Assumes no losses.

    Parameters
    ----------
    tas : float or array
        True airspeed, 0 or more. [m/s]

    Returns
    -------
    float or array
        Kinetic height. [m]

    Raises
    ------
    ValueError
        If a speed lies outside the range.

    Notes
    -----
    V^2 / 2g.

    References
    ----------
    .. [1] Conservation of energy; FAA-H-8083-3C ch. 4 (from memory).

    Examples
    --------
    >>> round(float(kinetic_height(30.0)), 1)
    45.9
    """
    return checked(speed=tas) ** 2 / (2.0 * STANDARD_GRAVITY)


def specific_energy(height: ArrayLike, tas: ArrayLike) -> Numbers:
    """Total energy per weight, as a height.

    Assumes still air or a wind that does not change with height.

    Parameters
    ----------
    height : float or array
        Height above any chosen level, 0 or more. [m]
    tas : float or array
        True airspeed, 0 or more. [m/s]

    Returns
    -------
    float or array
        Energy height. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    h + V^2 / 2g.

    References
    ----------
    .. [1] FAA-H-8083-3C ch. 4, energy management (from memory).

    Examples
    --------
    >>> round(float(specific_energy(100.0, 30.0)), 1)
    145.9
    """
    return checked(height=height) + kinetic_height(tas)


def zoom_height(tas: ArrayLike, new_tas: ArrayLike) -> Numbers:
    """Height gained by trading speed for it, or lost by gaining speed.

    Assumes that thrust and drag cancel during the exchange; a real zoom gains less, a real
    dive loses more.

    Parameters
    ----------
    tas : float or array
        True airspeed before. [m/s]
    new_tas : float or array
        True airspeed after. [m/s]

    Returns
    -------
    float or array
        Height gained, negative when the airplane speeds up. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    (V1^2 - V2^2) / 2g.

    References
    ----------
    .. [1] Conservation of energy.

    Examples
    --------
    >>> round(float(zoom_height(50.0, 40.0)), 1)
    45.9
    """
    return kinetic_height(tas) - checked(new_speed=new_tas) ** 2 / (2.0 * STANDARD_GRAVITY)


def specific_excess_power(
    thrust: ArrayLike, drag: ArrayLike, tas: ArrayLike, mass: ArrayLike
) -> Numbers:
    """Rate at which the airplane gains energy height.

    Assumes thrust along the path.

    Parameters
    ----------
    thrust : float or array
        Thrust along the path, negative for a braking propeller. [N]
    drag : float or array
        Drag, positive backward. [N]
    tas : float or array
        True airspeed, 0 or more. [m/s]
    mass : float or array
        Mass as flown. [kg]

    Returns
    -------
    float or array
        Ps: the climb rate at constant speed; negative means height or speed is being spent. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    Ps = (T - D) V / W = dh/dt + (V / g) dV/dt.

    References
    ----------
    .. [1] FAA-H-8083-3C ch. 4, energy management (from memory).

    Examples
    --------
    >>> round(float(specific_excess_power(2000.0, 1000.0, 30.0, 1000.0)), 2)
    3.06
    """
    thrust, drag, tas, mass = checked(thrust=thrust, drag=drag, speed=tas, mass=mass)
    return (thrust - drag) * tas / (mass * STANDARD_GRAVITY)


def level_deceleration(lift_drag_ratio: ArrayLike) -> Numbers:
    """Rate at which speed is lost when the height is held with idle power.

    Assumes no thrust and no change of height.

    Parameters
    ----------
    lift_drag_ratio : float or array
        Lift-drag ratio at the moment's speed. [-]

    Returns
    -------
    float or array
        Loss of true airspeed per second, positive. [m/s2]

    Raises
    ------
    ValueError
        If the ratio lies outside the range.

    Notes
    -----
    a = g / (L/D): 2.1 kt per second at 9:1.

    References
    ----------
    .. [1] Balance of forces along the path.

    Examples
    --------
    >>> round(float(level_deceleration(9.80665)), 6)
    1.0
    """
    return STANDARD_GRAVITY / checked(lift_drag_ratio=lift_drag_ratio)
