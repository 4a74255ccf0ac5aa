import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import wind

from .common import quick, speeds

directions = st.floats(0.0, 360.0)


@quick
@given(directions, st.floats(0.0, 40.0))
def test_components_rebuild_the_wind(angle_deg, wind_speed):
    head = wind.headwind_component(angle_deg, wind_speed)
    cross = wind.crosswind_component(angle_deg, wind_speed)
    assert np.hypot(head, cross) == pytest.approx(wind_speed, abs=1e-12)
    assert wind.crosswind_component(-angle_deg, wind_speed) == -cross
    assert wind.headwind_component(-angle_deg, wind_speed) == head


def test_signs():
    parts = wind.wind_components(90.0, 120.0, 10.0)  # runway 09, wind from the right front
    assert parts.headwind > 0.0 and parts.crosswind > 0.0
    assert parts.along == -parts.headwind and parts.across == -parts.crosswind
    assert wind.crab_angle_deg(5.0, 40.0) > 0.0  # wind from the right: nose to the right
    assert wind.headwind_component(180.0, 10.0) == pytest.approx(-10.0)
    across_north = wind.wind_components(350.0, 20.0, 10.0)
    assert across_north.crosswind == pytest.approx(5.0)


@quick
@given(directions, speeds, directions, st.floats(0.0, 15.0))
def test_triangle_closes(course_deg, tas, wind_from_deg, wind_speed):
    """Independent: air velocity plus wind velocity lies along the course."""
    flown = wind.wind_triangle(course_deg, tas, wind_from_deg, wind_speed)
    heading, course, source = np.radians([flown.heading_deg, course_deg, wind_from_deg])
    east = tas * np.sin(heading) - wind_speed * np.sin(source)
    north = tas * np.cos(heading) - wind_speed * np.cos(source)
    assert east == pytest.approx(flown.ground_speed * np.sin(course), abs=1e-9)
    assert north == pytest.approx(flown.ground_speed * np.cos(course), abs=1e-9)
    assert 0.0 <= flown.heading_deg < 360.0


def test_a_hair_left_of_north_is_north():
    assert wind.wind_triangle(1e-50, 20.0, 0.0, 1.0).heading_deg == 0.0
    assert wind.wind_triangle(0.0, 40.0, 357.0, 1e-15).heading_deg == 0.0


def test_calm():
    calm = wind.wind_triangle(123.0, 40.0, 77.0, 0.0)
    assert (calm.heading_deg, calm.crab_deg, calm.ground_speed) == (123.0, 0.0, 40.0)


def test_trade_rules_for_the_crosswind():
    """Read: 30 degrees half, 50 three quarters, 70 nine tenths."""
    shares = wind.crosswind_component(np.array([30.0, 50.0, 70.0]), 1.0)
    assert shares == pytest.approx([0.5, 0.75, 0.9], abs=0.05)


def test_refuses_a_crosswind_that_no_heading_holds():
    with pytest.raises(ValueError, match="crosswind of 77.75 kt .* airspeed of 58.32 kt"):
        wind.crab_angle_deg([10.0, -40.0], 30.0)
    with pytest.raises(ValueError, match="wind speed must be at least 0 kt"):
        wind.headwind_component(10.0, -1.0)
