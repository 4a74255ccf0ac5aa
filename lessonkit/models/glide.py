"""Power-off glide of an airplane with a parabolic drag polar, CD = CD0 + CL^2 / (pi e A).

The zero-lift drag includes the propeller in the state that was flown. The path at any speed
stands in `glide_path.py`, reach and wind in `glide_distance.py`.
"""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.drag import drag_coefficient, induced_drag_factor
from lessonkit.models.limits import Numbers, checked
from lessonkit.units import STANDARD_GRAVITY


def maximum_lift_drag_ratio(aspect_ratio: ArrayLike, cd0: ArrayLike, oswald: ArrayLike) -> Numbers:
    """Greatest lift-drag ratio, which is the best glide ratio in still air.

    Assumes the parabolic polar; independent of weight and height.

    Parameters
    ----------
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]

    Returns
    -------
    float or array
        Greatest L/D. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    sqrt(pi e A / CD0) / 2.

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, Example 9.1 (inputs and formulas read in
       a public worked example): 10.62 for a light trainer.

    Examples
    --------
    >>> round(float(maximum_lift_drag_ratio(7.38, 0.037, 0.72)), 2)
    10.62
    """
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    return 0.5 / np.sqrt(cd0 * induced_drag_factor(oswald, aspect_ratio))


def best_glide_path_angle_deg(
    aspect_ratio: ArrayLike, cd0: ArrayLike, oswald: ArrayLike
) -> Numbers:
    """Path angle of the flattest glide in still air.

    Assumes a straight, steady glide; independent of weight and height.

    Parameters
    ----------
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]

    Returns
    -------
    float or array
        Path angle, negative descending. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    -arctan(1 / greatest L/D).

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, Example 9.1 (inputs and formulas read in
       a public worked example).

    Examples
    --------
    >>> round(float(best_glide_path_angle_deg(7.38, 0.037, 0.72)), 3)
    -5.379
    """
    return -np.degrees(np.arctan(1.0 / maximum_lift_drag_ratio(aspect_ratio, cd0, oswald)))


def drag_at_best_glide(
    mass: ArrayLike, aspect_ratio: ArrayLike, cd0: ArrayLike, oswald: ArrayLike
) -> Numbers:
    """Drag in the flattest glide.

    Assumes a straight, steady glide; in level flight at the same lift coefficient the drag is
    weight over L/D, 0.4 % more at 10:1.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]

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
    W sin(descent angle).

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, Example 9.1 (inputs and formulas read in
       a public worked example).

    Examples
    --------
    >>> round(float(drag_at_best_glide(1088.6, 7.38, 0.037, 0.72)))
    1001
    """
    angle_deg = best_glide_path_angle_deg(aspect_ratio, cd0, oswald)
    return checked(mass=mass) * STANDARD_GRAVITY * np.sin(np.radians(-angle_deg))


def lift_coefficient_at_best_glide(
    aspect_ratio: ArrayLike, cd0: ArrayLike, oswald: ArrayLike
) -> Numbers:
    """Lift coefficient at which the lift-drag ratio is greatest.

    Assumes the parabolic polar.

    Parameters
    ----------
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]

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
    sqrt(CD0 pi e A): there induced and zero-lift drag are equal.

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory).

    Examples
    --------
    >>> round(float(lift_coefficient_at_best_glide(7.37, 0.025, 0.8)), 3)
    0.68
    """
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    return np.sqrt(cd0 / induced_drag_factor(oswald, aspect_ratio))


def zero_lift_drag_for_propeller(cd0: ArrayLike, glide_ratio_factor: ArrayLike) -> Numbers:
    """Zero-lift drag with the propeller in another state.

    Assumes that the propeller changes the zero-lift drag alone. A handbook's glide is usually
    for a windmilling propeller; whoever changes the state says by how much.

    Parameters
    ----------
    cd0 : float or array
        Zero-lift drag coefficient with the propeller in the known state. [-]
    glide_ratio_factor : float or array
        Best glide ratio in the wanted state over that in the known state: above 1 for a
        propeller that brakes less. [-]

    Returns
    -------
    float or array
        Zero-lift drag coefficient in the wanted state. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    CD0 / factor^2, because the best glide ratio goes with 1 / sqrt(CD0). A six-degree-of-freedom
    reference model of a light four-seat airplane gave 9.6 idling against 10.4 without propeller
    drag: factor 1.083 from idling to dragless.

    References
    ----------
    .. [1] Follows from `maximum_lift_drag_ratio`. That a stopped propeller is usually better
       than a windmilling one is from memory.

    Examples
    --------
    >>> round(float(zero_lift_drag_for_propeller(0.04, 2**0.5)), 3)
    0.02
    """
    cd0, factor = checked(cd0=cd0, glide_ratio_factor=glide_ratio_factor)
    return cd0 / factor**2


def best_glide_tas(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
) -> Numbers:
    """Speed of the flattest glide in still air.

    Assumes a straight, steady glide; exact for the parabolic polar at any path angle.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]

    Returns
    -------
    float or array
        True airspeed; with sea-level density the equivalent airspeed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    sqrt(2 W / (rho S)) (4 CD0^2 + CD0 pi e A)^(-1/4).

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, Example 9.1 (inputs and formulas read in
       a public worked example).

    Examples
    --------
    >>> round(float(best_glide_tas(1088.6, 16.165, 7.38, 0.037, 0.72, 1.225)), 2)
    36.96
    """
    lift = lift_coefficient_at_best_glide(aspect_ratio, cd0, oswald)
    return _tas_at(lift, mass, wing_area, aspect_ratio, cd0, oswald, density)


def _tas_at(lift, mass, wing_area, aspect_ratio, cd0, oswald, density):
    """Speed of the steady straight glide at a lift coefficient: L = W cos(path angle)."""
    mass, wing_area, density = checked(mass=mass, wing_area=wing_area, density=density)
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    ratio = drag_coefficient(lift, cd0, induced_drag_factor(oswald, aspect_ratio)) / lift
    cosine = 1.0 / np.sqrt(1.0 + ratio**2)
    return np.sqrt(2.0 * mass * STANDARD_GRAVITY * cosine / (density * wing_area * lift))
