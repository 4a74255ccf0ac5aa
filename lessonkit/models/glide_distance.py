"""How far a glide reaches, and how wind and weight change the speed to fly."""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.approach_geometry import require_headway
from lessonkit.models.drag import drag_coefficient, induced_drag_factor
from lessonkit.models.glide import lift_coefficient_at_best_glide
from lessonkit.models.limits import Numbers, checked
from lessonkit.units import STANDARD_GRAVITY

_GOLDEN = (np.sqrt(5.0) - 1.0) / 2.0
_STEPS = 60  # golden-section steps: the bracket shrinks to its rounding limit


def still_air_glide(lift_drag_ratio: ArrayLike, height: ArrayLike) -> Numbers:
    """Distance over the ground that a height is worth in still air.

    Assumes a straight glide at constant speed.

    Parameters
    ----------
    lift_drag_ratio : float or array
        Lift-drag ratio at the speed flown. [-]
    height : float or array
        Height to be glided down. [m]

    Returns
    -------
    float or array
        Distance. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    L/D times height.

    References
    ----------
    .. [1] FAA-H-8083-3C ch. 3: 10,000 ft forward for 1,000 ft down is 10 to 1 (read).

    Examples
    --------
    >>> float(still_air_glide(10.0, 300.0))
    3000.0
    """
    lift_drag_ratio, height = checked(lift_drag_ratio=lift_drag_ratio, height=height)
    return lift_drag_ratio * height


def glide_ratio_over_ground(
    lift_drag_ratio: ArrayLike, tas: ArrayLike, headwind: ArrayLike
) -> Numbers:
    """Distance over the ground per height lost, in wind.

    Assumes a shallow glide: the airspeed counts as horizontal (0.5 % at 10:1).

    Parameters
    ----------
    lift_drag_ratio : float or array
        Lift-drag ratio at the speed flown. [-]
    tas : float or array
        True airspeed. [m/s]
    headwind : float or array
        Headwind, negative for a tailwind, below the airspeed. [m/s]

    Returns
    -------
    float or array
        Glide ratio over the ground. [-]

    Raises
    ------
    ValueError
        If an input lies outside its range or the headwind is as strong as the airspeed.

    Notes
    -----
    L/D (V - headwind) / V.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(glide_ratio_over_ground(10.0, 65.0, 15.0)), 2)
    7.69
    """
    ratio, tas, headwind = checked(lift_drag_ratio=lift_drag_ratio, tas=tas, headwind=headwind)
    require_headway(tas, headwind)
    return ratio * (tas - headwind) / tas


def speed_scaled_to_weight(speed: ArrayLike, mass: ArrayLike, new_mass: ArrayLike) -> Numbers:
    """Glide, minimum-sink, stall or maneuvering speed at another weight.

    Assumes the same lift coefficient at both weights.

    Parameters
    ----------
    speed : float or array
        Speed at `mass`, calibrated. [m/s]
    mass, new_mass : float or array
        Mass to which the speed belongs, and the one wanted. [kg]

    Returns
    -------
    float or array
        Speed at `new_mass`, calibrated. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    V sqrt(new mass / mass). The glide *ratio* does not change.

    References
    ----------
    .. [1] FAA-H-8083-25C ch. 11 (from memory); FAA-H-8083-3C glossary: maneuvering speed
       100 kt heavy, 90 kt light (read).

    Examples
    --------
    >>> float(speed_scaled_to_weight(36.0, 1000.0, 250.0))
    18.0
    """
    speed, mass, new_mass = checked(speed=speed, mass=mass, new_mass=new_mass)
    return speed * np.sqrt(new_mass / mass)


def speed_to_fly_in_wind(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    headwind: ArrayLike,
) -> Numbers:
    """Speed that glides farthest over the ground in a steady wind.

    Assumes a straight glide; may lie below the stall speed in a strong tailwind. The common
    rule "add half the headwind" overstates it on a light trainer: 10 kt of headwind asks for
    2.8 kt, 30 kt for 11.2 kt.

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
    headwind : float or array
        Headwind, negative for a tailwind. [m/s]

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
    Greatest (V cos(gamma) - headwind) / (V sin(gamma)) over the lift coefficient, found by
    golden-section search between one fiftieth and four times the lift coefficient of best glide.

    References
    ----------
    .. [1] Tangent to the glide polar; derived here from the parabolic polar.

    Examples
    --------
    >>> args = (1088.6, 16.165, 7.38, 0.037, 0.72, 1.225)
    >>> round(float(speed_to_fly_in_wind(*args, 0.0)), 2)  # no wind: best glide
    36.96
    """
    mass, wing_area, density, headwind = checked(
        mass=mass, wing_area=wing_area, density=density, headwind=headwind
    )
    best = lift_coefficient_at_best_glide(aspect_ratio, cd0, oswald)
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    induced = induced_drag_factor(oswald, aspect_ratio)

    def glide(log_share):
        lift = best * np.exp(log_share)
        ratio = drag_coefficient(lift, cd0, induced) / lift
        cosine = 1.0 / np.sqrt(1.0 + ratio**2)
        tas = np.sqrt(2.0 * mass * STANDARD_GRAVITY * cosine / (density * wing_area * lift))
        return tas, (tas * cosine - headwind) / (tas * cosine * ratio)

    nothing = 0.0 * (best + mass + wing_area + density + headwind)  # shape of all inputs, NaN kept
    share = _maximise(lambda x: glide(x)[1], np.log(0.02) + nothing, np.log(4.0) + nothing)
    return glide(share)[0]


def _maximise(function, low, high):
    """Golden-section search for the maximum, one per array element."""
    left = high - _GOLDEN * (high - low)
    right = low + _GOLDEN * (high - low)
    at_left, at_right = function(left), function(right)
    for _ in range(_STEPS):
        go_left = at_left > at_right
        low, high = np.where(go_left, low, left), np.where(go_left, right, high)
        left = high - _GOLDEN * (high - low)
        right = low + _GOLDEN * (high - low)
        at_left, at_right = function(left), function(right)
    return 0.5 * (low + high)
