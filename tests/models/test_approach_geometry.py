import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import approach_geometry as geometry
from lessonkit.units import fpm_from_mps, m_from_ft, m_from_nm, mps_from_kt

from .common import quick


@quick
@given(st.floats(10.0, 5000.0), st.floats(0.5, 12.0))
def test_aiming_point_sits_at_the_path_angle_below_the_horizon(distance, angle_deg):
    height = geometry.height_above_aiming_point(distance, angle_deg)
    seen = geometry.depression_below_horizon_deg(height, distance)
    assert seen == pytest.approx(angle_deg, rel=1e-12)


@quick
@given(st.floats(20.0, 60.0), st.floats(0.1, 8.0), st.floats(-10.0, 15.0))
def test_sink_and_path_turn_back(tas, sink, headwind):
    angle_deg = geometry.path_angle_over_ground_deg(tas, sink, headwind)
    back = geometry.descent_rate_on_path(tas - headwind, angle_deg)
    assert back == pytest.approx(sink, rel=1e-12)
    still = geometry.path_angle_over_ground_deg(tas, sink, 0.0)
    assert (angle_deg > still) == (headwind > 0.0) or abs(headwind) < 1e-9


def test_stated_error_of_the_shallow_path():
    tas, gamma = 35.0, np.radians(8.0)
    read = geometry.path_angle_over_ground_deg(tas, tas * np.sin(gamma), 0.0)
    assert 0.0 < 1.0 - read / 8.0 < 0.011


def test_three_degree_rule_is_six_percent_low():
    exact = fpm_from_mps(geometry.descent_rate_on_path(mps_from_kt(60.0), 3.0))
    assert exact == pytest.approx(5.31 * 60.0, rel=1e-3)


@quick
@given(st.floats(10.0, 60.0), st.floats(5.0, 300.0), st.floats(200.0, 3000.0))
def test_runway_edge_by_projection(width, height, distance):
    """Independent: project two points of the right edge on a picture plane one metre ahead."""
    near, far = distance, distance + 500.0
    x = np.array([0.5 * width / near, 0.5 * width / far])
    y = np.array([-height / near, -height / far])
    slope = np.degrees(np.arctan2(x[0] - x[1], y[1] - y[0]))
    ours = geometry.runway_edge_slope_from_vertical_deg(width, height)
    assert ours == pytest.approx(slope, rel=1e-6)


def test_high_stands_up_and_low_lies_flat():
    slopes = geometry.runway_edge_slope_from_vertical_deg(20.0, np.array([5.0, 20.0, 80.0]))
    assert np.all(np.diff(slopes) < 0.0)


def test_picture_height_of_the_worked_runway():
    """Derived by hand: 3,000 ft runway, aim 500 ft in, half a mile out on 3 degrees, 1.9428."""
    height = geometry.height_above_aiming_point(m_from_nm(0.5), 3.0)
    near = m_from_nm(0.5) - m_from_ft(500.0)
    angle = geometry.runway_image_height_deg(height, near, m_from_ft(3000.0))
    assert angle == pytest.approx(1.9428, abs=0.001)


def test_aiming_point_lies_before_the_touchdown_and_never_before_the_threshold():
    aim = geometry.aiming_point_for_touchdown(m_from_ft(1000.0), m_from_ft(400.0))
    assert aim == pytest.approx(m_from_ft(600.0))
    with pytest.raises(ValueError, match="take 400 ft, .* at least 400 ft inside"):
        geometry.aiming_point_for_touchdown(m_from_ft(100.0), m_from_ft(400.0))


def test_wheels_strike_short_of_where_the_eye_aims():
    assert geometry.wheel_contact_before_aiming_point(1.8, 3.0) == pytest.approx(34.35, abs=0.01)


def test_refuses_no_way_over_the_ground():
    with pytest.raises(ValueError, match="makes no way over the ground"):
        geometry.path_angle_over_ground_deg(30.0, 3.0, 30.0)
