"""Runs against time: accuracy of the stepping, coordinated feet, rolling hands, the swing."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from lessonkit.models.lateral_motion import LateralControls, derivatives
from lessonkit.models.lateral_run import (
    aileron_for_banks,
    bank_run,
    coordinated_run,
    last_state,
    lateral_run,
)
from lessonkit.models.numeric import SCALAR, smooth_step
from lessonkit.units import STANDARD_GRAVITY, mps_from_kt

from .common import SEA_LEVEL
from .lateral_cases import LEFT_ALONE, PULLED, SPEEDS

B = LEFT_ALONE["B"]
STEP = 0.02


def rolls(duration, period=10.0, bank_deg=20.0):
    """Smooth rolls from side to side that begin gently."""
    time = np.arange(round(duration / STEP)) * STEP
    return bank_deg * np.sin(2.0 * np.pi * time / period) * smooth_step(time, 0.0, 3.0)


def busy_feet(samples, seed=3):
    """Rudder as a nervous learner moves it: several rhythms and a jump."""
    time = np.arange(samples) * STEP
    phases = np.random.default_rng(seed).uniform(0.0, 6.28, 3)
    parts = [
        np.sin(2.0 * np.pi * f * time + p) for f, p in zip((0.2, 0.9, 2.3), phases, strict=True)
    ]
    return np.clip(0.25 * sum(parts) + 0.3 * (time > 11.0), -1.0, 1.0)


def accurate(airplane, run, density=SEA_LEVEL):
    """The same held controls solved to 1e-10, sample after sample."""
    state, banks = [0.0] * 5, []
    for k in range(len(run.time)):
        banks.append(math.degrees(state[3]))
        held = LateralControls(
            float(run.aileron[k]), float(run.rudder[k]), float(run.tas[k]), density,
            float(run.power[k]),
        )  # fmt: skip

        def slope(_, at, held=held):
            return derivatives(at.tolist(), held, airplane, None, SCALAR)

        solved = solve_ivp(slope, (0.0, STEP), state, method="DOP853", rtol=1e-10, atol=1e-10)
        state = solved.y[:, -1]
    return np.array(banks)


def busy_run(duration):
    """Rolls with a nervous learner's feet, the speed falling and full power on."""
    hands = aileron_for_banks(PULLED, rolls(duration), mps_from_kt(65.0), power=0.6)
    n = len(hands)
    tas = np.linspace(mps_from_kt(75.0), mps_from_kt(58.0), n)
    power = np.where(np.arange(n) > 0.6 * n, 1.0, 0.3)
    return lateral_run(PULLED, hands, busy_feet(n), tas, power=power)


def test_fifty_steps_a_second_are_accurate():
    """Bank within 0.05 deg of a solution at 1e-10 with the same sampled controls, three seconds."""
    run = busy_run(3.0)
    assert np.ptp(run.bank_deg) > 10.0 and np.ptp(run.sideslip_deg) > 3.0  # a busy run
    assert np.abs(run.bank_deg - accurate(PULLED, run)).max() < 0.05


@pytest.mark.long
def test_fifty_steps_a_second_are_accurate_over_thirty_seconds():
    run = busy_run(30.0)
    assert np.ptp(run.bank_deg) > 20.0 and np.abs(run.bank_deg).max() < 90.0
    assert np.abs(run.bank_deg - accurate(PULLED, run)).max() < 0.05


@pytest.mark.parametrize("tas", SPEEDS[::3])
@pytest.mark.parametrize("key", ["B", "C"])
def test_coordinated_feet_keep_the_slip_away(key, tas):
    """Below 0.3 deg at every speed where the pedal is not at its stop or its fastest."""
    one = LEFT_ALONE[key]
    run = bank_run(one, rolls(5.0, bank_deg=12.0), tas)
    again = coordinated_run(one, run.aileron, tas)
    assert np.abs(again.rudder).max() < 1.0
    assert np.abs(again.sideslip_deg).max() < 0.3
    np.testing.assert_allclose(again.bank_deg, run.bank_deg, atol=0.01)
    # the ball moves a little all the same: pedals push sideways, and it sits off the centre
    assert np.abs(again.ball_deg).max() < 3.0


def test_hands_reach_the_banks_that_are_asked():
    wanted = rolls(10.0)
    hands = aileron_for_banks(B, wanted, mps_from_kt(65.0))
    run = coordinated_run(B, hands, mps_from_kt(65.0))
    assert np.abs(run.bank_deg - wanted).max() < 1.0
    assert np.abs(hands).max() < 1.0
    assert np.abs(np.diff(hands)).max() <= STEP * B.aileron_rate + 1e-12


@pytest.mark.parametrize(("period", "swing_deg"), [(2.0, 2.0), (4.0, 4.0), (8.0, 8.0)])
def test_a_coordinated_roll_is_no_still_nose(period, swing_deg):
    """The path of +/-20 deg rolls at 60 kt swings +/-2, 4, 8 deg for periods of 2, 4, 8 s.

    By hand: g/V times 20 deg times period / (2 pi) = 1.0 deg per second of period. The controls
    are made strong enough for the quick ones; the heading less the tilt of a nose that stands
    above the path is the path. Quick rolls swing it a little more: the pedals push it, too.
    """
    strong = replace(B, full_aileron_deg=80.0, full_rudder_deg=80.0, aileron_rate=50.0,
                     rudder_rate=50.0, reference_alpha_deg=0.0)  # fmt: skip
    tas = mps_from_kt(60.0)
    run = bank_run(strong, rolls(4.0 + 3.0 * period, period), tas)
    last = run.time > 4.0 + period
    # the nose stands above the path by alpha, so a bank tilts it aside by alpha sin(bank)
    alpha_deg = math.degrees(strong.alpha(strong.lift_coefficient(tas, SEA_LEVEL)))
    path = run.heading_deg - alpha_deg * np.sin(np.radians(run.bank_deg))
    assert 0.5 * np.ptp(path[last]) == pytest.approx(swing_deg, rel=0.17)
    assert 0.5 * np.ptp(run.heading_deg[last]) > 0.9 * swing_deg
    by_hand = STANDARD_GRAVITY / tas * 20.0 * period / (2.0 * math.pi)
    assert by_hand == pytest.approx(swing_deg, rel=0.02)


def test_full_power_needs_right_pedal_from_the_first_sample():
    run = coordinated_run(PULLED, np.zeros(100), mps_from_kt(60.0), power=1.0)
    assert 0.1 < run.rudder[0] < 0.6 and np.abs(run.sideslip_deg).max() < 0.3
    left = replace(PULLED, propeller=replace(PULLED.propeller, turns=-1))
    other = coordinated_run(left, np.zeros(3), mps_from_kt(60.0), power=1.0)
    assert other.rudder[0] < 0.0


def test_a_run_goes_on_where_another_ended():
    feet = busy_feet(100)
    whole = lateral_run(B, 0.2, feet, 35.0)
    first = lateral_run(B, 0.2, feet[:51], 35.0)
    second = lateral_run(B, 0.2, feet[50:], 35.0, start=last_state(first))
    np.testing.assert_allclose(second.bank_deg, whole.bank_deg[50:], atol=1e-9)
    np.testing.assert_allclose(second.heading_deg, whole.heading_deg[50:], atol=1e-9)


def test_lengths_that_do_not_fit_are_one_sentence():
    for aileron, rudder in ((0.1, 0.0), (np.zeros(3), np.zeros(4))):
        with pytest.raises(ValueError, match=r"^One of .* must be an array.*\.$"):
            lateral_run(B, aileron, rudder, 35.0)
