"""The wind triangle: components, crab angle, heading and ground speed.

A wind is named by where it comes from, as in a report; the components along a course are a
headwind (positive against the course) and a crosswind (positive from the right).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import Numbers, checked, sentence
from lessonkit.units import kt_from_mps


@dataclass(frozen=True)
class WindComponents:
    """A wind split along a course.

    Parameters
    ----------
    headwind : float or array
        Part against the course, negative for a tailwind. [m/s]
    crosswind : float or array
        Part across the course, positive from the right. [m/s]

    Examples
    --------
    >>> WindComponents(headwind=5.0, crosswind=2.0).along
    -5.0
    """

    headwind: Numbers
    crosswind: Numbers

    @property
    def along(self) -> Numbers:
        """Velocity of the air along the course, positive with it, in m/s."""
        return -self.headwind

    @property
    def across(self) -> Numbers:
        """Velocity of the air to the right of the course, in m/s."""
        return -self.crosswind


@dataclass(frozen=True)
class WindTriangle:
    """Heading and ground speed that hold a course in a wind.

    Parameters
    ----------
    heading_deg : float or array
        Heading, 0 up to but not including 360. [deg]
    crab_deg : float or array
        Heading minus course, positive to the right. [deg]
    ground_speed : float or array
        Speed over the ground along the course. [m/s]

    Examples
    --------
    >>> WindTriangle(heading_deg=10.0, crab_deg=10.0, ground_speed=30.0).crab_deg
    10.0
    """

    heading_deg: Numbers
    crab_deg: Numbers
    ground_speed: Numbers


def headwind_component(angle_deg: ArrayLike, wind_speed: ArrayLike) -> Numbers:
    """Part of the wind that blows against the course.

    Parameters
    ----------
    angle_deg : float or array
        Direction the wind comes from minus the course. [deg]
    wind_speed : float or array
        Wind speed. [m/s]

    Returns
    -------
    float or array
        Headwind, negative for a tailwind. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    W cos(angle).

    References
    ----------
    .. [1] FAA-H-8083-3C Fig. 9-19; 40 degrees at 15 kt is about 12 kt of headwind (read).

    Examples
    --------
    >>> round(float(headwind_component(60.0, 10.0)), 6)
    5.0
    """
    angle_deg, wind_speed = checked(angle_deg=angle_deg, wind_speed=wind_speed)
    return wind_speed * np.cos(np.radians(angle_deg))


def crosswind_component(angle_deg: ArrayLike, wind_speed: ArrayLike) -> Numbers:
    """Part of the wind that blows across the course.

    Parameters
    ----------
    angle_deg : float or array
        Direction the wind comes from minus the course, positive to the right. [deg]
    wind_speed : float or array
        Wind speed. [m/s]

    Returns
    -------
    float or array
        Crosswind, positive from the right. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    W sin(angle). Rule of the trade: 30 degrees half, 50 three quarters, 70 nine tenths (read).

    References
    ----------
    .. [1] FAA-H-8083-3C Fig. 9-19; 40 degrees at 15 kt is about 10 kt of crosswind (read).

    Examples
    --------
    >>> round(float(crosswind_component(-30.0, 10.0)), 6)
    -5.0
    """
    angle_deg, wind_speed = checked(angle_deg=angle_deg, wind_speed=wind_speed)
    return wind_speed * np.sin(np.radians(angle_deg))


def wind_components(
    course_deg: ArrayLike, wind_from_deg: ArrayLike, wind_speed: ArrayLike
) -> WindComponents:
    """Split a reported wind along a course or runway.

    Assumes that both directions have the same north.

    Parameters
    ----------
    course_deg : float or array
        Course over the ground or runway direction, clockwise from north. [deg]
    wind_from_deg : float or array
        Direction the wind comes from, clockwise from the same north. [deg]
    wind_speed : float or array
        Wind speed. [m/s]

    Returns
    -------
    WindComponents
        Headwind and crosswind from the right; also as velocity of the air. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    References
    ----------
    .. [1] Geometry; component chart FAA-H-8083-3C Fig. 9-19.

    Examples
    --------
    >>> round(float(wind_components(270.0, 300.0, 10.0).crosswind), 6)
    5.0
    """
    course_deg = checked(direction_deg=course_deg)
    # the difference of two valid directions always fits the range of an angle after wrapping
    angle_deg = (checked(direction_deg=wind_from_deg) - course_deg) % 360.0
    return WindComponents(
        headwind=headwind_component(angle_deg, wind_speed),
        crosswind=crosswind_component(angle_deg, wind_speed),
    )


def crab_angle_deg(crosswind: ArrayLike, tas: ArrayLike) -> Numbers:
    """Angle between heading and track that cancels the drift.

    Assumes no sideslip. The same angle is the sideslip of a wing-low approach with the nose
    straight down the runway.

    Parameters
    ----------
    crosswind : float or array
        Crosswind, positive from the right. [m/s]
    tas : float or array
        True airspeed. [m/s]

    Returns
    -------
    float or array
        Crab angle, positive nose to the right, into a wind from the right. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range or the crosswind is stronger than the airspeed.

    Notes
    -----
    arcsin(crosswind / V).

    References
    ----------
    .. [1] Geometry of the wind triangle.

    Examples
    --------
    >>> round(float(crab_angle_deg(12.0, 65.0)), 2)
    10.64
    """
    crosswind, tas = checked(crosswind=crosswind, tas=tas)
    _require_track(crosswind, tas)
    return np.degrees(np.arcsin(crosswind / tas))


def ground_speed(tas: ArrayLike, headwind: ArrayLike, crosswind: ArrayLike) -> Numbers:
    """Speed over the ground along a track that is held with a crab.

    Assumes level flight; on a slope the horizontal part of the airspeed takes its place.

    Parameters
    ----------
    tas : float or array
        True airspeed. [m/s]
    headwind : float or array
        Headwind along the track, negative for a tailwind. [m/s]
    crosswind : float or array
        Crosswind, positive from the right. [m/s]

    Returns
    -------
    float or array
        Ground speed along the track, negative when the wind blows the airplane back. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range or the crosswind is stronger than the airspeed.

    Notes
    -----
    sqrt(V^2 - crosswind^2) - headwind.

    References
    ----------
    .. [1] Geometry of the wind triangle.

    Examples
    --------
    >>> float(ground_speed(50.0, 10.0, 30.0))
    30.0
    """
    tas, headwind, crosswind = checked(tas=tas, headwind=headwind, crosswind=crosswind)
    _require_track(crosswind, tas)
    return np.sqrt(tas**2 - crosswind**2) - headwind


def wind_triangle(
    course_deg: ArrayLike, tas: ArrayLike, wind_from_deg: ArrayLike, wind_speed: ArrayLike
) -> WindTriangle:
    """Solve the wind triangle: heading to fly and ground speed for a course.

    Assumes level flight without sideslip.

    Parameters
    ----------
    course_deg : float or array
        Course over the ground, clockwise from north. [deg]
    tas : float or array
        True airspeed. [m/s]
    wind_from_deg : float or array
        Direction the wind comes from, clockwise from the same north. [deg]
    wind_speed : float or array
        Wind speed. [m/s]

    Returns
    -------
    WindTriangle
        Heading and crab [deg] and ground speed. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range or the crosswind is stronger than the airspeed.

    References
    ----------
    .. [1] Geometry of the wind triangle.

    Examples
    --------
    >>> round(float(wind_triangle(360.0, 32.5, 90.0, 6.0).heading_deg), 2)
    10.64
    """
    parts = wind_components(course_deg, wind_from_deg, wind_speed)
    crab = crab_angle_deg(parts.crosswind, tas)
    return WindTriangle(
        # twice: a hair below north rounds up to 360.0 the first time
        heading_deg=(np.asarray(course_deg, dtype=float) + crab) % 360.0 % 360.0,
        crab_deg=crab,
        ground_speed=ground_speed(tas, parts.headwind, parts.crosswind),
    )


def _require_track(crosswind, tas):
    crosswind, tas = np.broadcast_arrays(crosswind, tas)
    lost = np.abs(crosswind) > tas
    if np.any(lost):
        raise ValueError(
            sentence(
                "no_answer.drift",
                crosswind=f"{kt_from_mps(abs(crosswind[lost][0])):.4g}",
                tas=f"{kt_from_mps(tas[lost][0]):.4g}",
            )
        )
