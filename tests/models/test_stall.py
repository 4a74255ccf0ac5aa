import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lessonkit.models import load_factor, stall
from lessonkit.units import STANDARD_GRAVITY

from .common import TRAINER, TRAINER_CL_MAX, banks, quick


def test_wings_level_is_one_g():
    assert load_factor.load_factor_in_level_turn(0.0) == 1.0
    assert stall.stall_speed_in_level_turn(25.0, 0.0) == 25.0
    assert stall.stall_speed_increase_in_level_turn(0.0) == 0.0


@quick
@given(banks)
def test_side_does_not_matter_and_lift_carries_the_weight(bank_deg):
    n = load_factor.load_factor_in_level_turn(bank_deg)
    assert n == load_factor.load_factor_in_level_turn(-bank_deg)
    assert n * np.cos(np.radians(bank_deg)) == pytest.approx(1.0, rel=1e-12)
    assert load_factor.bank_for_load_factor_deg(n) == pytest.approx(abs(bank_deg), abs=1e-5)


@quick
@given(st.floats(10.0, 45.0), st.floats(0.2, 9.0))
def test_the_wing_carries_the_pulled_load_at_the_stall(stall_speed, n):
    """Lift at the stall speed under load, with CLmax from the 1-g stall, is n times the weight."""
    mass, area = TRAINER["mass"], TRAINER["wing_area"]
    cl_max = stall.maximum_lift_coefficient(stall_speed, mass, area)
    speed = stall.stall_speed_at_load_factor(stall_speed, n)
    lift = 0.5 * 1.225 * speed**2 * area * cl_max
    assert lift == pytest.approx(n * mass * STANDARD_GRAVITY, rel=1e-12)
    assert load_factor.load_factor_at_stall(speed, stall_speed) == pytest.approx(n, rel=1e-12)


@quick
@given(st.floats(15.0, 40.0))
def test_coefficient_and_speed_turn_back(speed):
    mass, area = TRAINER["mass"], TRAINER["wing_area"] * 3.0
    cl_max = stall.maximum_lift_coefficient(speed, mass, area)
    if 0.5 <= cl_max <= 4.0:
        assert stall.stall_eas(mass, area, cl_max, 1.0) == pytest.approx(speed, rel=1e-12)


def test_four_times_the_weight_doubles_the_stall_speed():
    one = stall.stall_eas(500.0, 16.0, 1.5, 1.0)
    assert stall.stall_eas(2000.0, 16.0, 1.5, 1.0) == pytest.approx(2.0 * one, rel=1e-12)
    assert stall.stall_speed_at_weight(one, 500.0, 2000.0) == pytest.approx(2.0 * one, rel=1e-12)
    assert stall.stall_eas(500.0, 16.0, 1.5, 4.0) == pytest.approx(2.0 * one, rel=1e-12)


@pytest.mark.parametrize(("bank_deg", "n"), [(10, 1.015), (30, 1.154), (60, 2.000), (70, 2.923)])
def test_printed_load_factors(bank_deg, n):
    """List read in public copies of the handbook, cut (not rounded) after three decimals."""
    assert n <= load_factor.load_factor_in_level_turn(bank_deg) + 1e-9 < n + 0.0011


def test_a_steady_glide_gives_no_relief_worth_the_name():
    gliding = load_factor.load_factor_in_gliding_turn(45.0, -6.0)
    assert gliding == pytest.approx(1.406, abs=5e-4)
    assert load_factor.load_factor_in_gliding_turn(45.0, 6.0) == gliding
    # a six-degree-of-freedom reference model in a 60-degree gliding turn: 1.88, path 20 deg down
    assert load_factor.load_factor_in_gliding_turn(60.0, -20.0) == pytest.approx(1.88, abs=5e-3)


def test_trainer_stall_speed_is_in_the_range_of_its_class():
    speed = stall.stall_eas(TRAINER["mass"], TRAINER["wing_area"], TRAINER_CL_MAX, 1.0)
    assert speed == pytest.approx(26.46, abs=0.05)  # 51.4 kt by hand: sqrt(2W / (rho S CL))


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: load_factor.load_factor_in_level_turn(90.0), "bank angle must be above -90"),
        (lambda: load_factor.bank_for_load_factor_deg(0.9), "load factor of a level turn"),
        (lambda: stall.stall_speed_at_load_factor(25.0, 0.0), "load factor must be above 0 g"),
        (lambda: stall.stall_speed_at_weight(25.0, -1.0, 900.0), "weight must be above 0 lb"),
    ],
)
def test_refuses_with_a_sentence(call, sentence):
    with pytest.raises(ValueError, match=sentence):
        call()
