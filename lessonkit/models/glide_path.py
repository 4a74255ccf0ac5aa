"""Path angle and sink rate of a steady glide, straight or turning, at any speed."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.drag import induced_drag_factor
from lessonkit.models.limits import Numbers, checked, sentence
from lessonkit.units import STANDARD_GRAVITY, kt_from_mps


def glide_path_angle_deg(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
    bank_deg: ArrayLike,
) -> Numbers:
    """Path angle of a steady, coordinated glide, straight or turning.

    Assumes constant speed and bank above the stall; exact for the parabolic polar.

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
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down; 0 for a straight glide. [deg]

    Returns
    -------
    float or array
        Path angle in still air, negative descending. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range or the drag exceeds the weight.

    Notes
    -----
    With s = sin of the descent angle, a = q S CD0 / W and b = W / (q S pi e A cos^2(bank)),
    the balance along the path is s = a + b (1 - s^2), a quadratic in s.

    References
    ----------
    .. [1] Balance of forces in a steady gliding turn; derived here.

    Examples
    --------
    >>> args = (1088.6, 16.165, 7.38, 0.037, 0.72, 1.225)
    >>> round(float(glide_path_angle_deg(*args, 36.96, 0.0)), 3)
    -5.379
    """
    mass, wing_area, density, tas, bank_deg = checked(
        mass=mass, wing_area=wing_area, density=density, tas=tas, bank_deg=bank_deg
    )
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    load = 0.5 * density * tas**2 * wing_area / (mass * STANDARD_GRAVITY)  # q S / W
    a = load * cd0
    b = induced_drag_factor(oswald, aspect_ratio) / (load * np.cos(np.radians(bank_deg)) ** 2)
    # written so that nothing cancels when b is small
    sine = 2.0 * (a + b) / (1.0 + np.sqrt(1.0 + 4.0 * b * (a + b)))
    if np.any(sine >= 1.0):
        at = np.unravel_index(np.nanargmax(sine), np.shape(sine))
        raise ValueError(
            sentence(
                "no_answer.steep_glide",
                speed=f"{kt_from_mps(np.broadcast_to(tas, np.shape(sine))[at]):.4g}",
                bank=f"{np.broadcast_to(bank_deg, np.shape(sine))[at]:.4g}",
            )
        )
    return -np.degrees(np.arcsin(sine))


def sink_rate(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
    bank_deg: ArrayLike,
) -> Numbers:
    """Rate of descent of a steady, coordinated glide, straight or turning.

    Assumes constant speed and bank above the stall; exact for the parabolic polar.

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
    tas : float or array
        True airspeed. [m/s]
    bank_deg : float or array
        Bank angle, positive right wing down; 0 for a straight glide. [deg]

    Returns
    -------
    float or array
        Rate of descent, positive down. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range or the drag exceeds the weight.

    Notes
    -----
    V sin(descent angle).

    References
    ----------
    .. [1] Balance of forces in a steady gliding turn; derived here.

    Examples
    --------
    >>> round(float(sink_rate(1088.6, 16.165, 7.38, 0.037, 0.72, 1.225, 36.96, 0.0)), 2)
    3.46
    """
    angle_deg = glide_path_angle_deg(
        mass, wing_area, aspect_ratio, cd0, oswald, density, tas, bank_deg
    )
    return checked(tas=tas) * np.sin(np.radians(-angle_deg))


def sink_rate_from_ratio(tas: ArrayLike, lift_drag_ratio: ArrayLike) -> Numbers:
    """Rate of descent of a steady, straight glide whose ratio is known.

    Assumes still air.

    Parameters
    ----------
    tas : float or array
        True airspeed along the path. [m/s]
    lift_drag_ratio : float or array
        Distance over height in still air, which is lift over drag. [-]

    Returns
    -------
    float or array
        Rate of descent, positive down. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    The path is down by one in so many: V sin(arctan(1 / ratio)).

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(sink_rate_from_ratio(36.96, 10.62)), 2)
    3.46
    """
    tas, ratio = checked(tas=tas, lift_drag_ratio=lift_drag_ratio)
    return tas / np.hypot(1.0, ratio)


def glide_ratio_from_sink(tas: ArrayLike, sink_rate: ArrayLike) -> Numbers:
    """Distance over height of a steady, straight glide whose sink is known.

    Assumes still air.

    Parameters
    ----------
    tas : float or array
        True airspeed along the path. [m/s]
    sink_rate : float or array
        Rate of descent, positive down, above 0 and below the airspeed. [m/s]

    Returns
    -------
    float or array
        Ratio. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    1 / tan(arcsin(sink / V)).

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(glide_ratio_from_sink(36.96, 3.46)), 1)
    10.6
    """
    tas, sink_rate = checked(tas=tas, sink_rate=sink_rate)
    if np.any(sink_rate >= tas) or np.any(sink_rate <= 0.0):
        raise ValueError(sentence("no_answer.sink_and_speed"))
    return np.sqrt((tas / sink_rate) ** 2 - 1.0)
