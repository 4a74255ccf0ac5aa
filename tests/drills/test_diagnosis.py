"""The diagnosis finds the faults that synthetic pilots were made with."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from pilot_cases import AIRPLANES, FAULTS, SPEEDS_KT, course, pilot_with

from lessonkit.drills.demand_fit import fit_demand
from lessonkit.drills.diagnosis import diagnose
from lessonkit.drills.felt import DAMPING, NATURAL, answer_at, felt
from lessonkit.drills.hunting import strongest_oscillation
from lessonkit.drills.synthetic_pilots import TREMOR_HZ, SyntheticPilot, _smooth_noise
from lessonkit.drills.trace import Trace
from lessonkit.models.lateral_run import STEP


@pytest.fixture(scope="module")
def needed():
    """What a light airplane asks of the feet, flown slow; about 0.3 of the travel at most."""
    return course("two_seat", 65.0, 0).needed


@pytest.fixture(scope="module")
def bank_deg():
    """The banks of the same rhythm."""
    return course("two_seat", 65.0, 0).bank_deg


def traced(rudder, bank_deg=None, **about):
    columns = {"time": np.arange(rudder.size) * STEP, "rudder": rudder}
    columns |= {} if bank_deg is None else {"bank_deg": bank_deg}
    return Trace.from_arrays(columns, **about)


def found(pilot, needed, **about):
    return diagnose(traced(pilot.rudder(needed, STEP), **about), needed)


def delayed(values, seconds):
    time = np.arange(values.size) * STEP
    return np.interp(time - seconds, time, values)


def test_kinds_lag_and_gain_of_single_faults(needed, bank_deg):
    draw, kinds, lags, gains = np.random.default_rng(20), [], [], []
    for turn in range(40):
        kind, pilot = pilot_with(FAULTS[turn % len(FAULTS)], draw, needed)
        feet = pilot.rudder(needed, STEP, bank_deg)
        what = diagnose(traced(feet, bank_deg), needed)
        kinds.append((kind, what.kind))
        lags.append(0.0 if what.lag_s is None else what.lag_s - pilot.late_s)
        if what.gain is None:
            continue
        gains.append(what.gain_left - pilot.gain * pilot.left_gain)
        gains.append(what.gain_right - pilot.gain * pilot.right_gain)
    right = sum(kind == said for kind, said in kinds)
    assert right >= 0.9 * len(kinds), Counter(pair for pair in kinds if pair[0] != pair[1])
    assert np.abs(lags).max() < 0.1
    assert np.percentile(np.abs(gains), 95.0) < 0.15


@pytest.mark.parametrize("late", [-0.43, -0.1, 0.0, 0.117, 0.25, 0.6, 1.1])
def test_lag_is_found_between_samples(needed, late):
    what = diagnose(traced(delayed(needed, late)), needed)
    assert what.lag_s == pytest.approx(late, abs=0.01)


def test_the_measured_input_delay_is_taken_off(needed):
    what = diagnose(traced(delayed(needed, 0.5), input_delay_s=0.15), needed)
    assert what.lag_s == pytest.approx(0.35, abs=0.01)
    in_time = diagnose(traced(delayed(needed, 0.15), input_delay_s=0.15), needed)
    assert in_time.kind == "coordinated"


def test_sides_are_told_apart(needed):
    left = found(SyntheticPilot(left_gain=0.4, noise=0.0), needed)
    assert (left.kind, left.weak_side) == ("one_sided", "left")
    assert (left.gain_left, left.gain_right) == pytest.approx((0.4, 1.0), abs=0.02)
    # A mirrored run is a mirrored diagnosis.
    feet = SyntheticPilot(left_gain=0.4, noise=0.02, seed=3).rudder(needed, STEP)
    mirrored, plain = diagnose(traced(-feet), -needed), diagnose(traced(feet), needed)
    assert mirrored.weak_side == "right"
    assert mirrored.gain_right == pytest.approx(plain.gain_left, abs=1e-6)


def test_lag_is_not_told_where_it_is_not_defined(needed):
    weak = found(SyntheticPilot(gain=0.25, noise=0.02, seed=1), needed)
    assert weak.kind == "too_little" and weak.lag_s is None
    wild = found(SyntheticPilot(noise=0.4, seed=1), needed)
    assert wild.correlation < 0.6 and wild.lag_s is None


@pytest.mark.parametrize("hz", [0.3, 0.5, 0.75, 1.0])
def test_hunting_is_found_with_its_frequency(needed, hz):
    what = found(SyntheticPilot(hunting_hz=hz, hunting_share=0.3, noise=0.03, seed=4), needed)
    assert what.kind == "hunting"
    assert what.hunting_hz == pytest.approx(hz, abs=0.06)
    assert what.hunting_share == pytest.approx(0.3, rel=0.25)


def test_tremor_is_no_hunting(needed):
    for seed in range(12):
        what = found(SyntheticPilot(noise=0.05, seed=seed), needed)
        assert what.hunting_hz is None


def test_wandering_without_another_fault_is_named(needed):
    assert found(SyntheticPilot(noise=0.2, seed=2), needed).kind == "unsteady"


@pytest.mark.parametrize(
    ("pilot", "kind"),
    [
        # What moves the nose most is named, not what looks worst on paper.
        (SyntheticPilot(late_s=0.7, gain=0.6), "late"),
        (SyntheticPilot(late_s=0.15, gain=0.4), "too_little"),
        (SyntheticPilot(late_s=0.5, hunting_hz=1.0, hunting_share=0.15), "late"),
        (SyntheticPilot(late_s=0.15, hunting_hz=0.4, hunting_share=0.3), "hunting"),
        (SyntheticPilot(late_s=0.15, left_gain=0.1), "one_sided"),
        (SyntheticPilot(gain=0.7, bias=0.25), "leaning"),
        (SyntheticPilot(gain=-1.0), "wrong_side"),
        (SyntheticPilot(gain=0.0, bias=0.12), "still"),
        (SyntheticPilot(gain=0.0, bias=0.5), "leaning"),
    ],
)
def test_mixed_faults_are_weighed(needed, pilot, kind):
    for seed in range(4):
        assert found(replace(pilot, noise=0.03, seed=seed), needed).kind == kind


def test_the_numbers_of_mixed_faults(needed):
    pilot = SyntheticPilot(late_s=0.5, gain=0.6, bias=0.1, noise=0.02, seed=6)
    what = found(pilot, needed)
    assert what.lag_s == pytest.approx(0.5, abs=0.1)
    assert what.gain == pytest.approx(0.6, abs=0.15)
    assert what.bias == pytest.approx(0.1, abs=0.03)
    assert set(what.costs) == {"timing", "amount", "leaning"}


def test_a_pedal_at_its_stop_does_not_spoil_the_amount(needed):
    stretched = needed * 0.8 / np.abs(needed).max()
    feet = SyntheticPilot(gain=1.9, noise=0.02, seed=1)
    assert np.abs(feet.rudder(stretched)).max() == 1.0
    what = found(feet, stretched)
    assert what.kind == "too_much"
    assert (what.gain_left, what.gain_right) == pytest.approx((1.9, 1.9), abs=0.15)


def pressed(wanted, needed, travel=0.5, there=1.5, back=3.0):
    """A key held while the feet would press, and the control that follows it at its rate."""
    held = np.where(np.abs(wanted) > 0.4 * np.abs(needed).max(), travel * np.sign(wanted), 0.0)
    control = np.zeros(held.size)
    for now in range(1, held.size):
        reach = STEP * (there if held[now] else back)
        control[now] = control[now - 1] + np.clip(held[now] - control[now - 1], -reach, reach)
    return control


@pytest.mark.parametrize(
    ("pilot", "kind"),
    [
        (SyntheticPilot(noise=0.0), "coordinated"),
        (SyntheticPilot(late_s=0.4, noise=0.0), "late"),
        (SyntheticPilot(late_s=-0.3, noise=0.0), "early"),
        (SyntheticPilot(right_gain=0.0, noise=0.0), "one_sided"),
        (SyntheticPilot(gain=-1.0, noise=0.0), "wrong_side"),
        (SyntheticPilot(gain=0.0, noise=0.0), "still"),
    ],
)
def test_keys_tell_timing_and_side_only(needed, pilot, kind):
    feet = pressed(pilot.rudder(needed, STEP), needed)
    what = diagnose(traced(feet, source="keys"), needed)
    assert what.kind == kind
    assert what.gain is what.gain_left is what.gain_right is None
    if kind in ("coordinated", "late", "early"):
        assert what.lag_s == pytest.approx(pilot.late_s, abs=0.05)


def test_a_key_held_all_the_time_is_a_resting_foot(needed):
    what = diagnose(traced(np.full(needed.size, 0.5), source="keys"), needed)
    assert what.kind == "leaning"


@pytest.mark.parametrize(
    ("rudder", "needed_rudder", "reason"),
    [
        (np.zeros(0), np.zeros(0), "too_short"),
        (np.zeros(1), np.zeros(1), "too_short"),
        (np.full(100, 0.1), np.sin(np.arange(100) * 0.05), "too_short"),
        (np.full(1500, np.nan), np.sin(np.arange(1500) * 0.02), "too_short"),
        (np.full(1500, 0.1), np.full(1500, 0.3), "nothing_needed"),
    ],
)
def test_where_nothing_can_be_said_the_reason_is(rudder, needed_rudder, reason):
    what = diagnose(traced(rudder), needed_rudder)
    assert (what.kind, what.reason) == ("unclear", reason)
    assert what.lag_s is None


def test_gaps_and_a_saturated_pedal_are_survived(needed):
    feet = delayed(needed, 0.3)
    feet[200:260], feet[700] = np.nan, np.inf
    assert diagnose(traced(feet), needed).lag_s == pytest.approx(0.3, abs=0.03)
    assert diagnose(traced(np.ones(needed.size)), needed).kind == "leaning"


def test_a_pedal_that_follows_nothing_is_not_clear(needed):
    time = np.arange(needed.size) * STEP
    presses = np.sign(np.sin(2.0 * np.pi * time**1.5 / 12.0)) * 0.5 * (time % 4.3 < 1.6)
    what = diagnose(traced(presses), needed)
    assert (what.kind, what.reason) == ("unclear", "no_pattern")


def test_a_demand_of_another_length_is_refused(needed):
    with pytest.raises(ValueError, match="one for each"):
        diagnose(traced(needed[:900]), needed)


def test_one_side_only_is_asked_for_in_the_straight_drill():
    time = np.arange(0.0, 30.0, STEP)
    needed = 0.3 * ((time % 8.0) > 4.0)
    what = diagnose(traced(0.5 * delayed(needed, 0.3)), needed)
    assert what.gain_left is None and what.gain_right == pytest.approx(0.5, abs=0.02)
    assert what.kind == "too_little"


def test_the_fit_is_the_best_there_is(needed):
    """No lag nearby leaves less, found by an independent least-squares search."""
    time = np.arange(needed.size) * STEP
    feet = SyntheticPilot(late_s=0.33, gain=0.8, noise=0.05, seed=9).rudder(needed, STEP)
    fit = fit_demand(time, feet, needed, (-0.6, 1.2))

    def left_over(lag):
        shifted = np.interp(time - lag, time, needed)
        columns = np.column_stack((np.minimum(shifted, 0), np.maximum(shifted, 0), np.ones(1501)))
        return np.linalg.lstsq(columns, feet, rcond=None)[1][0]

    assert left_over(fit.lag) <= 1.001 * min(left_over(lag) for lag in np.arange(-0.6, 1.2, 0.03))


def test_the_nose_answers_like_a_second_order_lag():
    """Against small steps of y'' = w^2 (x - y) - 2 z w y', with the constants of `felt`."""
    time = np.arange(0.0, 20.0, 0.002)
    wrong = np.sin(2.0 * np.pi * 0.7 * time)
    place = speed = 0.0
    stepped = np.empty(time.size)
    for now, pushed in enumerate(wrong):
        speed += 0.002 * (NATURAL**2 * (pushed - place) - 2.0 * DAMPING * NATURAL * speed)
        place += 0.002 * speed
        stepped[now] = place
    answered = felt(wrong[::10], STEP)
    assert np.abs(answered - stepped[::10]).max() < 0.02
    assert np.abs(answered[500:]).max() == pytest.approx(answer_at(0.7), rel=0.05)


def test_the_tremor_has_its_strength_and_its_band():
    noise = _smooth_noise(np.random.default_rng(0), 100_000, STEP, TREMOR_HZ)
    assert np.std(noise) == pytest.approx(1.0, abs=0.05)
    power = np.abs(np.fft.rfft(noise)) ** 2
    hz = np.fft.rfftfreq(noise.size, STEP)
    # Two equal first-order lags: a quarter of the power at the corner.
    ratio = power[(hz > 1.9) & (hz < 2.1)].mean() / power[(hz > 0.01) & (hz < 0.3)].mean()
    assert ratio == pytest.approx(0.25, abs=0.06)


def test_amplitude_and_frequency_of_a_pure_swing():
    time = np.arange(0.0, 30.0, STEP)
    swing = strongest_oscillation(0.2 * np.sin(2.0 * np.pi * 0.63 * time), STEP)
    assert swing.hz == pytest.approx(0.63, abs=0.01)
    assert swing.amplitude == pytest.approx(0.2, rel=0.05)


@pytest.mark.long
def test_kinds_in_every_airplane_by_the_feet_alone_and_through_the_motion():
    from pilot_bench import confusion

    # Through the motion a quick wide swing outruns the pedals, which then are late in truth.
    for through_motion, count, in_time in ((False, 336, 0.98), (True, 84, 0.95)):
        table = confusion(count, seed=5, through_motion=through_motion)
        assert table.right >= 0.9, table.text
        assert table.lag_within >= in_time and table.gain_within >= 0.95
    assert {(key, kt) for key in AIRPLANES for kt in SPEEDS_KT} == set(table.flown)
