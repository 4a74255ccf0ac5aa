"""Places about a runway threshold as latitude and longitude, and back."""

import numpy as np

# World Geodetic System 1984: equatorial radius [m] and flattening, its two defining lengths.
EQUATORIAL_RADIUS = 6378137.0
FLATTENING = 1.0 / 298.257223563


def geodetic_from_local(x, y, threshold_lat_deg, threshold_lon_deg, runway_true_deg, elevation=0.0):
    """Latitude and longitude of places given along and across a runway.

    Assumes a plane that touches the earth at the threshold.

    Parameters
    ----------
    x, y : float or array
        Along the landing direction from the threshold, and to the right of it. [m]
    threshold_lat_deg, threshold_lon_deg : float
        Place of the threshold. [deg]
    runway_true_deg : float
        True direction of the landing. [deg]
    elevation : float
        Elevation of the threshold. [m]

    Returns
    -------
    latitude_deg, longitude_deg : array
        [deg]

    Raises
    ------
    ValueError
        If the threshold is within 5 degrees of a pole, where the plane no longer serves.

    Notes
    -----
    Differences north and east over the radii of curvature of the ellipsoid. Error about
    d^2 tan(latitude) / (2 R): 0.7 m at 3 km and 45 degrees latitude, 8 m at 10 km. Tests hold
    it against the full ellipsoid.

    References
    ----------
    .. [1] Radii of curvature of the reference ellipsoid: from memory, textbook geodesy; checked
       against earth-centred coordinates in the tests.

    Examples
    --------
    >>> latitude, longitude = geodetic_from_local(0.0, 0.0, 47.0, 8.0, 270.0)
    >>> round(float(latitude), 9), round(float(longitude), 9)
    (47.0, 8.0)
    """
    north_radius, east_radius = _radii(threshold_lat_deg, elevation)
    direction = np.radians(runway_true_deg)
    x, y = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    north = x * np.cos(direction) - y * np.sin(direction)
    east = x * np.sin(direction) + y * np.cos(direction)
    latitude_deg = threshold_lat_deg + np.degrees(north / north_radius)
    longitude_deg = threshold_lon_deg + np.degrees(east / east_radius)
    return latitude_deg, (longitude_deg + 180.0) % 360.0 - 180.0


def local_from_geodetic(
    latitude_deg,
    longitude_deg,
    threshold_lat_deg,
    threshold_lon_deg,
    runway_true_deg,
    elevation=0.0,
):
    """Places along and across a runway of latitudes and longitudes.

    Assumes the same plane as `geodetic_from_local`, whose inverse it is.

    Parameters
    ----------
    latitude_deg, longitude_deg : float or array
        Places. [deg]
    threshold_lat_deg, threshold_lon_deg : float
        Place of the threshold. [deg]
    runway_true_deg : float
        True direction of the landing. [deg]
    elevation : float
        Elevation of the threshold. [m]

    Returns
    -------
    x, y : array
        Along the landing direction from the threshold, and to the right of it. [m]

    Raises
    ------
    ValueError
        If the threshold is within 5 degrees of a pole.

    Examples
    --------
    >>> x, y = local_from_geodetic(47.01, 8.0, 47.0, 8.0, 0.0)
    >>> round(float(x)), round(float(y))
    (1112, 0)
    """
    north_radius, east_radius = _radii(threshold_lat_deg, elevation)
    direction = np.radians(runway_true_deg)
    north = np.radians(np.asarray(latitude_deg, dtype=float) - threshold_lat_deg) * north_radius
    turned = (np.asarray(longitude_deg, dtype=float) - threshold_lon_deg + 180.0) % 360.0 - 180.0
    east = np.radians(turned) * east_radius
    x = north * np.cos(direction) + east * np.sin(direction)
    y = -north * np.sin(direction) + east * np.cos(direction)
    return x, y


def _radii(latitude_deg, elevation):
    """Metres per radian northward and eastward."""
    if not abs(latitude_deg) <= 85.0:
        raise ValueError("The threshold has to lie between 85 degrees south and north.")
    sine = np.sin(np.radians(latitude_deg))
    squared = FLATTENING * (2.0 - FLATTENING)  # eccentricity squared
    across = EQUATORIAL_RADIUS / np.sqrt(1.0 - squared * sine**2)
    along = across * (1.0 - squared) / (1.0 - squared * sine**2)
    return along + elevation, (across + elevation) * np.cos(np.radians(latitude_deg))
