"""Answers of the lesson's questions against other ways to get them."""

import math

import numpy as np
import pytest

from lessonkit.airplane import (
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.airplane.card import Card
from lessonkit.exercises import check, problems_of, vary
from lessonkit.lessons.coordination import roll_questions, slip_questions, trace_questions
from lessonkit.lessons.coordination.exercises import QUESTIONS
from lessonkit.lessons.coordination.question_parts import lateral_of, pressed, speed, straight
from lessonkit.models.lateral_run import bank_run, lateral_run
from lessonkit.units import kt_from_mps, mps_from_kt

AIRPLANES = [fit_airplane(card) for card in built_in_cards().values()]
BY_KEY = {question.key: question for question in QUESTIONS}
G = 9.80665
MOST_ADVERSE = 0.35  # the most that a card may state


def items(key, seeds=range(1, 5)):
    return [vary(BY_KEY[key], airplane, seed) for airplane in AIRPLANES for seed in seeds]


def test_there_are_thirteen_and_more_of_all_six_kinds():
    assert len(QUESTIONS) == len(BY_KEY) >= 13
    kinds = {question.kind for question in QUESTIONS}
    assert kinds == {"number", "choice", "order", "mark", "set", "judge"}
    assert {question.level for question in QUESTIONS} == {
        "understanding",
        "application",
        "correlation",
    }


def test_ball_of_the_turn_at_100_knots():
    """Bank 20 deg, 3 deg/s at 100 kt: 4.64 deg toward the inside, bank - atan(V omega / g)."""
    values = {"tas": mps_from_kt(100.0), "bank": 20.0, "rate": 3.0}
    assert BY_KEY["ball_in_turn"].answer(None, values) == pytest.approx(4.641, abs=0.005)


def test_sideslip_for_12_knots_of_crosswind_at_65():
    """asin(12/65) = 10.64 deg (geometry)."""

    class At65:
        def stall_cas(self, flap_deg):
            return mps_from_kt(50.0)

    values = {"crosswind": mps_from_kt(12.0), "factor": 1.3}
    found = BY_KEY["sideslip_angle"].answer(At65(), values)
    assert found == pytest.approx(10.639, abs=0.005)


@pytest.mark.parametrize(("rhythm", "swing"), [(2.0, 2.0), (4.0, 4.0), (8.0, 8.0)])
def test_swing_of_a_clean_roll_at_60_knots(rhythm, swing):
    """+/-20 deg of bank at 60 kt: g/V times bank times rhythm over 2 pi (small angles, derived)."""

    class At60:
        def stall_cas(self, flap_deg):
            return mps_from_kt(60.0)

    values = {"rhythm": rhythm, "bank": 20.0, "factor": 1.0}
    found = BY_KEY["heading_swing"].answer(At60(), values)
    small = math.degrees(G / mps_from_kt(60.0) * math.radians(20.0) * rhythm / (2.0 * math.pi))
    assert found == pytest.approx(small, rel=0.05) == pytest.approx(swing, abs=0.3)


def test_swing_is_that_of_a_coordinated_run_flown():
    """The same rolls flown with the kit's own hands and feet: the heading swings as far."""
    airplane, values = AIRPLANES[0], {"rhythm": 6.0, "bank": 15.0, "factor": 1.6}
    tas, step = speed(airplane, values["factor"]), 0.04
    time = step * np.arange(round(2.0 * values["rhythm"] / step))
    # The first roll begins gently; one whole rhythm is left after it.
    bank = values["bank"] * np.sin(2.0 * np.pi * time / values["rhythm"]) * np.minimum(time, 1.0)
    run = bank_run(lateral_of(airplane), bank, tas, step=step)
    whole = run.time > values["rhythm"]
    heading, flown = np.ptp(run.heading_deg[whole]), np.ptp(run.bank_deg[whole])
    # Compared for the bank that was flown. The nose stands above the path, so a bank moves it
    # aside a little beside the turn: half of the question's tolerance is left for that.
    asked = BY_KEY["heading_swing"].answer(airplane, {**values, "bank": 0.5 * flown})
    assert asked == pytest.approx(0.5 * heading, abs=0.35)


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
def test_demand_grows_as_in_more_complete_simulations(airplane):
    """From 100 to 55 kt pedal for aileron grows 1.7 to 3.5 times in 6-DoF light singles."""
    stall = speed(airplane, 1.0)
    # The same ratio of speeds: the lift coefficient grows as much.
    slow = 1.2
    ratio = roll_questions.DEMAND_RATIO.answer(airplane, {"slow": slow, "fast": slow * 100 / 55})
    assert stall > 0.0 and 1.7 < ratio < 3.5


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_nose_goes_away_from_the_roll_on_both_sides(airplane, side):
    """The left is asked as the mirror of the right: flown, it is one, but for the propeller."""
    values = {"side": side, "factor": 1.25, "aileron": 0.5}
    assert BY_KEY["nose_first"].answer(airplane, values) == "away_first"
    tas = speed(airplane, 1.25)
    held, hands = straight(airplane, tas), pressed(side * 0.5, 1.0, 1.0, step=0.02)
    run = lateral_run(lateral_of(airplane), held.aileron + hands, held.rudder, tas)
    assert side * run.heading_deg[60] < -0.5 and side * run.ball_deg[50] > 0.5


@pytest.mark.parametrize(
    "item", items("rudder_for_roll"), ids=lambda i: f"{i.airplane.name}-{i.seed}"
)
def test_the_pedal_of_the_roll_is_on_the_side_of_the_hand(item):
    reference = item.question.reference(item.airplane, item.values)["rudder"]
    assert reference * item.values["side"] > 0.05


def test_foot_and_name_of_the_turn():
    """Step on the ball (FAA-H-8083-3B, ch. 4); ball inside a slip, outside a skid (from memory).

    At 100 kt, 3 deg/s belong to 15.4 deg of bank (V/10 + 7 gives 17, the exact turn 15.4).
    """
    values = {"tas": mps_from_kt(100.0), "rate": 3.0}
    expected = {(1, 20): "right_slip", (1, 10): "left_skid", (-1, 20): "left_slip"}
    for (turn, bank), name in {**expected, (-1, 10): "right_skid"}.items():
        one = {**values, "side": float(turn), "bank": float(bank)}
        assert BY_KEY["step_on_the_ball"].answer(None, one) == name


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_as_the_handbook_has_it(airplane, side):
    """FAA-H-8083-3C: wing into the wind, other pedal (p. 9-12, read); a skid drops the inside wing,
    a slip tends to roll toward level (ch. 5, from memory); a bank on a heading is a slip.
    """
    wind = {"side": side, "crosswind": mps_from_kt(7.0), "factor": 1.4}
    assert BY_KEY["crosswind_side"].answer(airplane, wind) == "into_opposite"
    turn = {"side": side, "factor": 1.25, "bank": 20.0}
    drops = BY_KEY["which_wing_drops"].answer
    assert drops(airplane, {**turn, "more": 1.0}) == "inside"
    assert drops(airplane, {**turn, "more": -1.0}) == "outside"
    held = {"side": side, "bank": 3.0, "factor": 1.7}
    assert BY_KEY["held_bank"].answer(airplane, held) == "slip"


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
def test_full_pedal_is_reached_at_the_marked_crosswind(airplane):
    """Flown with full left pedal and held straight: the sideslip is that of the crosswind."""
    values = {"factor": 1.4}
    tas = speed(airplane, 1.4)
    crosswind = slip_questions.RUDDER_LIMIT.answer(airplane, values)[0]
    sideslip = math.degrees(math.asin(crosswind / tas))
    assert 6.0 < sideslip < 16.0 and 5.0 < kt_from_mps(crosswind) < 24.0
    # A little more wind cannot be held, a little less can.
    for share, can in ((0.97, True), (1.03, False)):
        held = slip_questions.crosswind_slip(lateral_of(airplane), tas, share * crosswind)
        assert (abs(held.rudder) <= 1.0) is can


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
@pytest.mark.parametrize(
    ("feet", "verdict"),
    [
        (0, ("together", "enough", "steady")),
        (1, ("late", "enough", "steady")),
        (2, ("early", "enough", "steady")),
        (3, ("together", "too_little", "steady")),
        (4, ("together", "too_much", "steady")),
        (5, ("together", "{side}_weak", "steady")),
        (6, ("together", "enough", "hunting")),
    ],
)
@pytest.mark.parametrize("side", [1.0, -1.0])
def test_feet_are_judged_by_the_fault_that_was_put_in(airplane, feet, verdict, side):
    question, values = trace_questions.JUDGE_FEET, {"side": side, "feet": float(feet)}
    named = [part.format(side="right" if side > 0.0 else "left") for part in verdict]
    assert list(question.answer(airplane, values).values()) == named
    assert question.usable(airplane, values)


@pytest.mark.parametrize("airplane", AIRPLANES, ids=lambda a: a.name)
def test_the_feet_that_are_needed_are_within_the_travel(airplane):
    """At a stop the needed pedal would no longer be what keeps the airplane from slipping."""
    _, _, needed = trace_questions._rolled(airplane, {})
    at = straight(airplane, speed(airplane, trace_questions.FACTOR)).rudder
    assert 0.1 < np.abs(needed).max() and np.abs(needed + at).max() < 0.97


def turned(card, **entries):
    """Return an airplane whose card has some lines changed; None takes a line out."""
    changed = {**card.entries, **{key.replace("__", "."): one for key, one in entries.items()}}
    return fit_airplane(Card({key: one for key, one in changed.items() if one is not None}))


@pytest.mark.parametrize(("turns", "foot"), [("clockwise", "right"), ("counterclockwise", "left")])
def test_the_propeller_decides_which_foot(turns, foot):
    airplane = turned(next(iter(built_in_cards().values())), propeller__turns=turns)
    other = {"right": "left", "left": "right"}[foot]
    item = vary(BY_KEY["power_pedal"], airplane, 1)
    assert check(item, "more").status == "correct"
    assert f"{foot} pedal" in dict(item.options)["more"]
    nose = BY_KEY["throttle_moves"].answer
    assert nose(airplane, {"opened": 1.0, "factor": 1.3}) == other
    assert nose(airplane, {"opened": 0.0, "factor": 1.3}) == foot


@pytest.mark.parametrize("missing", ["engine.power", "propeller.diameter", "engine.cruise_rpm"])
def test_a_card_without_a_propeller_is_asked_about_a_usual_one(missing):
    card = next(iter(built_in_cards().values()))
    airplane = turned(card, **{missing.replace(".", "__"): None})
    for key in ("power_pedal", "throttle_moves"):
        assert problems_of(BY_KEY[key], [airplane], range(2)) == []
        assert "150" in vary(BY_KEY[key], airplane, 1).solution


def test_all_can_be_asked_without_a_certain_stall_speed():
    """IAS and no correction table: no stall speed is stated, and the questions still have one."""
    card = next(c for c in built_in_cards().values() if c["airspeed.flaps_up"] is not None)
    airplane = turned(card, airspeed__flaps_up=None, airspeed__flaps_down=None)
    assert airplane.stall_cas(0.0) is None
    for question in QUESTIONS:
        assert problems_of(question, [airplane], range(1)) == [], question.key


def test_every_timing_that_is_offered_can_be_the_answer():
    question = trace_questions.JUDGE_FEET
    found = {
        question.answer(AIRPLANES[0], {"side": 1.0, "feet": float(feet)})["timing"]
        for feet in range(len(trace_questions.FEET))
    }
    assert found == set(question.aspects[0].options)


@pytest.mark.parametrize(
    "card", built_in_cards().values(), ids=lambda card: card.text("airplane.name")
)
def test_a_card_that_prohibits_slips_is_not_asked_to_slip(card):
    airplane = turned(card, limits__slips="prohibited")
    steps = vary(BY_KEY["slip_steps"], airplane, 1).prompt
    assert "prohibits slips, so never in it: take another airplane" in steps
    assert "not to be flown" in vary(BY_KEY["rudder_limit"], airplane, 1).prompt
    for key in ("slip_steps", "rudder_limit"):
        assert problems_of(BY_KEY[key], [airplane], range(1)) == []
        assert "prohibits" not in vary(BY_KEY[key], turned(card), 1).prompt
    assert "wing" in vary(BY_KEY["crosswind_side"], airplane, 1).prompt.lower()


def test_knots_that_happen_to_be_the_degrees_are_not_asked():
    """At 57.3 kt one knot across is one degree (small angles): such numbers tell nothing."""

    class At44:
        def stall_cas(self, flap_deg):
            return mps_from_kt(44.0)

    question = BY_KEY["sideslip_angle"]
    near = {"crosswind": mps_from_kt(8.0), "factor": 1.3}
    assert not question.usable(At44(), near)
    assert question.usable(At44(), {"crosswind": mps_from_kt(14.0), "factor": 1.5})


@pytest.mark.parametrize(
    "card", built_in_cards().values(), ids=lambda card: card.text("airplane.name")
)
def test_the_pedal_of_the_roll_is_within_the_travel_where_the_ailerons_yaw_much(card):
    tables = card_to_tables(card)
    tables["coordination"] = {**tables.get("coordination", {}), "adverse_yaw": MOST_ADVERSE}
    airplane = fit_airplane(card_from_tables(tables))
    for seed in range(1, 7):
        item = vary(BY_KEY["rudder_for_roll"], airplane, seed)
        assert abs(item.question.reference(airplane, item.values)["rudder"]) < 0.9
    assert problems_of(BY_KEY["rudder_for_roll"], [airplane], range(1, 3)) == []
