"""Straight flight with sideslip or power: book values, balances, limits and signs."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.models.lateral_airplane import path_derivatives_at, scaled
from lessonkit.models.lateral_motion import LateralControls, derivatives
from lessonkit.models.lateral_sets import SETS
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import SCALAR
from lessonkit.models.parameters import Parameters
from lessonkit.models.propeller_yaw import COUNTER_CLOCKWISE, propeller_yaw
from lessonkit.models.slip import FULL_RUDDER_SIDESLIP_DEG
from lessonkit.models.steady_flight import steady_flight
from lessonkit.models.steady_sideslip import (
    controls_for_sideslip_deg,
    crosswind_limit,
    crosswind_slip,
    rudder_to_hold_straight,
    steady_sideslip_of_rudder,
    steady_straight,
)
from lessonkit.units import mps_from_kt, w_from_hp

LIGHT = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
PLAIN = scaled(SETS["B"], LIGHT)
PULLED = scaled(
    SETS["B"], LIGHT, propeller=propeller_yaw(w_from_hp(160.0), 1.9, 2500.0, 16.0, 11.0, 0.0645)
)
SPEEDS = st.floats(27.0, 60.0)


def test_controls_of_a_ten_degree_sideslip():
    # Derived: Cl = Cn = 0 solved by hand with set B (Roskam, app. B table B1): 7.92 and 3.52 deg.
    # Wind from the right: left pedal, wheel to the right.
    aileron, rudder = controls_for_sideslip_deg(SETS["B"].derivatives, 10.0)
    assert rudder == pytest.approx(-7.92129, abs=0.005)
    assert aileron == pytest.approx(3.52208, abs=0.005)


def test_sideslip_that_replaces_a_crab():
    # Derived: asin(12/65) = 10.64 deg
    slip = crosswind_slip(PLAIN, mps_from_kt(65.0), mps_from_kt(12.0))
    assert slip.sideslip_deg == pytest.approx(10.6387, abs=0.001)


def test_full_rudder_gives_the_sideslip_of_the_forward_slip():
    tas = math.sqrt(PLAIN.weight / (0.5 * 1.225 * 16.0 * 0.8))  # lift coefficient of the glide
    slip = steady_sideslip_of_rudder(PLAIN, tas, -1.0)
    assert slip.sideslip_deg == pytest.approx(FULL_RUDDER_SIDESLIP_DEG, rel=0.02)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(SPEEDS, st.floats(-10.0, 10.0))
def test_moments_and_side_force_balance(tas, sideslip_deg):
    # Independent of the solver: moments in axes along the path, side force against the weight.
    slip = steady_straight(PLAIN, tas, sideslip_deg=sideslip_deg)
    d = path_derivatives_at(PLAIN, slip.lift_coefficient)
    aileron, rudder = controls_for_sideslip_deg(d, sideslip_deg)
    # 2 % and a little: a hint of yaw rate remains, as the nose pitches in a banked path
    assert slip.aileron * PLAIN.full_aileron_deg == pytest.approx(aileron, rel=0.02, abs=0.02)
    assert slip.rudder * PLAIN.full_rudder_deg == pytest.approx(rudder, rel=0.02, abs=0.02)
    force = 0.5 * 1.225 * tas**2 * 16.0
    side = force * (d.cy_beta * sideslip_deg + d.cy_rudder * rudder) * math.pi / 180.0
    across = math.sin(math.radians(slip.bank_deg)) * math.cos(PLAIN.alpha(slip.lift_coefficient))
    assert across == pytest.approx(-side / PLAIN.weight, rel=0.02, abs=2e-4)
    assert slip.ball_deg == pytest.approx(slip.bank_deg, rel=0.05, abs=0.01)


@settings(max_examples=10, deadline=None, derandomize=True)
@given(SPEEDS, st.floats(-1.0, 1.0), st.floats(0.0, 1.0))
def test_what_is_steady_stays_so_when_flown(tas, rudder, power):
    slip = steady_sideslip_of_rudder(PULLED, tas, rudder, power=power)
    held = LateralControls(slip.aileron, slip.rudder, tas, 1.225, power)
    state = list(slip.state)
    for _ in range(25):
        state = rk4_step(derivatives, state, held, PULLED, None, 0.02, SCALAR)
    assert np.allclose(state, slip.state, atol=1e-6)


def test_signs_of_a_slip():
    slip = steady_sideslip_of_rudder(PLAIN, 33.0, -0.8)  # left pedal
    assert slip.sideslip_deg > 0.0  # wind from the right
    assert slip.aileron > 0.0 and slip.bank_deg > 0.0  # right wing low
    assert slip.ball_deg > 0.0 > slip.lateral_load  # the pilot hangs to the right


def test_more_bank_for_the_same_sideslip_when_faster():
    banks = steady_straight(PLAIN, np.array([28.0, 34.0, 45.0]), sideslip_deg=10.0).bank_deg
    assert np.all(np.diff(banks) > 0.0)


def test_slow_at_full_power_needs_the_most_right_pedal():
    speeds = np.linspace(28.0, 60.0, 9)
    full = rudder_to_hold_straight(PULLED, speeds, power=1.0)
    half = rudder_to_hold_straight(PULLED, speeds, power=0.5)
    idle = rudder_to_hold_straight(PULLED, speeds)
    assert np.all(np.diff(full) < 0.0)
    assert np.all(full > half) and np.all(half > idle)
    assert full[0] > 0.0


def test_counter_clockwise_is_mirrored():
    mirrored = scaled(
        SETS["B"], LIGHT, propeller=replace(PULLED.propeller, turns=COUNTER_CLOCKWISE)
    )
    one, other = (rudder_to_hold_straight(a, 30.0, power=1.0) for a in (PULLED, mirrored))
    assert other == pytest.approx(-one)


@pytest.mark.parametrize("side", [1, -1])
def test_at_the_crosswind_limit_a_control_is_at_its_stop(side):
    limit = crosswind_limit(PULLED, 33.0, side)
    slip = crosswind_slip(PULLED, 33.0, side * limit)
    assert max(abs(slip.rudder), abs(slip.aileron)) == pytest.approx(1.0, abs=1e-6)
    assert slip.can_be_held or abs(slip.rudder) < 1.0 + 1e-6
    assert not crosswind_slip(PULLED, 33.0, side * (limit + 0.5)).can_be_held


def test_arrays_and_single_numbers_agree():
    speeds = np.array([30.0, 50.0])
    together = steady_straight(PULLED, speeds, power=0.7, sideslip_deg=np.array([3.0, -6.0]))
    for case, beta in enumerate((3.0, -6.0)):
        one = steady_straight(PULLED, float(speeds[case]), power=0.7, sideslip_deg=beta)
        assert one.rudder == pytest.approx(together.rudder[case], rel=1e-9)
        assert isinstance(one.rudder, float)


def test_what_cannot_be_is_refused():
    with pytest.raises(ValueError, match="full rudder"):
        steady_sideslip_of_rudder(PLAIN, 33.0, 1.2)
    with pytest.raises(ValueError, match="crosswind"):
        crosswind_slip(PLAIN, 20.0, 20.0)
    with pytest.raises(ValueError, match="speed"):
        steady_straight(PLAIN, 0.0)
    with pytest.raises(ValueError, match="known"):
        steady_flight(PLAIN, 30.0, straight=True, rudder=0.1, bank=0.0)
    with pytest.raises(ValueError, match="right"):
        crosswind_limit(PLAIN, 30.0, 0)
