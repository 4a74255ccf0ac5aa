"""Drag and power in straight, level flight against speed.

Three curves that are easily mixed up: *drag* rises below best-glide speed, *power* required
rises only below minimum-power speed, and the power-off *path* steepens on both sides of
best-glide speed (`glide_path.py`).
"""

from numpy.typing import ArrayLike

from lessonkit.models.drag import drag_coefficient, induced_drag_factor, lift_coefficient
from lessonkit.models.limits import Numbers, checked
from lessonkit.units import STANDARD_GRAVITY


def lift_coefficient_in_level_flight(
    mass: ArrayLike, wing_area: ArrayLike, density: ArrayLike, tas: ArrayLike
) -> Numbers:
    """Lift coefficient in straight, level flight.

    Assumes lift equal to weight; compare with the greatest one before you use it.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    density : float or array
        Air density. [kg/m3]
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Lift coefficient. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    CL = W / (rho/2 V^2 S).

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory): 0.357 at 200 ft/s.

    Examples
    --------
    >>> round(float(lift_coefficient_in_level_flight(1338.1, 16.165, 1.225, 60.96)), 3)
    0.357
    """
    mass, wing_area, density, tas = checked(
        mass=mass, wing_area=wing_area, density=density, tas=tas
    )
    return lift_coefficient(1.0, mass * STANDARD_GRAVITY, density, tas, wing_area)


def drag_coefficient_in_level_flight(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
) -> Numbers:
    """Drag coefficient in straight, level flight.

    Assumes lift equal to weight and a speed above the stall.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Drag coefficient. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    CD = CD0 + CL^2 / (pi e A).

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory): 0.0319 at 200 ft/s.

    Examples
    --------
    >>> round(
    ...     float(drag_coefficient_in_level_flight(1338.1, 16.165, 7.37, 0.025, 0.8, 1.225, 60.96)),
    ...     4,
    ... )
    0.0319
    """
    lift = lift_coefficient_in_level_flight(mass, wing_area, density, tas)
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    return drag_coefficient(lift, cd0, induced_drag_factor(oswald, aspect_ratio))


def drag_in_level_flight(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
) -> Numbers:
    """Drag in straight, level flight, which is the thrust required.

    Assumes lift equal to weight and a speed above the stall.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Drag. [N]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    D = rho/2 V^2 S CD.

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory): 263 lbf at 200 ft/s.

    Examples
    --------
    >>> round(float(drag_in_level_flight(1338.1, 16.165, 7.37, 0.025, 0.8, 1.225, 60.96)))
    1173
    """
    drag = drag_coefficient_in_level_flight(
        mass, wing_area, aspect_ratio, cd0, oswald, density, tas
    )
    wing_area, density, tas = checked(wing_area=wing_area, density=density, tas=tas)
    return 0.5 * density * tas**2 * wing_area * drag


def power_required(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
) -> Numbers:
    """Power that holds straight, level flight at this speed.

    Assumes lift equal to weight; power delivered to the air, not by the engine.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Power. [W]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    P = D V.

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory).

    Examples
    --------
    >>> round(float(power_required(1088.6, 16.165, 7.38, 0.037, 0.72, 1.225, 37.04)), -2)
    37200.0
    """
    drag = drag_in_level_flight(mass, wing_area, aspect_ratio, cd0, oswald, density, tas)
    return drag * checked(tas=tas)
