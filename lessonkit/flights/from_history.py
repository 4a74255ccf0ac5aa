"""From a computed approach to a recording."""

import numpy as np

from lessonkit.flights.local_plane import geodetic_from_local
from lessonkit.flights.recording import Recording
from lessonkit.flights.validation import validate
from lessonkit.models.approach_results import History


def recording_from_history(
    history: History,
    threshold_lat_deg: float,
    threshold_lon_deg: float,
    runway_true_deg: float,
    elevation: float,
    name: str = "approach",
) -> Recording:
    """Return a computed approach in the form of a recording.

    Assumes that the threshold's plane serves: see `geodetic_from_local` for its error.

    Parameters
    ----------
    history : History
        Time history of one approach about the threshold. [SI, deg]
    threshold_lat_deg, threshold_lon_deg : float
        Place of the threshold. [deg]
    runway_true_deg : float
        True direction of the landing. [deg]
    elevation : float
        Elevation of the threshold above sea level. [m]
    name : str
        For the sentence of an error.

    Returns
    -------
    Recording
        Altitudes above sea level. The vertical speed is that of the path through the air, which
        is the one over the ground as long as the air does not rise or sink. Ground speed and
        track are left out: the history does not hold the wind.

    Raises
    ------
    RecordingError
        If the history holds too few points or values that no airplane flies.
    ValueError
        If the threshold is within 5 degrees of a pole.

    Examples
    --------
    >>> from lessonkit.models.approach_results import History
    >>> zeros, time = np.zeros(20), np.arange(20.0)
    >>> level = History(time, 30.0 * time, zeros, zeros + 300.0, zeros + 30.0,
    ...                 zeros, zeros, zeros, zeros, zeros, zeros + 1.0, zeros)
    >>> flight = recording_from_history(level, 47.0, 8.0, 270.0, 500.0)
    >>> len(flight), float(flight["alt_m"][0]), float(flight["heading_true_deg"][0])
    (20, 800.0, 270.0)
    """
    latitude_deg, longitude_deg = geodetic_from_local(
        history.x, history.y, threshold_lat_deg, threshold_lon_deg, runway_true_deg, elevation
    )
    true_airspeed = np.asarray(history.true_airspeed, dtype=float)
    columns = {
        "time_s": history.time,
        "lat_deg": latitude_deg,
        "lon_deg": longitude_deg,
        "alt_m": elevation + np.asarray(history.height, dtype=float),
        "vs_mps": true_airspeed * np.sin(np.radians(history.path_angle_deg)),
        "tas_mps": true_airspeed,
        "roll_deg": history.bank_deg,
        "heading_true_deg": (runway_true_deg + np.asarray(history.heading_deg)) % 360.0,
        "roll_rate_degps": history.bank_rate_degps,
        "flap_deg": history.flap_deg,
    }
    header = {
        "alt_datum": "msl",
        "rwy_threshold_lat_deg": repr(float(threshold_lat_deg)),
        "rwy_threshold_lon_deg": repr(float(threshold_lon_deg)),
        "rwy_elev_m": repr(float(elevation)),
        "rwy_true_deg": repr(float(runway_true_deg) % 360.0),
        "origin": "computed",
    }
    return validate(Recording(columns, header=header), name)
