"""The roll-yaw motion: symmetry, limits, what the pilot sees, and that it never blows up."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.models.lateral_airplane import path_derivatives_at
from lessonkit.models.lateral_motion import (
    STRAIGHT,
    LateralControls,
    LateralState,
    derivatives,
    held_load_factor,
    lateral_rates,
    limited,
    seen,
)
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import ARRAY, SCALAR
from lessonkit.units import STANDARD_GRAVITY, mps_from_kt

from .common import SEA_LEVEL
from .lateral_cases import FAST, LEFT_ALONE, PULLED, SLOW

B = LEFT_ALONE["B"]
shares = st.floats(-1.0, 1.0)
angles = st.floats(-0.6, 0.6)
quick = settings(max_examples=20, deadline=None, derandomize=True)


def held(aileron=0.0, rudder=0.0, tas=SLOW, power=0.0):
    return LateralControls(aileron, rudder, tas, SEA_LEVEL, power)


@quick
@given(shares, shares, st.tuples(angles, angles, angles, angles, angles))
def test_mirror_controls_give_the_mirror_motion(aileron, rudder, state):
    """Without a propeller left and right are the same airplane."""
    one = derivatives(state, held(aileron, rudder), B, None, SCALAR)
    other = derivatives([-s for s in state], held(-aileron, -rudder), B, None, SCALAR)
    np.testing.assert_allclose(one, [-rate for rate in other], atol=1e-12)


def test_nothing_held_nothing_moves():
    assert derivatives(STRAIGHT, held(), B, None, SCALAR) == (0.0,) * 5
    assert seen(B, STRAIGHT, held(), SCALAR) == (0.0, 0.0)


def test_floats_and_arrays_are_one_motion():
    state = LateralState(0.05, 0.2, -0.1, 0.4, 1.0)
    many = LateralState(*(np.full(3, value) for value in state))
    controls = held(0.3, -0.2, power=0.8)
    one = derivatives(state, controls, PULLED, None, SCALAR)
    for rate, rates in zip(one, derivatives(many, controls, PULLED, None, ARRAY), strict=True):
        np.testing.assert_allclose(rates, rate, rtol=1e-12)
    speeds = np.array([SLOW, FAST])
    both = derivatives(state, controls._replace(tas=speeds), B)
    fast = derivatives(state, controls._replace(tas=FAST), B, None, SCALAR)
    np.testing.assert_allclose([rate[1] for rate in map(np.atleast_1d, both[:3])], fast[:3])


def test_which_way_each_control_turns():
    """Right wheel rolls right and yaws left; right pedal yaws right and pushes the tail left."""
    d = path_derivatives_at(B, B.lift_coefficient(SLOW, SEA_LEVEL))
    assert d.cl_aileron > 0.0 > d.cn_aileron
    assert d.cn_rudder > 0.0 > d.cy_rudder
    rates = lateral_rates(STRAIGHT, held(rudder=0.5), B, SCALAR)
    assert rates.yaw_rate > 0.0 > rates.side_load


def test_no_adverse_yaw_without_its_factor():
    plain = replace(B, adverse_yaw_factor=0.0)
    assert path_derivatives_at(plain, 1.2).cn_aileron == 0.0
    assert path_derivatives_at(B, 1.2).cn_aileron == pytest.approx(-0.12 * 1.2 * 0.229)


def test_wind_from_the_right_turns_the_nose_right_and_lifts_the_right_wing():
    rates = lateral_rates(LateralState(0.1, 0.0, 0.0, 0.0, 0.0), held(), B, SCALAR)
    assert rates.yaw_rate > 0.0 > rates.roll_rate
    assert rates.sideslip < 0.0  # the side force swings the path toward the nose
    ball_deg, load = seen(replace(B, pilot_ahead=0.0, pilot_above=0.0), (0.1, 0, 0, 0, 0), held())
    cl = B.lift_coefficient(SLOW, SEA_LEVEL)
    # by hand: tan(ball) = - side force over weight = 0.393 * 0.1 / CL
    assert load == pytest.approx(-0.0393 / cl, rel=1e-9)
    assert ball_deg == pytest.approx(math.degrees(math.atan(0.0393 / cl)), rel=1e-9)


def test_the_ball_of_a_turn_with_too_little_turn_is_out_on_the_low_side():
    """TN-19's flight: 100 kt, 20 deg of bank, 3 deg/s need 4.64 deg of ball toward the low wing.

    The state is a steady turn about the vertical; its sideslip is what gives that ball.
    """
    bank, turn, tas = math.radians(20.0), math.radians(3.0), mps_from_kt(100.0)
    point = replace(B, pilot_ahead=0.0, pilot_above=0.0)
    # Across the airplane: Y/m + g sin(bank) = V turn cos(bank), so Y/W is known by hand.
    side = tas * turn * math.cos(bank) / STANDARD_GRAVITY - math.sin(bank)
    cl = point.lift_coefficient(tas, SEA_LEVEL)
    state = LateralState(side * cl / -0.393, 0.0, 0.0, bank, 0.0)
    ball_deg, load = seen(point, state, held(tas=tas), SCALAR)
    assert load == pytest.approx(side, rel=1e-9)
    # The motion holds lift of a level turn, 1/cos(bank); the published ball takes what a turn of
    # 3 deg/s needs, cos(bank) + V turn sin(bank)/g: both by hand, some 6 % apart.
    normal = math.cos(bank) + tas * turn * math.sin(bank) / STANDARD_GRAVITY
    assert math.degrees(math.atan(-load / normal)) == pytest.approx(4.64113, abs=0.05)
    assert ball_deg == pytest.approx(4.64113, rel=0.08) and ball_deg > 0.0


def test_a_coordinated_level_turn_has_the_textbook_rate():
    """g tan(bank) / V, with q and r that keep the nose level; alpha tilts the axes."""
    for bank in (0.3, -0.8):
        tas = FAST
        turn = STANDARD_GRAVITY * math.tan(bank) / tas
        cl = B.lift_coefficient(tas, SEA_LEVEL, 1.0 / math.cos(bank))
        theta = math.atan(math.tan(B.alpha(cl)) * math.cos(bank))
        state = LateralState(
            0.0, -turn * math.sin(theta), turn * math.cos(theta) * math.cos(bank), bank, 0.0
        )
        rates = lateral_rates(state, held(tas=tas), replace(B, reference=_no_side_force()), SCALAR)
        assert rates.heading == pytest.approx(turn, rel=2e-3)
        assert rates.sideslip == pytest.approx(0.0, abs=1e-3)
        assert rates.bank == pytest.approx(0.0, abs=1e-3)


def _no_side_force():
    return B.reference._replace(cy_p=0.0, cy_r=0.0)


@quick
@given(st.floats(-math.pi, math.pi))
def test_pull_is_a_level_turns_up_to_sixty_degrees_and_never_wild(bank):
    n = held_load_factor(math.cos(bank), 4.0, SCALAR)
    if abs(bank) <= math.radians(60.0):
        assert n == pytest.approx(1.0 / math.cos(bank), rel=1e-12)
    assert 1.0 <= n <= 2.3
    assert held_load_factor(math.cos(bank), 1.2, SCALAR) <= 1.2


@quick
@given(shares, shares, st.floats(22.0, 65.0), st.floats(0.0, 1.0))
def test_any_held_controls_stay_finite(aileron, rudder, tas, power):
    """Eight seconds of anything: rates stay what an airplane can do, at any bank."""
    state, controls = list(STRAIGHT), held(aileron, rudder, tas, power)
    for _ in range(100):
        state = rk4_step(derivatives, state, controls, PULLED, None, 0.08, SCALAR)
    assert all(math.isfinite(value) for value in state)
    assert abs(state[0]) < 1.2 and abs(state[1]) < 3.0 and abs(state[2]) < 2.0


@quick
@given(shares, shares, st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_controls_stay_within_travel_and_rate(aileron, rudder, more, other):
    before = held(aileron, rudder)
    now = limited(before, held(more, other, tas=FAST), 0.02, B)
    assert max(abs(now.aileron), abs(now.rudder)) <= 1.0
    assert abs(now.aileron - aileron) <= 0.02 * B.aileron_rate + 1e-12
    assert abs(now.rudder - rudder) <= 0.02 * B.rudder_rate + 1e-12
    assert now.tas == FAST


def test_power_swings_the_nose_left_and_cruise_needs_no_pedal():
    slow = lateral_rates(STRAIGHT, held(power=1.0), PULLED, SCALAR)
    assert slow.yaw_rate < 0.0
    cruise = LateralControls(0.0, 0.0, 55.0, 1.0556, 0.75)
    rates = lateral_rates(STRAIGHT, cruise, PULLED, SCALAR)
    assert rates.yaw_rate == pytest.approx(0.0, abs=1e-12)
    assert rates.roll_rate == pytest.approx(0.0, abs=1e-12)
    idle = lateral_rates(STRAIGHT, held(power=0.0), PULLED, SCALAR)
    assert idle.yaw_rate > 0.0  # the fin offset is left over: a little left pedal in the glide


def test_a_seat_ahead_is_swung_with_the_nose_and_a_seat_above_with_the_roll():
    """Far from the centre the swing is all there is: right pedal or right wheel pushes right."""
    far = replace(B, pilot_ahead=20.0, pilot_above=0.0), replace(B, pilot_ahead=0, pilot_above=20.0)
    for one, controls in zip(far, (held(rudder=0.5), held(aileron=0.5)), strict=True):
        ball_deg, load = seen(one, STRAIGHT, controls, SCALAR)
        rates = lateral_rates(STRAIGHT, controls, one, SCALAR)
        swung = 20.0 * (rates.yaw_rate if controls.rudder else rates.roll_rate)
        assert load == pytest.approx(rates.side_load + swung / STANDARD_GRAVITY, rel=1e-12)
        assert load > 0.0 > ball_deg
