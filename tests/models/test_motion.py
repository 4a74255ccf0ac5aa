"""The stepper and the point mass: known solutions, symmetry, balance, wind."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.models.glide_path import glide_path_angle_deg
from lessonkit.models.motion import rk4_step
from lessonkit.models.numeric import ARRAY, SCALAR, smooth_step
from lessonkit.models.point_mass import Controls, State, derivatives, drag_force, flow_at
from lessonkit.models.turning import radius_of_turn
from lessonkit.models.wind_profile import Wind, wind_growth
from lessonkit.units import STANDARD_GRAVITY

from .approach_cases import TRAINER

HELD = Controls(load_factor=1.02, bank_rate=0.05, flap_deg=10.0, thrust=0.0)
START = [0.0, 0.0, 300.0, 36.0, -0.05, 1.0, 0.1, 0.0]


def fly(state, controls, wind, seconds, step=0.1, functions=SCALAR):
    for _ in range(round(seconds / step)):
        state = rk4_step(derivatives, state, controls, TRAINER, wind, step, functions)
    return state


def test_the_stepper_is_of_fourth_order():
    """x' = x cos t has the solution exp(sin t); halving the step divides the error by 16."""

    def swing(state, controls, parameters, wind, functions):
        return [state[0] * math.cos(state[1]), 1.0]

    def error(step):
        state = [1.0, 0.0]
        for _ in range(round(2.0 / step)):
            state = rk4_step(swing, state, None, None, None, step, SCALAR)
        return abs(state[0] - math.exp(math.sin(2.0)))

    assert error(0.1) / error(0.05) == pytest.approx(16.0, rel=0.15)


def test_floats_and_arrays_take_the_same_path():
    wind = Wind(-6.0, 3.0)
    one = fly(START, HELD, wind, 5.0)
    many = fly(np.repeat(np.array([START]).T, 3, axis=1), HELD, wind, 5.0, functions=ARRAY)
    np.testing.assert_allclose(many, np.repeat(np.array([one]).T, 3, axis=1), rtol=1e-12)


def test_each_case_may_have_its_own_step():
    wind = Wind()
    state = np.repeat(np.array([START]).T, 2, axis=1)
    after = rk4_step(derivatives, state, HELD, TRAINER, wind, np.array([0.1, 0.0]))
    np.testing.assert_array_equal(after[:, 1], START)
    np.testing.assert_allclose(after[:, 0], fly(START, HELD, wind, 0.1), rtol=1e-13)


def test_left_mirrors_right():
    right = fly(START, HELD, Wind(-6.0, 3.0), 8.0)
    mirrored = [v if i not in (1, 5, 6) else -v for i, v in enumerate(START)]
    left = fly(mirrored, HELD._replace(bank_rate=-0.05), Wind(-6.0, -3.0), 8.0)
    for row, (a, b) in enumerate(zip(right, left, strict=True)):
        assert b == pytest.approx(-a if row in (1, 5, 6) else a, rel=1e-10)


def test_a_uniform_wind_only_carries_the_path_along():
    calm = fly(START, HELD, Wind(), 10.0)
    windy = fly(START, HELD, Wind(-7.0, 4.0, exponent=0.0), 10.0)
    assert windy[0] == pytest.approx(calm[0] - 70.0, abs=1e-8)
    assert windy[1] == pytest.approx(calm[1] + 40.0, abs=1e-8)
    assert windy[2:] == pytest.approx(calm[2:], rel=1e-12)


def test_steady_glide_has_the_angle_of_the_closed_form():
    """At the angle of the force balance nothing but the place changes (glide_path.py)."""
    density = 1.225 * (1 - 0.0065 * 300.0 / 288.15) ** 4.25588
    angle = glide_path_angle_deg(
        TRAINER.mass, TRAINER.wing_area, TRAINER.aspect_ratio, 0.037, 0.72, density, 37.0, 0.0
    )
    gamma = math.radians(float(angle))
    state = [0.0, 0.0, 300.0, 37.0, gamma, 0.0, 0.0, 0.0]
    rates = derivatives(state, Controls(math.cos(gamma), 0.0, 0.0, 0.0), TRAINER, Wind(), SCALAR)
    assert gamma < 0.0
    assert rates[3] == pytest.approx(0.0, abs=1e-4)
    assert rates[4] == pytest.approx(0.0, abs=1e-12)


def test_a_level_turn_has_the_radius_of_the_closed_form():
    bank = math.radians(30.0)
    state = State(0.0, 0.0, 300.0, 40.0, 0.0, 0.0, bank, 0.0)
    drag = drag_force(1 / math.cos(bank), flow_at(state, TRAINER, Wind(), SCALAR), TRAINER)
    rates = derivatives(
        list(state), Controls(1 / math.cos(bank), 0.0, 0.0, drag), TRAINER, Wind(), SCALAR
    )
    assert rates[3] == pytest.approx(0.0, abs=1e-12)
    assert rates[4] == pytest.approx(0.0, abs=1e-12)
    assert 40.0 / rates[5] == pytest.approx(float(radius_of_turn(40.0, 30.0)), rel=1e-9)


def test_energy_falls_by_the_work_of_drag():
    """d(h + V^2/2g)/dt = -D V / W in calm air: an identity of the equations of motion."""
    state = State(0.0, 0.0, 200.0, 38.0, -0.1, 0.3, 0.4, 20.0)
    rates = derivatives(list(state), HELD, TRAINER, Wind(), SCALAR)
    drag = drag_force(HELD.load_factor, flow_at(state, TRAINER, Wind(), SCALAR), TRAINER)
    change = rates[2] + state.true_airspeed * rates[3] / STANDARD_GRAVITY
    assert change == pytest.approx(-drag * 38.0 / TRAINER.weight, rel=1e-12)


def test_coming_down_into_a_dying_headwind_costs_airspeed():
    state = [0.0, 0.0, 20.0, 34.0, -0.12, 0.0, 0.0, 30.0]
    held = Controls(1.0, 0.0, 30.0, 0.0)
    calm = derivatives(state, held, TRAINER, Wind(), SCALAR)[3]
    assert derivatives(state, held, TRAINER, Wind(along=-8.0), SCALAR)[3] < calm - 0.1
    assert derivatives(state, held, TRAINER, Wind(along=8.0), SCALAR)[3] > calm + 0.1


@given(height=st.floats(0.0, 500.0), exponent=st.floats(0.0, 0.4))
@settings(max_examples=30, deadline=None)
def test_the_slope_of_the_wind_is_its_derivative(height, exponent):
    factor, slope = wind_growth(height, exponent)
    nearby = wind_growth(height + 1e-4, exponent)[0]
    assert (nearby - factor) / 1e-4 == pytest.approx(float(slope), rel=1e-3, abs=1e-9)
    assert wind_growth(8.0, exponent)[0] == 1.0


def test_drag_near_the_ground_is_less():
    state = State(0.0, 0.0, 0.0, 30.0, 0.0, 0.0, 0.0, 30.0)
    low = drag_force(1.0, flow_at(state, TRAINER, Wind()), TRAINER)
    high = drag_force(1.0, flow_at(state._replace(height=30.0), TRAINER, Wind()), TRAINER)
    assert 0.75 < low / high < 0.9


def test_the_smooth_step_has_no_corner():
    assert smooth_step(-1.0, 0.0, 2.0) == 0.0 and smooth_step(3.0, 0.0, 2.0) == 1.0
    x = np.linspace(-0.5, 2.5, 3001)
    bend = np.gradient(np.gradient(smooth_step(x, 0.0, 2.0), x), x)
    assert np.abs(np.diff(bend)).max() < 0.02
    assert smooth_step(0.7, 0.0, 2.0, SCALAR) == pytest.approx(float(smooth_step(0.7, 0.0, 2.0)))
