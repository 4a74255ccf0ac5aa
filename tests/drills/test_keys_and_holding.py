"""Keys of every manner get a fitting sentence; feet that stay in with the bank are told so."""

from dataclasses import replace

import numpy as np
import pytest
from pilot_cases import course, straight_demand

from lessonkit.drills.advice import ROLLS, STRAIGHT, Change, advice
from lessonkit.drills.diagnosis import LAGS, diagnose
from lessonkit.drills.hunting import strongest_oscillation
from lessonkit.drills.synthetic_pilots import SyntheticPilot
from lessonkit.drills.trace import Trace
from lessonkit.drills.verdict import Diagnosis
from lessonkit.models.lateral_run import STEP


def demand_of(drill, seed=0):
    """Rudder needed and bank of a drill."""
    if drill == ROLLS:
        here = course("two_seat", 65.0, seed)
        return here.needed, here.bank_deg
    needed = straight_demand("two_seat", 65.0, seed)
    return needed, np.zeros(needed.size)


def control(held, travel=0.5, there=1.5, back=3.0):
    """The pedal that keys move: it goes to its place and back at a rate."""
    pedal = np.zeros(held.size)
    for now in range(1, held.size):
        reach = STEP * (there if held[now] else back)
        pedal[now] = pedal[now - 1] + np.clip(travel * held[now] - pedal[now - 1], -reach, reach)
    return pedal


def presses(time, begins, length, sides):
    held = np.zeros(time.size)
    for begin, side in zip(begins, sides, strict=True):
        held[(time >= begin) & (time < begin + length)] = side
    return held


def perfect(needed):
    return np.where(np.abs(needed) > 0.3 * np.abs(needed).max(), np.sign(needed), 0.0)


def short_ones(time, needed, length):
    """A press of a given length 0.3 s after each beginning of what is needed."""
    asked = perfect(needed)
    begins = np.flatnonzero((asked != 0.0) & (np.diff(asked, prepend=0.0) != 0.0))
    return presses(time, time[begins] + 0.3, length, asked[begins])


def key_runs(needed, bank_deg, seed):
    """Held keys by name, with the kinds that fit them in the rolls."""
    time, draw = np.arange(needed.size) * STEP, np.random.default_rng(seed)
    asked, lost = perfect(needed), {"unclear"}
    yield "held long", presses(time, [5.0], 20.0, [1.0]), {"leaning"}
    yield "held always", np.ones(time.size), {"leaning"}
    yield "one tap", presses(time, [7.0], 0.15, [1.0]), lost
    yield "one press", presses(time, [7.0], 2.0, [1.0]), lost
    yield "three taps", presses(time, [3.0, 11.0, 20.0], 0.15, [1.0, -1.0, 1.0]), lost
    yield "each second", np.where(time % 2.0 < 1.0, 1.0, -1.0), {"hunting"}
    yield "each 4 s", np.where(time % 4.0 < 1.0, 1.0, 0.0), lost
    taps = np.sort(draw.uniform(0.0, 29.0, 12))
    yield "random taps", presses(time, taps, 0.3, draw.choice((-1.0, 1.0), 12)), lost
    begins = np.sort(draw.uniform(0.0, 29.0, 9))
    random = presses(time, begins, 1.2, draw.choice((-1.0, 1.0), 9))
    yield "random presses", random, {"unclear", "hunting"}
    banked = np.where(np.abs(bank_deg) > 0.3 * np.abs(bank_deg).max(), np.sign(bank_deg), 0.0)
    yield "held while banked", banked, {"held_in"}
    yield "perfect", asked, {"coordinated"}
    for length in (0.12, 0.2, 0.3):
        yield f"short {length}", short_ones(time, needed, length), {"brief"}
    yield "right only", np.maximum(asked, 0.0), {"one_sided"}
    yield "opposite", -asked, {"wrong_side"}
    yield "none", np.zeros(time.size), {"still"}


def judged(rudder, needed, bank_deg, source="pad"):
    columns = {"time": np.arange(rudder.size) * STEP, "rudder": rudder, "bank_deg": bank_deg}
    return diagnose(Trace.from_arrays(columns, source=source), needed)


@pytest.mark.parametrize("drill", [ROLLS, STRAIGHT])
def test_keys_of_every_manner_get_a_sentence_that_knows_no_amount(drill):
    for seed in range(2):
        needed, bank_deg = demand_of(drill, seed)
        for name, held, kinds in key_runs(needed, bank_deg, seed):
            what = judged(control(held), needed, bank_deg, "keys")
            told = advice(what, drill).sentence()
            assert told.endswith(".") and "{" not in told and "None" not in told, name
            for amount in ("%", "half", "times", "twice", "rudder needed"):
                assert amount not in told, (name, told)
            if drill == ROLLS:
                assert what.kind in kinds, (seed, name, what.kind, told)


@pytest.mark.parametrize("kind", ["too_little", "too_much"])
@pytest.mark.parametrize("drill", [ROLLS, STRAIGHT])
def test_an_amount_without_a_number_is_no_error(kind, drill):
    assert advice(Diagnosis(kind, keys=True), drill).key == "no_pattern"


def test_random_keys_are_never_told_of_one_side():
    needed, bank_deg = demand_of(ROLLS)
    draw, time = np.random.default_rng(3), np.arange(needed.size) * STEP
    for _ in range(12):
        begins = np.sort(draw.uniform(0.0, 29.0, 9))
        held = presses(time, begins, draw.uniform(0.3, 1.5), draw.choice((-1.0, 1.0), 9))
        what = judged(control(held), needed, bank_deg, "keys")
        if what.kind in ("one_sided", "wrong_side", "late", "early", "coordinated"):
            assert abs(what.correlation) > 0.6


def two_way_needs():
    """Right for 2 s, then left for 2 s and half as much, again and again."""
    time = np.arange(0.0, 30.0, STEP)
    return time, np.interp(time % 6.0, [0.5, 1, 2, 2.5, 3.5, 4, 5, 5.5], [0, 1, 1, 0, 0, -1, -1, 0])


def test_the_other_pedal_is_told_only_where_it_was_pressed():
    _, needed = two_way_needs()
    needed = 0.3 * needed
    still = np.zeros(needed.size)
    right_only = judged(control((needed > 0.1) * 1.0), needed, still, "keys")
    assert (right_only.kind, right_only.other_pedal) == ("one_sided", (False, False))
    assert "did not press" in advice(right_only, STRAIGHT).sentence()
    # However the fit may see it, without a press there is no other pedal.
    told = advice(replace(right_only, side_gains=(-0.8, 1.0)), STRAIGHT)
    assert told.key == "one_sided_none"
    both_right = judged(control((np.abs(needed) > 0.1) * 1.0), needed, still, "keys")
    assert both_right.other_pedal == (True, False)
    assert advice(both_right, STRAIGHT).key == "one_sided_wrong"


@pytest.mark.parametrize("share", [0.5, 0.75, 1.0])
def test_feet_held_in_with_the_bank(share):
    for seed in range(2):
        needed, bank_deg = demand_of(ROLLS, seed)
        pilot = SyntheticPilot(gain=1.0 - share, held_share=share, noise=0.03, seed=seed)
        what = judged(pilot.rudder(needed, STEP, bank_deg), needed, bank_deg)
        assert what.kind == "held_in" and what.lag_s is None and what.gain is None
        mirrored = judged(-pilot.rudder(needed, STEP, bank_deg), -needed, -bank_deg)
        assert mirrored.kind == "held_in"
    given = advice(what)
    assert given.change == Change(released=1.0)
    after = pilot.following(given)
    assert after.held_share < 0.5 * share
    assert after.gain + after.held_share == pytest.approx(1.0)


@pytest.mark.parametrize("late", [0.3, 0.6, 0.8, 1.0])
@pytest.mark.parametrize("faults", [{}, {"left_gain": 0.4}, {"gain": 0.6, "bias": 0.1}])
def test_late_feet_are_not_held_in(late, faults):
    needed, bank_deg = demand_of(ROLLS)
    feet = SyntheticPilot(late_s=late, noise=0.04, seed=2, **faults)
    what = judged(feet.rudder(needed, STEP, bank_deg), needed, bank_deg)
    assert what.held == 0.0 and what.kind != "held_in"


def test_pressing_against_the_bank_is_not_holding():
    needed, bank_deg = demand_of(ROLLS)
    assert judged(-0.02 * bank_deg, needed, bank_deg).kind != "held_in"


def test_a_lag_at_the_end_of_the_range_is_not_told():
    """Without the bank in the trace, feet held in look as late as they can."""
    needed, bank_deg = demand_of(ROLLS)
    for late in (0.0, 0.3, 0.8):
        feet = SyntheticPilot(gain=0.0, held_share=1.0, late_s=late, noise=0.0)
        what = judged(feet.rudder(needed, STEP, bank_deg), needed, np.zeros(needed.size))
        assert what.lag_s is None or LAGS[0] + 0.05 < what.lag_s < LAGS[1] - 0.05
        assert "after the stick" not in advice(what).sentence() or what.lag_s is not None


def test_swinging_takes_three_periods_and_its_own_band():
    time = np.arange(0.0, 30.0, STEP)
    three = 0.3 * np.sin(np.pi * time) * (time < 7.0)
    one = 0.3 * (np.abs(time - 12.0) < 1.0)
    assert strongest_oscillation(three, STEP).periods >= 3.0
    assert strongest_oscillation(one, STEP).periods < 3.0
    assert strongest_oscillation(0.2 * np.sin(2 * np.pi * 0.3 * time), STEP).periods > 8.0
    assert strongest_oscillation(0.2 * np.sin(2 * np.pi * 0.24 * time), STEP).periods == 0.0
    assert strongest_oscillation(0.3 * (time % 4.0 < 1.0), STEP).periods == 0.0
