"""A computed approach as a recording."""

import numpy as np
import pytest

from lessonkit.flights import (
    RecordingError,
    recording_from_history,
    recording_from_text,
    recording_text,
)
from lessonkit.flights.local_plane import local_from_geodetic
from lessonkit.models.approach_results import History
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_approach import fly
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind

PLACE = (47.1, 8.2, 300.0, 430.0)


@pytest.fixture(scope="module")
def approach():
    """One left-hand approach of an invented airplane in still air."""
    airplane = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    plan = ApproachPlan(900.0, 300.0, 450.0, 40.0, 36.0, 35.0, 33.0, 28.0)
    return fly(plan, airplane, Wind())


def test_approach_reads_back_from_its_csv_form(approach):
    flight = recording_from_history(approach.history, *PLACE)
    again = recording_from_text(recording_text(flight))
    assert len(again) == len(approach.history.time)
    x, y = local_from_geodetic(again["lat_deg"], again["lon_deg"], *PLACE)
    np.testing.assert_allclose(x, approach.history.x, atol=1e-5)
    np.testing.assert_allclose(y, approach.history.y, atol=1e-5)
    np.testing.assert_allclose(again["alt_m"] - 430.0, approach.history.height, atol=1e-9)
    assert again.altitude_datum == "msl"
    assert again.header_number("rwy_true_deg") == 300.0
    assert again.header_number("rwy_elev_m") == 430.0
    assert again.header_number("rwy_threshold_lat_deg") == 47.1


def test_headings_and_banks_of_a_left_hand_approach(approach):
    flight = recording_from_history(approach.history, *PLACE)
    heading = flight["heading_true_deg"]
    assert heading[0] == pytest.approx(120.0, abs=0.5)  # downwind, against the landing
    turned = (heading[-1] - 300.0 + 180.0) % 360.0 - 180.0
    assert abs(turned) < 10.0
    assert flight["roll_deg"].min() < -10.0  # left turns: left wing down
    assert "gs_mps" not in flight


def test_vertical_speed_is_the_change_of_altitude(approach):
    flight = recording_from_history(approach.history, *PLACE)
    rate = np.diff(flight["alt_m"]) / np.diff(flight["time_s"])
    middle = 0.5 * (flight["vs_mps"][1:] + flight["vs_mps"][:-1])
    # Trapezoid over steps of at most half a second: good to a few cm/s.
    np.testing.assert_allclose(middle, rate, atol=0.1)


def test_history_that_is_too_short_is_refused():
    two = np.array([0.0, 1.0])
    short = History(*([two] * 12))
    with pytest.raises(RecordingError, match="^approach has 2 points"):
        recording_from_history(short, *PLACE)
