import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from lessonkit.models import glide, glide_path, level_flight, minimum_sink
from lessonkit.units import STANDARD_GRAVITY, hp_from_w, kt_from_mps, mps_from_kt

from .common import SEA_LEVEL, TRAINER, airplanes, quick, sink_by_force_balance, speeds

TRAINER_SL = {**TRAINER, "density": SEA_LEVEL}


def polar(airplane):
    return {name: airplane[name] for name in ("aspect_ratio", "cd0", "oswald")}


@quick
@given(airplanes)
def test_best_glide_is_where_the_path_is_flattest(airplane):
    """Independent: minimise the descent angle of the iterated force balance with scipy."""
    found = minimize_scalar(
        lambda v: sink_by_force_balance(airplane, v, 0.0) / v,
        bounds=(12.0, 140.0),
        method="bounded",
        options={"xatol": 1e-7},
    )
    assert glide.best_glide_tas(**airplane) == pytest.approx(found.x, rel=1e-4)
    angle_deg = -np.degrees(np.arcsin(found.fun))
    assert glide.best_glide_path_angle_deg(**polar(airplane)) == pytest.approx(angle_deg, rel=1e-8)


@quick
@given(airplanes, speeds, st.floats(-60.0, 60.0))
def test_closed_form_of_the_path_equals_the_force_balance(airplane, tas, bank_deg):
    sink = sink_by_force_balance(airplane, tas, bank_deg)
    assume(sink < 0.8 * tas)
    ours = glide_path.sink_rate(**airplane, tas=tas, bank_deg=bank_deg)
    assert ours == pytest.approx(sink, rel=1e-9)
    assert ours == glide_path.sink_rate(**airplane, tas=tas, bank_deg=-bank_deg)


@quick
@given(airplanes)
def test_minimum_sink_within_its_stated_error(airplane):
    found = minimize_scalar(
        lambda v: sink_by_force_balance(airplane, v, 0.0),
        bounds=(8.0, 120.0),
        method="bounded",
        options={"xatol": 1e-7},
    )
    ratio = glide.maximum_lift_drag_ratio(**polar(airplane))
    # shallow-glide figures read high by about the square of the descent angle at best glide
    tas = minimum_sink.minimum_sink_tas(**airplane)
    assert found.x <= tas <= found.x * (1.0 + 1.25 / ratio**2)
    rate = minimum_sink.minimum_sink_rate(**airplane)
    assert found.fun <= rate <= found.fun * (1.0 + 1.15 / ratio**2)
    # the exact path at that speed sinks hardly faster than the exact least
    exact = glide_path.sink_rate(**airplane, tas=tas, bank_deg=0.0)
    assert found.fun * (1.0 - 1e-9) <= exact <= found.fun * 1.003


@quick
@given(airplanes)
def test_textbook_identities(airplane):
    best = glide.lift_coefficient_at_best_glide(**polar(airplane))
    ratio = glide.maximum_lift_drag_ratio(**polar(airplane))
    weight = airplane["mass"] * STANDARD_GRAVITY
    v_level = np.sqrt(2.0 * weight / (airplane["density"] * airplane["wing_area"] * best))
    assert minimum_sink.minimum_sink_tas(**airplane) / v_level == pytest.approx(3.0**-0.25)
    drag = level_flight.drag_in_level_flight(**airplane, tas=v_level)
    assert drag == pytest.approx(weight / ratio, rel=1e-12)
    for factor in (0.97, 1.03):
        assert level_flight.drag_in_level_flight(**airplane, tas=v_level * factor) > drag
    power = minimum_sink.minimum_power_required(**airplane)
    slow = minimum_sink.minimum_sink_tas(**airplane)
    for factor in (0.97, 1.03):
        assert level_flight.power_required(**airplane, tas=slow * factor) > power
    assert level_flight.power_required(**airplane, tas=v_level) > power  # two curves, two minima
    # the glide's force balance: drag at best glide over lift is 1 / ratio
    gliding = glide.drag_at_best_glide(
        airplane["mass"], airplane["aspect_ratio"], airplane["cd0"], airplane["oswald"]
    )
    angle = np.radians(glide.best_glide_path_angle_deg(**polar(airplane)))
    assert gliding / (weight * np.cos(angle)) == pytest.approx(1.0 / ratio, rel=1e-12)


@quick
@given(airplanes, speeds)
def test_drag_is_weight_times_drag_over_lift(airplane, tas):
    cl = level_flight.lift_coefficient_in_level_flight(
        airplane["mass"], airplane["wing_area"], airplane["density"], tas
    )
    assume(cl < 4.0)
    cd = level_flight.drag_coefficient_in_level_flight(**airplane, tas=tas)
    drag = level_flight.drag_in_level_flight(**airplane, tas=tas)
    assert drag == pytest.approx(airplane["mass"] * STANDARD_GRAVITY * cd / cl, rel=1e-12)


def test_four_times_the_weight_doubles_the_speed_and_keeps_the_angle():
    light = {**TRAINER_SL, "mass": 500.0}
    heavy = {**TRAINER_SL, "mass": 2000.0}
    assert glide.best_glide_tas(**heavy) == pytest.approx(2 * glide.best_glide_tas(**light))
    angles = [
        glide_path.glide_path_angle_deg(**a, tas=glide.best_glide_tas(**a), bank_deg=0.0)
        for a in (light, heavy)
    ]
    assert angles[0] == pytest.approx(angles[1], rel=1e-12)


def test_path_is_flattest_at_best_glide_and_points_down():
    best = float(glide.best_glide_tas(**TRAINER_SL))
    speeds_around = best * np.array([0.8, 0.9, 1.0, 1.1, 1.3])
    angles = glide_path.glide_path_angle_deg(**TRAINER_SL, tas=speeds_around, bank_deg=0.0)
    assert np.argmax(angles) == 2
    assert np.all(angles < 0.0)
    ratio = glide.maximum_lift_drag_ratio(**polar(TRAINER_SL))
    assert np.tan(np.radians(-angles[2])) == pytest.approx(1.0 / ratio, rel=1e-9)


@pytest.mark.parametrize(("knots", "horsepower"), [(72, 49.9), (55, 43.8), (45, 46.0)])
def test_power_curve_of_the_trainer(knots, horsepower):
    """Reference values computed outside the kit from the parabolic polar (derived)."""
    power = level_flight.power_required(**TRAINER_SL, tas=mps_from_kt(knots))
    assert hp_from_w(power) == pytest.approx(horsepower, abs=0.1)


def test_propeller_state_changes_the_ratio_by_the_factor_given():
    idle = polar(TRAINER_SL)
    stopped = {**idle, "cd0": glide.zero_lift_drag_for_propeller(idle["cd0"], 10.4 / 9.6)}
    gain = glide.maximum_lift_drag_ratio(**stopped) / glide.maximum_lift_drag_ratio(**idle)
    assert gain == pytest.approx(10.4 / 9.6, rel=1e-12)
    assert stopped["cd0"] < idle["cd0"]


def test_refuses_a_speed_at_which_nothing_glides():
    with pytest.raises(ValueError, match="drag at 194.4 kt and 0 degrees .* exceeds"):
        glide_path.sink_rate(**{**TRAINER_SL, "cd0": 0.2}, tas=100.0, bank_deg=0.0)
    with pytest.raises(ValueError, match="zero-lift drag coefficient must be at least 0.005"):
        glide.best_glide_tas(**{**TRAINER_SL, "cd0": 0.0})
    assert kt_from_mps(100.0) == pytest.approx(194.4, abs=0.05)
