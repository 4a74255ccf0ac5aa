"""Places about a threshold against earth-centred coordinates of the ellipsoid."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.flights.local_plane import geodetic_from_local, local_from_geodetic

A = 6378137.0  # m, World Geodetic System 1984 (defining value, from memory)
F = 1 / 298.257223563


def earth_centred(latitude_deg, longitude_deg, height):
    """Cartesian coordinates of a point above the ellipsoid (textbook formula, from memory)."""
    lat, lon = np.radians(latitude_deg), np.radians(longitude_deg)
    squared = 1 - (1 - F) ** 2
    n = A / np.sqrt(1 - squared * np.sin(lat) ** 2)
    return np.array(
        [
            (n + height) * np.cos(lat) * np.cos(lon),
            (n + height) * np.cos(lat) * np.sin(lon),
            (n * (1 - squared) + height) * np.sin(lat),
        ]
    )


def north_east(latitude_deg, longitude_deg, lat0, lon0, height):
    """Exact place north and east in the plane that touches at lat0, lon0."""
    lat, lon = np.radians(lat0), np.radians(lon0)
    d = earth_centred(latitude_deg, longitude_deg, height) - earth_centred(lat0, lon0, height)
    east = -np.sin(lon) * d[0] + np.cos(lon) * d[1]
    north = (
        -np.sin(lat) * np.cos(lon) * d[0] - np.sin(lat) * np.sin(lon) * d[1] + np.cos(lat) * d[2]
    )
    return north, east


@settings(max_examples=80, deadline=None, derandomize=True)
@given(
    x=st.floats(-3000, 3000),
    y=st.floats(-3000, 3000),
    lat=st.floats(-60, 60),
    lon=st.floats(-180, 180),
    direction=st.floats(0, 360),
    elevation=st.floats(0, 2000),
)
def test_error_stays_within_what_is_stated(x, y, lat, lon, direction, elevation):
    latitude, longitude = geodetic_from_local(x, y, lat, lon, direction, elevation)
    north, east = north_east(latitude, longitude, lat, lon, elevation)
    c, s = np.cos(np.radians(direction)), np.sin(np.radians(direction))
    # Stated: d^2 tan(latitude) / (2 R), in each direction at most twice that (cross term).
    stated = (x * x + y * y) * abs(np.tan(np.radians(lat))) / (2 * 6.36e6)
    assert abs(north * c + east * s - x) <= 2 * stated + 0.01
    assert abs(-north * s + east * c - y) <= 2 * stated + 0.01


@pytest.mark.parametrize(
    ("direction", "x", "y", "north", "east"),
    [
        (0.0, 1000.0, 0.0, 1000.0, 0.0),
        (90.0, 1000.0, 0.0, 0.0, 1000.0),
        (270.0, 1000.0, 0.0, 0.0, -1000.0),
        (0.0, 0.0, 500.0, 0.0, 500.0),  # right of a northward landing is east
        (90.0, 0.0, 500.0, -500.0, 0.0),
    ],
)
def test_directions(direction, x, y, north, east):
    latitude, longitude = geodetic_from_local(x, y, 47.0, 8.0, direction)
    exact = north_east(latitude, longitude, 47.0, 8.0, 0.0)
    assert exact == pytest.approx((north, east), abs=0.2)


def test_there_and_back_over_the_date_line():
    x, y = np.array([-2000.0, 0.0, 900.0]), np.array([-1200.0, 0.0, 30.0])
    place = (-17.0, 179.995, 312.0, 20.0)
    latitude, longitude = geodetic_from_local(x, y, *place)
    assert longitude.min() < -179 and longitude.max() > 179
    back = local_from_geodetic(latitude, longitude, *place)
    np.testing.assert_allclose(back, (x, y), atol=1e-6)


def test_poles_are_refused():
    with pytest.raises(ValueError, match="85 degrees"):
        geodetic_from_local(0.0, 0.0, 89.0, 0.0, 0.0)
