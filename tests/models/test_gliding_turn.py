import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from lessonkit.models import glide, gliding_turn, optimum_bank, stall
from lessonkit.units import STANDARD_GRAVITY, ft_from_m, mps_from_kt

from .common import (
    SEA_LEVEL,
    TRAINER,
    TRAINER_CL_MAX,
    airplanes,
    quick,
    sink_by_force_balance,
)

TRAINER_SL = {**TRAINER, "density": SEA_LEVEL}


def fly_turn(airplane, lift_coefficient, bank_deg, turn_deg):
    """Height lost by integrating speed, path and heading at a fixed lift coefficient and bank.

    Independent of the closed form: the motion starts near its steady state and settles there,
    and only the last `turn_deg` of heading are counted.
    """
    k = 1.0 / (np.pi * airplane["oswald"] * airplane["aspect_ratio"])
    cd = airplane["cd0"] + k * lift_coefficient**2
    mass, area, bank = airplane["mass"], airplane["wing_area"], np.radians(bank_deg)

    def slope(_, state):
        speed, gamma, _, _ = state
        q_area = 0.5 * airplane["density"] * speed**2 * area
        lift, drag = q_area * lift_coefficient, q_area * cd
        g = STANDARD_GRAVITY
        return [
            -drag / mass - g * np.sin(gamma),
            (lift * np.cos(bank) / mass - g * np.cos(gamma)) / speed,
            lift * np.sin(bank) / (mass * speed * np.cos(gamma)),
            speed * np.sin(gamma),
        ]

    speed = np.sqrt(2 * mass * STANDARD_GRAVITY / (airplane["density"] * area * lift_coefficient))
    start = [speed / np.sqrt(np.cos(bank)), -cd / lift_coefficient / np.cos(bank), 0.0, 0.0]
    flight = solve_ivp(slope, (0.0, 400.0), start, rtol=1e-9, atol=1e-9, dense_output=True)
    times = np.linspace(0.0, 400.0, 20001)
    heading, height = flight.sol(times)[2:]
    last = np.interp(heading[-1] - np.radians(turn_deg), heading, height)
    return last - height[-1]


@pytest.mark.parametrize("bank_deg", [20.0, 45.0, 55.0])
def test_height_loss_equals_the_integrated_turn(bank_deg):
    closed = optimum_bank.height_loss_at_lift_coefficient(
        **TRAINER_SL, bank_deg=bank_deg, lift_coefficient=1.1, turn_deg=180.0
    )
    assert closed == pytest.approx(fly_turn(TRAINER_SL, 1.1, bank_deg, 180.0), rel=1e-4)


@quick
@given(st.floats(0.02, 0.3))
def test_optimum_bank_by_scan(k):
    banks = np.radians(np.linspace(20.0, 80.0, 60001))
    loss = np.cos(banks) / ((np.cos(banks) ** 2 + k**2) * np.sin(banks))
    inner = np.argmin(loss[: np.searchsorted(banks, np.radians(62.0))])
    assert optimum_bank.optimum_bank_deg(k) == pytest.approx(np.degrees(banks[inner]), abs=2e-3)


def test_optimum_bank_agrees_with_the_form_read():
    """Read as quoted: cos(bank) = sqrt((1 - k^2) / 2), 45.4 degrees at k = 0.116."""
    assert optimum_bank.optimum_bank_deg(0.116) == pytest.approx(45.4, abs=0.5)
    assert optimum_bank.optimum_bank_deg(1e-6) == pytest.approx(45.0, abs=1e-6)
    with pytest.raises(ValueError, match="drag-lift ratio of 0.4 no bank angle is best"):
        optimum_bank.optimum_bank_deg([0.1, 0.4])


@pytest.mark.parametrize(("bank_deg", "feet"), [(45.0, 201.0), (30.0, 272.0), (20.0, 396.0)])
def test_constant_speed_turn_of_the_trainer(bank_deg, feet):
    """Reference values computed outside the kit: 72 kt, 180 degrees (derived)."""
    loss = gliding_turn.height_loss_at_speed(
        **TRAINER_SL, tas=mps_from_kt(72.0), bank_deg=bank_deg, turn_deg=180.0
    )
    assert ft_from_m(loss) == pytest.approx(feet, abs=0.6)


@quick
@given(airplanes, st.floats(28.0, 45.0), st.floats(10.0, 55.0), st.floats(10.0, 360.0))
def test_constant_speed_height_is_sink_times_time(airplane, tas, bank_deg, turn_deg):
    sink = sink_by_force_balance(airplane, tas, bank_deg)
    rate = STANDARD_GRAVITY * np.tan(np.radians(bank_deg)) / tas
    loss = gliding_turn.height_loss_at_speed(
        **airplane, tas=tas, bank_deg=bank_deg, turn_deg=turn_deg
    )
    assert loss == pytest.approx(sink * np.radians(turn_deg) / rate, rel=1e-8)
    left = gliding_turn.height_loss_at_speed(
        **airplane, tas=tas, bank_deg=bank_deg, turn_deg=-turn_deg
    )
    assert left == loss


def plan(**changes):
    values = {
        **TRAINER_SL,
        "cl_max": TRAINER_CL_MAX,
        "tas": mps_from_kt(72.0),
        "bank_deg": 30.0,
        "turn_deg": 180.0,
        "roll_rate_dps": 15.0,
        "delay": 4.0,
        "reserve_fraction": 0.25,
    }
    return gliding_turn.gliding_turn(**{**values, **changes})


def test_plan_equals_the_turn_flown_step_by_step():
    """Independent: delay, roll in, turn, roll out in small time steps."""
    turn, tas, step = plan(), mps_from_kt(72.0), 0.002
    banks = np.linspace(0.0, 30.0, 301)
    sinks = [sink_by_force_balance(TRAINER_SL, tas, bank) for bank in banks]
    roll_time = 30.0 / 15.0
    heading = height = time = 0.0
    roll_out_heading = None
    bank = 0.0
    rolled_in = sum(  # heading gained by one roll, by the same small steps
        STANDARD_GRAVITY * np.tan(np.radians(min(15.0 * t, 30.0))) / tas * step
        for t in np.arange(step / 2, roll_time, step)
    )
    roll_out_heading = np.pi - rolled_in
    rolling_out = False
    while not (rolling_out and bank <= 0.0):
        rolling_out = rolling_out or heading >= roll_out_heading
        bank = min(bank + 15.0 * step, 30.0) if not rolling_out else bank - 15.0 * step
        heading += STANDARD_GRAVITY * np.tan(np.radians(bank)) / tas * step
        height += np.interp(bank, banks, sinks) * step
        time += step
    assert heading == pytest.approx(np.pi, rel=1e-3)
    assert turn.steady_height + turn.roll_height == pytest.approx(height, rel=1e-3)
    assert turn.time == pytest.approx(time + 4.0, rel=1e-3)


def test_plan_adds_up_and_each_part_has_its_sign():
    turn = plan()
    parts = turn.steady_height + turn.roll_height + turn.delay_height
    assert turn.reserve_height == pytest.approx(0.25 * parts, rel=1e-12)
    assert turn.total_height == pytest.approx(1.25 * parts, rel=1e-12)
    assert turn.roll_height > 0.0  # rolling turns slowly: it costs height
    straight = sink_by_force_balance(TRAINER_SL, mps_from_kt(72.0), 0.0)
    assert turn.delay_height == pytest.approx(4.0 * straight, rel=1e-9)
    assert plan(roll_rate_dps=100.0).roll_height < turn.roll_height


def test_more_bank_eats_the_margin():
    banks = np.array([15.0, 30.0, 45.0])
    turn = plan(bank_deg=banks)
    assert np.all(np.diff(turn.stall_margin) < 0.0)
    one_g = stall.stall_eas(TRAINER["mass"], TRAINER["wing_area"], TRAINER_CL_MAX, 1.0)
    assert turn.stall_eas == pytest.approx(one_g * np.sqrt(turn.load_factor), rel=1e-12)
    assert np.all(turn.load_factor < 1.0 / np.cos(np.radians(banks)))
    assert turn.stall_margin == pytest.approx(mps_from_kt(72.0) - turn.stall_eas, rel=1e-12)


def test_margin_is_in_equivalent_airspeed():
    thin = plan(density=SEA_LEVEL / 1.21, tas=1.1 * mps_from_kt(72.0))
    assert thin.stall_margin == pytest.approx(plan().stall_margin, rel=1e-9)


def test_optimum_at_constant_speed_of_a_shallow_glide():
    """Where CD0 and induced drag are equal and the path is shallow, tan^2(bank) = 2."""
    shallow = {**TRAINER_SL, "cd0": 0.006, "aspect_ratio": 30.0, "oswald": 0.95}
    best = glide.best_glide_tas(**shallow)
    banks = np.linspace(30.0, 70.0, 801)
    loss = gliding_turn.height_loss_at_speed(**shallow, tas=best, bank_deg=banks, turn_deg=180.0)
    expected = np.degrees(np.arctan(np.sqrt(2.0)))
    assert banks[np.argmin(loss)] == pytest.approx(expected, abs=0.2)


def test_refuses_a_turn_too_short_for_its_bank():
    with pytest.raises(ValueError, match="turn of 10 degrees is over before 45 degrees of bank"):
        plan(turn_deg=[90.0, 10.0], bank_deg=45.0)
    with pytest.raises(ValueError, match="bank angle of a gliding turn must be above 0"):
        plan(bank_deg=0.0)
