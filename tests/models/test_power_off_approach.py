"""The power-off approach: accuracy, one against many, what each change does."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.flights.from_history import recording_from_history
from lessonkit.models.approach_review import key_points, least_stall_margin, touches_in_line
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import ARRAY, SCALAR
from lessonkit.models.point_mass import State, derivatives, flow_at
from lessonkit.models.power_off_approach import DRAFT_STEP, fly, fly_many, start_state
from lessonkit.models.power_off_pilot import (
    ApproachPlan,
    PowerOffPilot,
    centreline_track,
    touchdown_speed,
)
from lessonkit.models.stall import stall_eas
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt

from .approach_cases import TRAINER, exact_touchdown, one_case, random_cases

PLAN = ApproachPlan(
    abeam_distance=m_from_ft(3000.0),
    abeam_height=m_from_ft(1000.0),
    base_turn_distance=m_from_ft(1500.0),
    entry_cas=mps_from_kt(85.0),
    downwind_cas=mps_from_kt(70.0),
    base_cas=mps_from_kt(68.0),
    final_cas=mps_from_kt(62.0),
    touchdown_cas=mps_from_kt(52.0),
    base_flap_deg=10.0,
    final_flap_deg=30.0,
)
BREEZE = Wind(along=-mps_from_kt(8.0), across=mps_from_kt(4.0))


@pytest.mark.parametrize("index", range(5))
def test_touchdown_agrees_with_an_eighth_order_solution(index):
    """Within 0.5 ft at a tolerance of 1e-10; tests/bench/run.py does the same on 50 cases."""
    cases = random_cases(50)
    plan, airplane, wind = one_case(cases, index)
    exact = exact_touchdown(plan, airplane, wind)
    assert ft_from_m(fly(plan, airplane, wind).touchdown.x - exact) == pytest.approx(0, abs=0.5)


def test_one_and_many_fly_the_same():
    cases = random_cases(12, seed=3)
    many = fly_many(*cases)
    for index in (0, 5, 11):
        one = fly(*one_case(cases, index)).touchdown
        # Many cases fly in single precision, one in double: 0.03 ft of touchdown between them.
        assert many.x[index] == pytest.approx(one.x, abs=0.01)
        assert many.time[index] == pytest.approx(one.time, abs=1e-3)
        assert many.sink_rate[index] == pytest.approx(one.sink_rate, abs=1e-4)
    assert np.isfinite(many.x).all()


def test_the_draft_while_dragging_is_close():
    cases = random_cases(12)
    off = ft_from_m(fly_many(*cases, coarse_step=DRAFT_STEP).x - fly_many(*cases).x)
    assert np.abs(off).max() < 15.0


def test_right_traffic_mirrors_left():
    left = fly(PLAN, TRAINER, BREEZE)
    right = fly(replace(PLAN, side=-1.0), TRAINER, replace(BREEZE, across=-BREEZE.across))
    np.testing.assert_allclose(right.history.y, -left.history.y, atol=1e-6)
    np.testing.assert_allclose(right.history.x, left.history.x, atol=1e-6)


def test_it_flies_the_legs_of_a_left_hand_pattern():
    points = {p.key: p for p in key_points(fly(PLAN, TRAINER, BREEZE))}
    assert list(points) == [
        "abeam",
        "base_turn",
        "base",
        "final_turn",
        "final",
        "round_out",
        "touchdown",
    ]
    times = [p.time for p in points.values()]
    heights = [p.height for p in points.values()]
    assert times == sorted(times) and heights == sorted(heights, reverse=True)
    assert points["abeam"].y == pytest.approx(-m_from_ft(3000.0))
    assert points["base_turn"].x == pytest.approx(-m_from_ft(1500.0), abs=80.0)
    assert abs(points["touchdown"].y) < 1.0


def test_the_same_controls_give_the_same_path_in_every_use():
    """Controls held 50 times a second, as a drill holds them, fly the bench's path; the same
    list of controls flies it again as a batch, and the recording of it holds that path.
    """
    rate, seconds = 50.0, 40.0
    pilot = PowerOffPilot(PLAN, TRAINER, SCALAR)
    drill, held_list, track = start_state(PLAN, BREEZE, SCALAR), [], []
    for _ in range(round(rate * seconds)):
        state = State(*drill)
        held = pilot(state, flow_at(state, TRAINER, BREEZE, SCALAR))
        held_list.append(held)
        track.append(drill)
        drill = rk4_step(derivatives, drill, held, TRAINER, BREEZE, 1.0 / rate, SCALAR)
    batch = np.repeat(np.array([track[0]]).T, 2, axis=1)
    for held in held_list:
        batch = rk4_step(derivatives, batch, held, TRAINER, BREEZE, 1.0 / rate, ARRAY)
    np.testing.assert_allclose(batch[:, 1], drill, rtol=1e-9)
    history = fly(PLAN, TRAINER, BREEZE).history
    recording = recording_from_history(history, 47.0, 8.0, 270.0, 0.0)
    for row, column in ((0, history.x), (1, history.y), (2, history.height)):
        assert drill[row] == pytest.approx(np.interp(seconds, history.time, column), abs=1.5)
    recorded = np.interp(seconds, recording["time_s"], recording["alt_m"])
    assert recorded == pytest.approx(drill[2], abs=1.5)


def test_power_closed_late_is_height_held_longer():
    late = fly(replace(PLAN, power_delay=5.0), TRAINER, Wind())
    assert late.history.height[0] == PLAN.abeam_height
    # The turn lies where it lay, so five seconds less of glide are left to spend: higher there.
    assert late.touchdown.x > fly(PLAN, TRAINER, Wind()).touchdown.x + 50.0


@given(
    later=st.floats(30.0, 200.0),
    stronger=st.floats(1.0, 4.0),
    higher=st.floats(5.0, 60.0),
    farther=st.floats(20.0, 150.0),
)
@settings(max_examples=6, deadline=None)
def test_what_shortens_and_what_lengthens(later, stronger, higher, farther):
    base = fly(PLAN, TRAINER, BREEZE, DRAFT_STEP).touchdown.x

    def x(wind=BREEZE, **changes):
        return fly(replace(PLAN, **changes), TRAINER, wind, DRAFT_STEP).touchdown.x

    assert x(base_turn_distance=PLAN.base_turn_distance + later) < base
    assert x(abeam_distance=PLAN.abeam_distance + farther) < base
    assert x(abeam_height=PLAN.abeam_height + higher) > base
    assert x(replace(BREEZE, along=BREEZE.along - stronger)) < base
    assert x(final_flap_deg=10.0) > base


def test_speed_held_and_sink_at_touchdown_are_those_of_the_plan():
    approach = fly(PLAN, TRAINER, Wind(exponent=0.0))
    h = approach.history
    middle = (h.height > 30.0) & (h.height < 60.0)
    assert np.allclose(h.true_airspeed[middle], PLAN.final_cas, atol=0.4)
    down = approach.touchdown
    assert 0.3 < down.sink_rate < 0.9
    assert PLAN.touchdown_cas - 2.0 < down.calibrated_airspeed < PLAN.final_cas


def test_margin_is_airspeed_less_the_stall_speed_of_stall_py():
    """Sample by sample with V_stall = sqrt(2 n W / (rho S CLmax)), the model of its own module."""
    approach = fly(PLAN, TRAINER, BREEZE)
    h = approach.history
    cl_max = np.interp(h.flap_deg, TRAINER.flap_deg, TRAINER.cl_max)
    stall = stall_eas(TRAINER.mass, TRAINER.wing_area, cl_max, np.maximum(h.load_factor, 0.0))
    cas = h.true_airspeed * np.sqrt(BREEZE.density(h.height) / 1.225)
    flown = (cas - stall)[h.height > PLAN.round_out_height]
    margin, index = least_stall_margin(approach, TRAINER, BREEZE)
    assert margin == pytest.approx(flown.min(), rel=1e-9)
    assert (cas - stall)[index] == pytest.approx(margin, rel=1e-9)


def test_a_late_base_turn_begins_farther_out_and_lands_shorter():
    late = fly(replace(PLAN, base_turn_delay=2.0), TRAINER, Wind())
    timely = fly(PLAN, TRAINER, Wind())
    begun = [next(p.x for p in key_points(one) if p.key == "base_turn") for one in (late, timely)]
    # Two seconds at about 37 m/s; the history has a point each quarter of a second.
    assert begun[0] - begun[1] == pytest.approx(-74.0, abs=15.0)
    assert late.touchdown.x < timely.touchdown.x


def test_a_late_turn_to_final_overshoots_the_centreline():
    def beyond(delay):
        return fly(replace(PLAN, final_turn_delay=delay), TRAINER, Wind()).history.y.max()

    assert beyond(3.0) > beyond(0.0) + 20.0
    assert beyond(-1.0) < 5.0


def test_margin_shrinks_with_bank_and_weight():
    def margin(plan=PLAN, airplane=TRAINER):
        return least_stall_margin(fly(plan, airplane, Wind()), airplane, Wind())[0]

    assert margin(replace(PLAN, bank_deg=45.0)) < margin() - 1.0
    light = replace(TRAINER, mass=0.8 * TRAINER.mass)
    assert margin(airplane=light) > margin() + 1.0


def test_ground_in_the_turn_is_told():
    low = fly(replace(PLAN, abeam_height=m_from_ft(350.0)), TRAINER, Wind())
    assert not touches_in_line(low.touchdown, 9.0)
    assert touches_in_line(fly(PLAN, TRAINER, Wind()).touchdown, 9.0)


def test_a_wind_faster_than_the_airplane_is_refused_in_one_sentence():
    with pytest.raises(ValueError, match="lower the wind"):
        fly(PLAN, TRAINER, Wind(across=60.0))


def test_the_arc_onto_the_centreline():
    """Off an arc of radius R, 1 - cos(angle) = offset/R; odd, and near 90 deg far away."""
    assert centreline_track(0.0, 300.0) == 0.0
    assert centreline_track(-80.0, 300.0) == -centreline_track(80.0, 300.0)
    assert np.degrees(centreline_track(150.0, 300.0)) == pytest.approx(60.0, abs=2.5)
    assert np.degrees(centreline_track(5000.0, 300.0)) == pytest.approx(90.0, abs=0.5)


def test_touchdown_speed_without_a_certain_stall_speed_follows_the_final():
    assert touchdown_speed(None, 30.0) == pytest.approx(26.4)
    assert touchdown_speed(24.0, 99.0) == pytest.approx(27.6)
