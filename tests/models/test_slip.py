"""The forward slip: what it costs, its limits, and the pilot who flies it."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models.error_tools import ToolPilot, tool_plan
from lessonkit.models.point_mass import derivatives
from lessonkit.models.power_off_approach import fly, fly_many, start_state
from lessonkit.models.slip import (
    FADE_HEIGHT,
    FULL_RUDDER_SIDESLIP_DEG,
    SLIP_DRAG_FACTOR,
    SlipPilot,
    SlipPlan,
    sideslip_of_rudder,
    slip_bank_deg,
    slip_drag_coefficient,
    steady_slip,
)
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt

from .approach_cases import TRAINER
from .common import quick

PLAN = SlipPlan(
    abeam_distance=m_from_ft(3000.0),
    abeam_height=m_from_ft(1200.0),
    base_turn_distance=m_from_ft(1500.0),
    entry_cas=mps_from_kt(85.0),
    downwind_cas=mps_from_kt(70.0),
    base_cas=mps_from_kt(68.0),
    final_cas=mps_from_kt(65.0),
    touchdown_cas=mps_from_kt(52.0),
    base_flap_deg=10.0,
    final_flap_deg=20.0,
)
SLIP = replace(
    PLAN, slip_rudder=1.0, slip_from_height=m_from_ft(400.0), slip_to_height=m_from_ft(100.0)
)
BREEZE = Wind(along=-mps_from_kt(8.0), across=mps_from_kt(4.0))
rudders = st.floats(-1.0, 1.0)


@pytest.mark.parametrize(("cas_kt", "glide"), [(65.0, 8.57), (70.0, 9.63), (75.0, 9.5)])
def test_full_rudder_sinks_as_much_faster_as_the_reference(cas_kt, glide):
    """24 to 38 % more sink with about 12 deg of sideslip at idle, 65 to 75 kt, flaps up.

    Bounds and glides (75 kt read between 70 and 85) from the comparison with a
    six-degree-of-freedom model of a light four-seat single, 2,400 lb, 174 ft2.
    """
    pressure_area = 0.5 * 1.225 * mps_from_kt(cas_kt) ** 2 * TRAINER.wing_area
    straight = TRAINER.weight / glide
    extra = slip_drag_coefficient(sideslip_of_rudder(1.0)) * pressure_area
    assert 0.24 <= extra / straight <= 0.38


def test_a_flatter_airplane_rises_by_more():
    """The trainer of Lowry's example glides 10.4 : 1; the same drag is more of its sink."""
    slip = steady_slip(TRAINER, mps_from_kt(70.0), 1.0)
    pressure_area = 0.5 * 1.225 * mps_from_kt(70.0) ** 2 * TRAINER.wing_area
    cl = TRAINER.weight / pressure_area
    cd = 0.037 + cl**2 / (math.pi * 0.72 * 7.38)
    assert slip.sink_rise == pytest.approx(slip_drag_coefficient(12.0) / cd, rel=0.02)
    assert 0.24 <= slip.sink_rise <= 0.38


def test_the_slip_drag_is_what_that_rise_asks_for():
    """By hand: at 70 kt the same model glides 9.63 : 1, and 31 % (the middle) of its drag is
    0.31 * 10,676 N / 9.63 = 344 N on 12,840 N of dynamic pressure times area: dCD 0.0268.
    """
    weight, pressure_area = 10676.0, 0.5 * 1.225 * 36.01**2 * 16.165
    asked = 0.31 * weight / 9.63 / pressure_area
    assert slip_drag_coefficient(FULL_RUDDER_SIDESLIP_DEG) == pytest.approx(asked, rel=0.06)


@given(rudder=rudders, cas_kt=st.floats(55.0, 90.0))
@quick
def test_left_and_right_cost_the_same_and_bank_opposite(rudder, cas_kt):
    left, right = (steady_slip(TRAINER, mps_from_kt(cas_kt), way * rudder) for way in (1, -1))
    assert left.sink_rate == pytest.approx(right.sink_rate, rel=1e-12)
    assert left.bank_deg == pytest.approx(-right.bank_deg, abs=1e-12)
    assert left.sink_rise >= 0.0


@given(share=st.floats(0.05, 0.5))
@quick
def test_twice_the_sideslip_is_four_times_the_drag(share):
    one, two = (slip_drag_coefficient(sideslip_of_rudder(x)) for x in (share, 2.0 * share))
    assert two / one == pytest.approx(4.0, rel=1e-12)


def test_no_rudder_is_the_straight_glide():
    slip = steady_slip(TRAINER, mps_from_kt(70.0), 0.0)
    assert slip.sink_rise == 0.0 and slip.bank_deg == 0.0
    assert slip.sink_rate == slip.straight_sink_rate


def test_the_same_sideslip_costs_more_at_higher_speed():
    """Drag and side force grow with dynamic pressure: steeper path and more bank."""
    slow, fast = (steady_slip(TRAINER, mps_from_kt(kt), 1.0) for kt in (60.0, 80.0))
    assert fast.sink_rise > slow.sink_rise
    ratio = math.sin(math.radians(fast.bank_deg)) / math.sin(math.radians(slow.bank_deg))
    assert ratio == pytest.approx((80.0 / 60.0) ** 2, rel=1e-9)
    extra = [one.sink_rate - one.straight_sink_rate for one in (slow, fast)]
    # Extra sink = extra drag times speed over weight: the cube of the speed.
    assert extra[1] / extra[0] == pytest.approx((80.0 / 60.0) ** 3, rel=0.02)


def test_bank_balances_the_side_force():
    """W sin(bank) = q S CYbeta beta, by hand with CYbeta 0.46, 12 deg, 12,840 N on 10,676 N."""
    force = 12840.0 * 0.46 * math.radians(12.0)
    bank_deg = slip_bank_deg(12.0, 12840.0, 10676.0)
    assert 10676.0 * math.sin(math.radians(bank_deg)) == pytest.approx(force, rel=1e-12)
    assert 5.0 < bank_deg < 9.0


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: sideslip_of_rudder(1.01), "100 %"),
        (lambda: sideslip_of_rudder(np.array([0.0, -1.2])), "100 %"),
        (lambda: slip_bank_deg(12.0, 200000.0, 10000.0), "slow down"),
        (lambda: steady_slip(TRAINER, 36.0, 0.5, flap_deg=17.0), "flap setting"),
    ],
)
def test_what_cannot_be_is_one_sentence(call, part):
    with pytest.raises(ValueError, match=part) as raised:
        call()
    assert str(raised.value).endswith(".") and str(raised.value).count(". ") == 0


@pytest.fixture(scope="module")
def flown():
    """Without the slip, with it to either side, and with half the rudder."""
    plans = {
        "none": PLAN,
        "full": SLIP,
        "other": replace(SLIP, slip_rudder=-1.0),
        "half": replace(SLIP, slip_rudder=0.5),
        "zero": replace(SLIP, slip_rudder=0.0),
    }
    return {key: fly(plan, TRAINER, BREEZE, pilot=SlipPilot) for key, plan in plans.items()}


def test_a_slip_shortens_and_more_is_more(flown):
    x = {key: approach.touchdown.x for key, approach in flown.items()}
    assert x["full"] < x["half"] < x["none"]
    assert x["full"] == x["other"] and x["zero"] == x["none"]
    # A quarter of the drag, and nearly the same height over which it acts.
    share = (x["half"] - x["none"]) / (x["full"] - x["none"])
    assert share == pytest.approx(0.27, abs=0.04)


def test_what_a_slip_is_worth_by_hand(flown):
    """From 400 to 100 ft, between the two fades, at the trainer's own two glides.

    The height in the slip costs h/tan of the steeper path instead of h/tan of the glide.
    """
    slip = steady_slip(TRAINER, PLAN.final_cas, 1.0, 20.0)
    height = m_from_ft(300.0) - FADE_HEIGHT  # what both fades leave, taken at half
    tas = PLAN.final_cas
    ways = [
        height / math.tan(math.asin(sink / tas))
        for sink in (slip.straight_sink_rate, slip.sink_rate)
    ]
    h = flown["none"].history
    wind_share = (
        1.0 - 8.0 * 1.3 / 65.0
    )  # the headwind at that height is about 1.3 times the 10 m one
    expected = (ways[1] - ways[0]) * wind_share
    moved = flown["full"].touchdown.x - flown["none"].touchdown.x
    assert h.height[0] > m_from_ft(1000.0)
    assert moved == pytest.approx(expected, rel=0.08)


def test_the_speed_is_held_and_the_slip_is_out_in_time(flown):
    """The steeper path is there between the heights and gone below."""
    with_slip, without = flown["full"].history, flown["none"].history

    def path(history, height_ft):
        height = m_from_ft(height_ft)
        return np.interp(height, history.height[::-1], history.path_angle_deg[::-1])

    def cas(history, height_ft):
        return np.interp(m_from_ft(height_ft), history.height[::-1], history.true_airspeed[::-1])

    assert path(with_slip, 200.0) < path(without, 200.0) - 1.2
    assert path(with_slip, 60.0) == pytest.approx(path(without, 60.0), abs=0.3)
    assert cas(with_slip, 200.0) == pytest.approx(cas(without, 200.0), abs=0.3)
    down = [approach.touchdown for approach in (flown["full"], flown["none"])]
    assert down[0].sink_rate == pytest.approx(down[1].sink_rate, abs=0.02)
    assert down[0].calibrated_airspeed == pytest.approx(down[1].calibrated_airspeed, abs=0.1)


def exact_touchdown_of(plan, pilot_class, wind):
    """Touchdown by scipy's eighth-order method at a tolerance of 1e-10."""
    from scipy.integrate import solve_ivp

    from lessonkit.models.numeric import SCALAR

    pilot = pilot_class(plan, TRAINER, SCALAR)

    def rates(_, state):
        return derivatives(state.tolist(), pilot, TRAINER, wind, SCALAR)

    def height(_, state):
        return state[2]

    height.terminal, height.direction = True, -1
    start = start_state(plan, wind, SCALAR)
    solved = solve_ivp(
        rates, (0.0, 600.0), start, "DOP853", rtol=1e-10, atol=1e-10, max_step=0.5, events=height
    )
    return float(solved.y_events[0][0][0])


def test_a_slip_converges_to_an_eighth_order_solution(flown):
    exact = exact_touchdown_of(SLIP, SlipPilot, BREEZE)
    coarse = ft_from_m(flown["full"].touchdown.x - exact)
    fine = ft_from_m(fly(SLIP, TRAINER, BREEZE, 0.125, SlipPilot).touchdown.x - exact)
    assert abs(coarse) < 0.5 and abs(fine) < 0.1


def test_many_slips_fly_as_one_does(flown):
    rudder = np.array([0.0, 0.5, 1.0])
    many = fly_many(replace(SLIP, slip_rudder=rudder), TRAINER, BREEZE, pilot=SlipPilot)
    one = [flown[key].touchdown.x for key in ("none", "half", "full")]
    np.testing.assert_allclose(many.x, one, atol=0.02)


def test_a_plan_without_tools_is_the_plan():
    plain = fly(PLAN, TRAINER, BREEZE)
    tools = fly(tool_plan(PLAN), TRAINER, BREEZE, pilot=ToolPilot)
    assert tools.touchdown.x == plain.touchdown.x
    assert SLIP_DRAG_FACTOR * math.radians(12.0) ** 2 == pytest.approx(slip_drag_coefficient(12.0))
