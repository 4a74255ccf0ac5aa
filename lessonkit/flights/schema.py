"""Columns of a recording: names, believable ranges, and the other units that are read.

Form of the file: UTF-8, commas, decimal points, one row of column names, lines ``#key: value``
above it. Missing is empty, never 0. Unknown columns are kept as text, never guessed.
"""

from lessonkit import units

REQUIRED = ("time_s", "lat_deg", "lon_deg", "alt_m")

# Lowest and highest value that is believed. The limits are wide common-sense bounds for light
# airplanes (no source): they catch wrong units and broken fields, they do not judge flying.
NUMBER_COLUMNS: dict[str, tuple[float, float]] = {
    "time_s": (-1e10, 1e10),
    "lat_deg": (-90.0, 90.0),
    "lon_deg": (-180.0, 180.0),
    "alt_m": (-1000.0, 20000.0),
    "pressure_alt_m": (-1000.0, 20000.0),
    "gs_mps": (0.0, 300.0),
    "track_true_deg": (0.0, 360.0),
    "vs_mps": (-150.0, 150.0),
    "hacc_m": (0.0, 1e5),
    "vacc_m": (0.0, 1e5),
    "ias_mps": (0.0, 300.0),
    "tas_mps": (0.0, 300.0),
    "pitch_deg": (-90.0, 90.0),
    "roll_deg": (-180.0, 180.0),
    "heading_mag_deg": (0.0, 360.0),
    "heading_true_deg": (0.0, 360.0),
    "roll_rate_degps": (-720.0, 720.0),
    "pitch_rate_degps": (-720.0, 720.0),
    "yaw_rate_degps": (-720.0, 720.0),
    "ax_g": (-20.0, 20.0),
    "ay_g": (-20.0, 20.0),
    "az_g": (-20.0, 20.0),
    "sideslip_deg": (-90.0, 90.0),
    "rpm": (0.0, 10000.0),
    "flap_deg": (-30.0, 90.0),
    "elevator_deg": (-90.0, 90.0),
    "aileron_deg": (-90.0, 90.0),
    "rudder_deg": (-90.0, 90.0),
    "throttle_pct": (0.0, 100.0),
}
TEXT_COLUMNS = ("time_utc", "event")

HEADER_RANGES: dict[str, tuple[float, float]] = {
    "rwy_threshold_lat_deg": (-90.0, 90.0),
    "rwy_threshold_lon_deg": (-180.0, 180.0),
    "rwy_elev_m": (-1000.0, 9000.0),
    "rwy_true_deg": (0.0, 360.0),
}
ALTITUDE_DATUMS = ("msl", "ellipsoid", "pressure", "agl", "unknown")

_OTHER_UNITS = {
    "_mps": (("_kt", units.mps_from_kt), ("_fpm", units.mps_from_fpm)),
    "_m": (("_ft", units.m_from_ft),),
}


def _other_names():
    names = {}
    for column in NUMBER_COLUMNS:
        for ending, others in _OTHER_UNITS.items():
            if column.endswith(ending):
                for other, convert in others:
                    names[column.removesuffix(ending) + other] = (column, convert)
    return names


OTHER_NAMES = _other_names()
