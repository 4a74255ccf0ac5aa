"""One sentence after a run, and that following it helps."""

import re
from dataclasses import replace

import numpy as np
import pytest
from pilot_cases import any_pilot, course

from lessonkit.drills.advice import ROLLS, STRAIGHT, Change, advice, share_said
from lessonkit.drills.diagnosis import KINDS, Diagnosis, diagnose
from lessonkit.drills.felt import felt
from lessonkit.drills.score import points_of
from lessonkit.drills.synthetic_pilots import SyntheticPilot
from lessonkit.drills.trace import Trace
from lessonkit.models.lateral_run import STEP
from lessonkit.words import say
from lessonkit.words.preferences import Preferences

BOTH = {"gain_left": 0.5, "gain_right": 0.5, "gain": 0.5, "side_gains": (0.5, 0.5)}


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ")


def one_sided(side, gain, **more):
    sides = (gain, 1.0) if side == "left" else (1.0, gain)
    return Diagnosis("one_sided", weak_side=side, side_gains=sides, **more)


@pytest.mark.parametrize(
    ("what", "told", "change"),
    [
        (Diagnosis("late", lag_s=0.42), "0.4 s after the stick. Move both", Change(lag_s=0.4)),
        (Diagnosis("early", lag_s=-0.29), "0.3 s before the stick. Wait", Change(lag_s=-0.3)),
        (one_sided("left", 0.48), "In left rolls you used half of the", Change(left=2.0)),
        (one_sided("right", 0.61), "In right rolls you used 60 % of", Change(right=1 / 0.6)),
        (one_sided("right", 2.0), "In right rolls you used twice the", Change(right=0.5)),
        (one_sided("left", 0.05), "did not press. Press the left", Change(begin=("left",))),
        (one_sided("left", -0.8), "you pressed the other pedal", Change(begin=("left",))),
        (Diagnosis("too_little", **BOTH), "You used half of the", Change(left=2.0, right=2.0)),
        (Diagnosis("too_much", gain=1.62), "1.6 times", Change(left=1 / 1.6, right=1 / 1.6)),
        (Diagnosis("hunting", hunting_hz=0.5), "about every 2.0 s", Change(quieter=1.0)),
        (Diagnosis("leaning", bias=-0.14), "on the left pedal all", Change(bias=-0.15)),
        (Diagnosis("still"), "did not move", Change(begin=("left", "right"))),
        (Diagnosis("wrong_side", gain=-1.0), "opposite to the stick", Change(other_side=True)),
        (Diagnosis("unsteady", wandering=0.05), "wander by 5 %", Change(steadier=0.5)),
        (Diagnosis("unclear", reason="too_short"), "Fly at least 8 s", Change()),
        (Diagnosis("unclear", reason="nothing_needed"), "Hardly any rudder", Change()),
    ],
)
def test_the_sentence_and_the_change_say_the_same(what, told, change):
    given = advice(what)
    assert told in plain(given.sentence())
    assert given.change == change


def test_praise_is_factual():
    good = Diagnosis("coordinated", lag_s=0.03, gain_left=0.95, gain_right=1.02, gain=1.0)
    told = plain(advice(good).sentence())
    assert "within 0.1 s" in told and "95 %" in told and "102 %" in told
    assert advice(good).change == Change()
    assert "%" not in advice(replace(good, keys=True)).sentence()


def every_diagnosis():
    numbers = {"lag_s": 0.3, "hunting_hz": 0.5, "bias": 0.2, "wandering": 0.04, "weak_side": "left"}
    for kind in KINDS:
        for gain in (0.05, 0.5, 1.0, 1.7):
            for keys in (False, True):
                sides = {"gain": gain, "gain_left": gain, "gain_right": gain}
                sides = dict.fromkeys(sides) if keys and kind == "coordinated" else sides
                yield Diagnosis(kind, side_gains=(gain, gain), keys=keys, **sides, **numbers)
        yield Diagnosis(kind, side_gains=(-0.9, 1.0), gain=0.1, gain_right=0.9, **numbers)
    for reason in ("too_short", "nothing_needed", "no_pattern"):
        yield Diagnosis("unclear", reason=reason)


@pytest.mark.parametrize("drill", [ROLLS, STRAIGHT])
def test_every_kind_has_one_short_piece_of_advice(drill):
    for what in every_diagnosis():
        told = advice(what, drill).sentence()
        # What was seen, and one thing to do; a wrong pedal is told for both sides.
        assert 1 <= len(re.findall(r"[.!?](?:\s|$)", plain(told))) <= 2, told
        assert "{" not in told and "nan" not in told and "None" not in told
        assert len(told) < 170
        assert say(what.name_key)


def test_numbers_are_written_in_the_learner_s_form():
    told = advice(Diagnosis("late", lag_s=0.42)).sentence(Preferences(decimal_mark=","))
    assert plain(told).startswith("Your feet come 0,4 s after")


def test_shares_have_names_where_they_are_near_one():
    assert [share_said(gain) for gain in (0.27, 0.35, 0.46, 0.65, 0.77)] == [
        0.25,
        0.33,
        0.5,
        0.67,
        0.75,
    ]
    assert share_said(0.6) == 0.6 and share_said(0.01) == 0.05


@pytest.fixture(scope="module")
def demands():
    """What two rhythms ask for; the rest of the motion is left to the long form."""
    return [course("two_seat", 65.0, seed).needed for seed in range(2)]


def one_run(pilot, needed):
    """Diagnosis and points of a run, with the nose's answer instead of the whole motion."""
    feet = pilot.rudder(needed, STEP)
    off = np.std(felt(feet - needed, STEP)) / np.std(felt(needed, STEP))
    trace = Trace.from_arrays({"time": np.arange(needed.size) * STEP, "rudder": feet})
    return diagnose(trace, needed), float(points_of(off))


def test_a_pilot_who_follows_the_advice_gets_better(demands):
    draw, low = np.random.default_rng(8), 0
    for _ in range(16):
        pilot = first = any_pilot(draw, float(np.std(demands[0])))
        _, before = one_run(pilot, demands[0])
        for run in range(6):
            what, _ = one_run(pilot, demands[run % 2])
            pilot = pilot.following(advice(what))
        _, after = one_run(replace(pilot, run=first.run), demands[0])
        if before < 90.0:
            low += 1
            assert after > before, first
        else:
            assert after >= before - 2.0, first
    assert low >= 8


def test_a_pilot_does_what_is_said_and_nothing_else():
    pilot = SyntheticPilot(late_s=0.5, gain=0.5, hunting_hz=0.5, hunting_share=0.1, bias=0.1)
    after = pilot.following(advice(Diagnosis("late", lag_s=0.5)))
    assert 0.0 < after.late_s < 0.35
    assert replace(after, late_s=0.5, run=0) == pilot
    assert pilot.following(advice(Diagnosis("unclear", reason="too_short"))) == replace(
        pilot, run=1
    )


@pytest.mark.long
def test_the_advice_helps_fifty_pilots_in_three_airplanes():
    from pilot_bench import followed

    result = followed(50, seed=1)
    low, high = result.gains(result.pairs)
    assert len(low) >= 50 and low[0] > 0.0, result.text
    assert all(change >= -2.0 for change in high), result.text
