import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import turning
from lessonkit.units import STANDARD_GRAVITY, kt_from_mps, m_from_ft, mps_from_kt

from .common import banks, quick, speeds


@quick
@given(speeds, banks)
def test_rate_times_radius_is_speed(tas, bank_deg):
    if abs(bank_deg) > 0.1:
        rate = np.radians(turning.rate_of_turn_dps(tas, bank_deg))
        assert abs(rate) * turning.radius_of_turn(tas, bank_deg) == pytest.approx(tas, rel=1e-12)


@quick
@given(speeds, banks)
def test_left_mirrors_right_and_bank_turns_back(tas, bank_deg):
    rate = turning.rate_of_turn_dps(tas, bank_deg)
    assert rate == -turning.rate_of_turn_dps(tas, -bank_deg)
    if abs(rate) < 90.0:
        assert turning.bank_for_rate_deg(tas, rate) == pytest.approx(bank_deg, abs=1e-9)
    if abs(bank_deg) > 1.0:
        radius = turning.radius_of_turn(tas, bank_deg)
        back = turning.bank_for_turn_radius_deg(tas, radius)
        assert back == pytest.approx(abs(bank_deg), abs=1e-9)


def test_twice_the_speed_half_the_rate_four_times_the_radius():
    assert turning.rate_of_turn_dps(60.0, 30.0) * 2.0 == pytest.approx(
        turning.rate_of_turn_dps(30.0, 30.0), rel=1e-12
    )
    assert turning.radius_of_turn(60.0, 30.0) == pytest.approx(
        4.0 * turning.radius_of_turn(30.0, 30.0), rel=1e-12
    )


def test_handbook_constants_within_half_a_percent():
    """1091 tan(bank)/V and V^2/(11.26 tan(bank)) are rounded; the exact ones are 1092.2, 11.294."""
    tas = mps_from_kt(100.0)
    tangent = np.tan(np.radians(25.0))
    assert turning.rate_of_turn_dps(tas, 25.0) == pytest.approx(1091 * tangent / 100, rel=2e-3)
    radius = 100.0**2 / (11.26 * tangent)
    assert turning.radius_of_turn(tas, 25.0) == pytest.approx(m_from_ft(radius), rel=4e-3)


def test_standard_rate_closes_a_circle_in_two_minutes():
    tas = 50.0
    bank_deg = turning.standard_rate_bank_deg(tas)
    circle = 2.0 * np.pi * turning.radius_of_turn(tas, bank_deg)
    assert circle / tas == pytest.approx(120.0, rel=1e-12)
    assert np.tan(np.radians(bank_deg)) == pytest.approx(kt_from_mps(tas) / 364.0, rel=2e-3)


def test_wings_level_turns_on_no_circle():
    assert np.isinf(turning.radius_of_turn(40.0, 0.0))
    assert turning.rate_of_turn_dps(40.0, 0.0) == 0.0


@quick
@given(speeds, banks, st.floats(-30.0, 30.0))
def test_ball_follows_the_specific_forces(tas, bank_deg, rate_dps):
    """Independent: resolve gravity and centripetal force in the seat's axes."""
    inward = tas * np.radians(rate_dps)  # to the right, horizontal
    bank = np.radians(bank_deg)
    lateral = STANDARD_GRAVITY * np.sin(bank) - inward * np.cos(bank)
    normal = STANDARD_GRAVITY * np.cos(bank) + inward * np.sin(bank)
    ball = turning.ball_angle_deg(tas, bank_deg, rate_dps)
    assert ball == pytest.approx(np.degrees(np.arctan2(lateral, normal)), abs=1e-9)


def test_slip_and_skid():
    tas = mps_from_kt(80.0)
    coordinated = turning.bank_for_rate_deg(tas, 6.0)
    assert turning.inclinometer_angle_deg(tas, coordinated, 6.0) == pytest.approx(0.0, abs=1e-12)
    assert turning.inclinometer_angle_deg(tas, coordinated + 5.0, 6.0) > 0.0  # slip: inside
    assert turning.inclinometer_angle_deg(tas, coordinated - 5.0, 6.0) < 0.0  # skid: outside
    assert turning.inclinometer_angle_deg(tas, -coordinated - 5.0, -6.0) > 0.0
    assert turning.inclinometer_angle_deg(tas, -10.0, 0.0) == 10.0  # straight slip: low wing
    assert turning.ball_angle_deg(tas, -10.0, 0.0) == -10.0  # left wing low: ball left


@quick
@given(speeds, st.floats(0.0, 15.0))
def test_bank_ratio_of_a_circle_over_the_ground(tas, wind):
    radius = 300.0
    down = turning.bank_for_turn_radius_deg(tas + wind, radius)
    up = turning.bank_for_turn_radius_deg(tas - wind, radius)
    ratio = np.tan(np.radians(down)) / np.tan(np.radians(up))
    assert turning.tan_bank_ratio_tailwind_to_headwind(tas, wind) == pytest.approx(ratio, rel=1e-9)


def test_refuses_a_wind_as_strong_as_the_airspeed():
    with pytest.raises(ValueError, match="wind of 58.32 kt .* airspeed of 58.32 kt"):
        turning.tan_bank_ratio_tailwind_to_headwind([40.0, 30.0], [10.0, 30.0])
    with pytest.raises(ValueError, match="true airspeed must be above 0 kt"):
        turning.rate_of_turn_dps(0.0, 30.0)
