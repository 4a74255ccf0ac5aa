"""The type that holds one flight."""

import math

import numpy as np
import pytest

from lessonkit.flights import Recording


def test_columns_are_frozen_copies():
    times = np.arange(3.0)
    flight = Recording({"time_s": times})
    times[0] = 99.0
    assert flight["time_s"][0] == 0.0
    with pytest.raises(ValueError):
        flight["time_s"][0] = 1.0
    with pytest.raises(TypeError):
        flight.columns["rpm"] = times


def test_columns_of_different_length_are_refused():
    with pytest.raises(ValueError, match="length"):
        Recording({"time_s": [0.0, 1.0], "alt_m": [0.0]})
    with pytest.raises(ValueError, match="length"):
        Recording({"time_s": [0.0, 1.0]}, {"event": ["start"]})


def test_unknown_number_column_is_refused():
    with pytest.raises(ValueError, match="speed"):
        Recording({"speed": [0.0]})
    with pytest.raises(ValueError, match="rpm"):
        Recording({"time_s": [0.0]}, {"rpm": ["2300"]})


def test_a_column_without_values_counts_as_not_recorded():
    flight = Recording({"time_s": [0.0, 1.0], "rpm": [math.nan, math.nan]})
    assert "time_s" in flight
    assert "rpm" not in flight
    assert "ias_mps" not in flight
    with pytest.raises(KeyError):
        flight["ias_mps"]


def test_header():
    flight = Recording({"time_s": [0.0]}, header={"alt_datum": "agl", "rwy_elev_m": "431.5"})
    assert flight.altitude_datum == "agl"
    assert flight.header_number("rwy_elev_m") == 431.5
    assert flight.header_number("rwy_true_deg") is None
    assert Recording({"time_s": [0.0]}).altitude_datum == "unknown"
    with pytest.raises(KeyError, match="pilot"):
        flight.header_number("pilot")
