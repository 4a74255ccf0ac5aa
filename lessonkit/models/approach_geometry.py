"""The geometry of the final approach: path, aiming point, and what the runway looks like.

The ground is a level plane and the horizon is the true horizontal; the sea horizon dips
0.3 degrees at 300 ft and hills stand above it.
"""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked, sentence
from lessonkit.units import ft_from_m, kt_from_mps


def path_angle_over_ground_deg(
    tas: ArrayLike, sink_rate: ArrayLike, headwind: ArrayLike
) -> Numbers:
    """Angle at which the airplane comes down over the ground.

    Assumes a shallow path: the airspeed counts as horizontal, which makes the angle 1 % small
    at 8 degrees.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    sink_rate : float or array
        Rate of descent, positive down. [m/s]
    headwind : float or array
        Headwind, negative for a tailwind. [m/s]

    Returns
    -------
    float or array
        Angle below the horizontal, positive. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range or the headwind is as strong as the airspeed.

    Notes
    -----
    arctan(sink / (V - headwind)).

    References
    ----------
    .. [1] FAA-H-8083-3C Fig. 9-4: a headwind steepens the path (read).

    Examples
    --------
    >>> round(float(path_angle_over_ground_deg(32.0, 3.2, 0.0)), 2)
    5.71
    """
    tas, sink_rate, headwind = checked(tas=tas, sink_rate=sink_rate, headwind=headwind)
    require_headway(tas, headwind)
    return np.degrees(np.arctan2(sink_rate, tas - headwind))


def require_headway(tas: ArrayLike, headwind: ArrayLike) -> None:
    """Refuse a headwind that is as strong as the airspeed.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    headwind : float or array
        Headwind, negative for a tailwind. [m/s]

    Returns
    -------
    None
        Nothing, when the airplane makes way over the ground. [-]

    Raises
    ------
    ValueError
        If the airplane makes no way over the ground.

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> require_headway(30.0, 10.0)
    """
    tas, headwind = np.broadcast_arrays(tas, headwind)
    stopped = headwind >= tas
    if np.any(stopped):
        raise ValueError(
            sentence(
                "no_answer.backwards",
                headwind=f"{kt_from_mps(headwind[stopped][0]):.4g}",
                tas=f"{kt_from_mps(tas[stopped][0]):.4g}",
            )
        )


def descent_rate_on_path(ground_speed: ArrayLike, descent_angle_deg: ArrayLike) -> Numbers:
    """Rate of descent that holds a straight path over the ground.

    Assumes steady ground speed.

    Parameters
    ----------
    ground_speed : float or array
        Speed over the ground. [m/s]
    descent_angle_deg : float or array
        Angle of the path below the horizontal, positive. [deg]

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
    GS tan(angle). For 3 degrees the rule 5 x knots gives feet per minute; exact is 5.31.

    References
    ----------
    .. [1] Geometry; the rule is common practice (from memory).

    Examples
    --------
    >>> round(float(descent_rate_on_path(30.0, 3.0)), 2)
    1.57
    """
    speed, angle_deg = checked(ground_speed=ground_speed, descent_angle_deg=descent_angle_deg)
    return speed * np.tan(np.radians(angle_deg))


def height_above_aiming_point(distance: ArrayLike, descent_angle_deg: ArrayLike) -> Numbers:
    """Height of a straight path at a distance from its aiming point.

    Assumes level ground.

    Parameters
    ----------
    distance : float or array
        Distance to the aiming point over the ground. [m]
    descent_angle_deg : float or array
        Angle of the path below the horizontal, positive. [deg]

    Returns
    -------
    float or array
        Height above the aiming point. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    d tan(angle).

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(height_above_aiming_point(1000.0, 3.0)), 1)
    52.4
    """
    distance, angle_deg = checked(distance=distance, descent_angle_deg=descent_angle_deg)
    return distance * np.tan(np.radians(angle_deg))


def depression_below_horizon_deg(height: ArrayLike, distance: ArrayLike) -> Numbers:
    """Angle of a point on the ground below the horizon, seen from the seat.

    Assumes level ground and a true horizontal. On a straight path to that point the angle
    stays constant and equals the path angle: that is what makes it an aiming point.

    Parameters
    ----------
    height : float or array
        Height of the eye above the point. [m]
    distance : float or array
        Distance to the point over the ground, above 0. [m]

    Returns
    -------
    float or array
        Angle below the horizontal, positive. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    arctan(h / d).

    References
    ----------
    .. [1] FAA-H-8083-3C p. 9-5, aiming point (read).

    Examples
    --------
    >>> round(float(depression_below_horizon_deg(10.0, 10.0)), 6)
    45.0
    """
    height, distance = checked(height=height, ground_distance=distance)
    return np.degrees(np.arctan2(height, distance))


def runway_edge_slope_from_vertical_deg(runway_width: ArrayLike, height: ArrayLike) -> Numbers:
    """Slope of the runway's edge in the picture seen from the extended centreline.

    Assumes a level runway, wings level, the eye on the centreline. Low: the edges lie flat;
    high: they stand up.

    Parameters
    ----------
    runway_width : float or array
        Width of the runway. [m]
    height : float or array
        Height of the eye above the runway, above 0. [m]

    Returns
    -------
    float or array
        Angle of either edge from the vertical of the picture. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    arctan((width / 2) / h): it depends on height alone, not on distance.

    References
    ----------
    .. [1] Central projection; the trapezoid of FAA-H-8083-3C p. 9-5 (read).

    Examples
    --------
    >>> round(float(runway_edge_slope_from_vertical_deg(20.0, 10.0)), 6)
    45.0
    """
    runway_width, height = checked(runway_width=runway_width, eye_height=height)
    return np.degrees(np.arctan2(0.5 * runway_width, height))


def runway_image_height_deg(
    height: ArrayLike, distance: ArrayLike, runway_length: ArrayLike
) -> Numbers:
    """Angle between the near and the far end of the runway, seen from the seat.

    Assumes level ground and an eye before the near end.

    Parameters
    ----------
    height : float or array
        Height of the eye above the runway. [m]
    distance : float or array
        Distance to the near end over the ground, above 0. [m]
    runway_length : float or array
        Length of the runway. [m]

    Returns
    -------
    float or array
        Angle in the picture. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    arctan(h / d) - arctan(h / (d + length)).

    References
    ----------
    .. [1] Central projection.

    Examples
    --------
    >>> round(float(runway_image_height_deg(159.2, 2538.0, 3000.0)), 2)
    1.94
    """
    runway_length = checked(runway_length=runway_length)
    far = depression_below_horizon_deg(height, np.asarray(distance, dtype=float) + runway_length)
    return depression_below_horizon_deg(height, distance) - far


def aiming_point_for_touchdown(touchdown_x: ArrayLike, flare_distance: ArrayLike) -> Numbers:
    """Aiming point that puts the wheels on a wanted spot.

    Assumes that round-out and float together take a known distance over the ground.

    Parameters
    ----------
    touchdown_x : float or array
        Wanted touchdown, distance beyond the threshold. [m]
    flare_distance : float or array
        Distance from aiming point to touchdown by round-out and float. [m]

    Returns
    -------
    float or array
        Aiming point, distance beyond the threshold. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range or the aiming point would lie before the threshold.

    Notes
    -----
    The touchdown lies beyond the aiming point. 400 ft of round-out and float is two modules of
    US centreline paint (120 ft stripe, 80 ft gap, from memory).

    References
    ----------
    .. [1] FAA-H-8083-3C p. 9-5 (read): touchdown is beyond the aiming point.

    Examples
    --------
    >>> float(aiming_point_for_touchdown(200.0, 120.0))
    80.0
    """
    touchdown_x, flare_distance = checked(distance=touchdown_x, flare_distance=flare_distance)
    aiming_x = touchdown_x - flare_distance
    if np.any(aiming_x < 0.0):
        needed = float(np.nanmax(np.where(aiming_x < 0.0, flare_distance, np.nan)))
        raise ValueError(
            sentence("no_answer.before_threshold", distance=f"{ft_from_m(needed):,.0f}")
        )
    return aiming_x


def wheel_contact_before_aiming_point(
    eye_height: ArrayLike, descent_angle_deg: ArrayLike
) -> Numbers:
    """Distance by which the wheels would strike short of the point the eye flies to.

    Assumes no round-out and a level attitude.

    Parameters
    ----------
    eye_height : float or array
        Height of the eye above the wheels. [m]
    descent_angle_deg : float or array
        Angle of the path below the horizontal, positive. [deg]

    Returns
    -------
    float or array
        Distance short of the aiming point. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    eye height / tan(angle).

    References
    ----------
    .. [1] Geometry.

    Examples
    --------
    >>> round(float(wheel_contact_before_aiming_point(2.0, 45.0)), 6)
    2.0
    """
    eye_height, angle_deg = checked(eye_height=eye_height, descent_angle_deg=descent_angle_deg)
    return eye_height / np.tan(np.radians(angle_deg))
