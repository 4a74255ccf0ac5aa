"""The drills of the feet without a browser: set beforehand, by hand, judged, kept, and faded."""

import functools
import re

import numpy as np
import pytest

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.airplane.card import Card
from lessonkit.drills.score import STILL_POINTS
from lessonkit.lessons.coordination.hand_flight import HandFlight, trims, yardsticks
from lessonkit.lessons.coordination.hand_program import (
    BANK_DEG,
    BOTH,
    CHANGING,
    FEET,
    HEADING,
    STRAIGHT,
    program,
    speed_range,
)
from lessonkit.lessons.coordination.panels import PANELS
from lessonkit.lessons.coordination.rolls import ASKED_LATE
from lessonkit.models.lateral_run import lateral_run
from lessonkit.panels import LessonContext

CARDS = built_in_cards()
KEYS = list(CARDS)


class Record:
    """A record that keeps what it is given."""

    def __init__(self):
        self.events = []

    def append(self, kind, data):
        self.events.append((kind, data))


@functools.cache
def airplane_of(key):
    return fit_airplane(CARDS[key])


def panel_of(key="rolls_by_hand", airplane=None, record=None):
    context = LessonContext(
        lesson="02_coordination",
        airplane=airplane or airplane_of(KEYS[0]),
        airfield=built_in_airfield(),
        record=record,
    )
    panel = PANELS[key](context)
    panel.skip_prediction()
    return panel


@pytest.fixture(scope="module")
def rolls():
    return panel_of()


@functools.cache
def usual_program(card=KEYS[0], task=HEADING, level=FEET, seed=4):
    airplane = airplane_of(card)
    speeds = speed_range(airplane)
    return program(task, level, airplane.lateral(), speeds, speeds[1], seed)


def feet_along(panel, needed, factor=1.0):
    """Slide the pedals along what is needed."""

    def each(t):
        index = round(t / 0.02)
        if index % 4 == 0:  # as often as a page sends it
            panel.hands.slide("rudder", float(np.clip(factor * needed[index], -1.0, 1.0)))

    return each


# ------------------------------------------------------------------ the run itself


def test_a_run_by_hand_moves_as_the_same_controls_move_the_bench():
    made = usual_program()
    flight = HandFlight(made)
    for t in made.time[:400]:
        flight.step(0.2 * np.sin(t), 0.3 * np.sin(0.7 * t))
    aileron0, rudder0 = trims(made)
    trace = flight.trace
    same = lateral_run(
        made.airplane,
        trace["aileron"] + aileron0,
        trace["rudder"] + rudder0,
        made.tas[:400],
        power=made.power[:400],
    )
    assert np.allclose(trace["bank_deg"], same.bank_deg, atol=1e-9)
    assert np.allclose(trace["heading_deg"], same.heading_deg, atol=1e-9)
    assert np.abs(same.bank_deg).max() > 3.0


def test_a_trimmed_airplane_that_nobody_touches_flies_straight():
    flight = HandFlight(usual_program())
    for _ in range(50):
        flight.step(0.0, 0.0)
    last = flight.last()
    assert abs(last["bank_deg"]) < 0.05 and abs(last["heading_deg"]) < 0.3
    assert trims(usual_program())[1] > 0.01  # power on: some right pedal is trimmed in


@pytest.mark.parametrize(
    "card", [KEYS[0], *(pytest.param(key, marks=pytest.mark.long) for key in KEYS[1:])]
)
def test_rolls_stay_near_the_heading_and_within_the_controls(card):
    known = yardsticks(usual_program(card))
    assert np.abs(known.ideal.heading_deg).max() < 15.0
    assert 0.9 * BANK_DEG < np.abs(known.ideal.bank_deg).max() < 1.1 * BANK_DEG
    assert np.abs(known.ideal.aileron).max() < 0.95 and np.abs(known.needed).max() < 0.95
    assert np.abs(known.ideal.sideslip_deg).max() < 0.3


def test_another_rhythm_is_another_run_and_the_same_is_the_same():
    one, other = usual_program(), usual_program(seed=5)
    same = program.__wrapped__(HEADING, FEET, one.airplane, (30.0, 35.0, 45.0), one.tas[0], 4)
    assert np.array_equal(one.bank_deg, same.bank_deg)
    assert not np.array_equal(one.bank_deg, other.bank_deg)


def test_where_speed_and_power_change_they_change():
    made = usual_program(level=CHANGING)
    assert np.ptp(made.tas) > 5.0 and np.ptp(made.power) > 0.5
    assert np.corrcoef(made.tas, made.power)[0, 1] < -0.9  # slower with more power
    straight = usual_program(task=STRAIGHT)
    assert np.ptp(straight.tas) == 0.0 and np.ptp(straight.power) > 0.5
    assert not straight.bank_deg.any()


# ------------------------------------------------------------------ set beforehand


def test_feet_still_get_what_the_scale_says_and_are_told_so(rolls):
    rolls.reset()
    assert rolls.result.score.points == pytest.approx(STILL_POINTS, abs=0.5)
    assert rolls.sentence.startswith("With the feet still: 25 points")
    assert "Your feet did not move" in rolls.result.advice.sentence()
    assert not rolls.result.by_hand


@pytest.mark.parametrize(
    "settings, kind, said",
    [
        ({"left": 1.0, "right": 1.0}, "coordinated", "came together"),
        ({"left": 1.0, "right": 1.0, "late": 0.4}, "late", "0.4 s after the stick"),
        ({"left": 0.4, "right": 1.0}, "one_sided", "In left rolls"),
        ({"left": 1.0, "right": 0.4}, "one_sided", "In right rolls"),
    ],
)
def test_feet_that_are_set_are_diagnosed_and_say_what_to_change(rolls, settings, kind, said):
    with rolls.hold():
        rolls.reset()
        for key, value in settings.items():
            rolls.control(key).set(value)
    assert rolls.result.diagnosis.kind == kind
    assert said in rolls.sentence.replace("\N{NO-BREAK SPACE}", " ")
    off, still = re.findall(r"(\d+)°", rolls.sentence)[-2:]
    assert int(off) <= int(still) == round(np.abs(rolls.result.beside.still["sideslip_deg"]).max())
    measured = rolls.scene.item("facts")["text"].replace("\N{NO-BREAK SPACE}", " ")
    for side in ("left", "right"):
        (share,) = re.findall(rf"{side} (\d+) %", measured)
        assert int(share) == pytest.approx(100.0 * settings[side], abs=6.0)


def test_points_fall_with_lateness_and_with_missing_rudder(rolls):
    def points(**settings):
        with rolls.hold():
            rolls.reset()
            for key, value in {"left": 1.0, "right": 1.0, **settings}.items():
                rolls.control(key).set(value)
        return rolls.result.score.points

    late = [points(late=late) for late in (0.0, 0.3, 0.6)]
    less = points(left=0.4, right=0.4)
    assert late[0] > 99.0 and late[0] > late[1] + 10.0 > late[2] + 20.0
    assert late[0] > less > STILL_POINTS


@pytest.mark.long
def test_the_prediction_is_answered_by_the_two_runs_it_asks_about():
    panel = PANELS["rolls_by_hand"](panel_of().context)
    panel.predict("half")
    shown = panel.prediction.prediction.outcome(panel.result)
    points = {}
    for name, settings in {
        "half": {"left": 0.5, "right": 0.5},
        "late": {"left": 1.0, "right": 1.0, "late": ASKED_LATE},
    }.items():
        with panel.hold():
            panel.reset()
            for key, value in settings.items():
                panel.control(key).set(value)
        points[name] = round(panel.result.score.points)
    assert f"half in time gives {points['half']} points" in shown
    assert f"all of it late {points['late']} points" in shown


def test_the_moment_only_moves_along_the_run(rolls):
    rolls.reset()
    before = rolls.result
    rolls.scene.grab("moment", 12.0, 0.0)
    assert rolls.control("moment").value == pytest.approx(12.0)
    assert rolls.scene.item("now")["x"][0] == pytest.approx(12.0, abs=0.02)
    assert np.array_equal(before.trace["heading_deg"], rolls.result.trace["heading_deg"])


# ------------------------------------------------------------------ by hand


def test_feet_that_follow_what_is_needed_get_points_and_are_kept():
    record = Record()
    panel = panel_of(record=record)
    panel.fly(feet_along(panel, yardsticks(usual_program()).needed), seconds=14.0)
    panel.stop()
    assert panel.result.by_hand and panel.result.score.points > 90.0
    assert panel.sentence.startswith(f"{round(panel.result.score.points)} points.")
    ((kind, data),) = [event for event in record.events if event[0] == "drill"]
    assert kind == "drill" and data["panel"] == "rolls_by_hand" and data["lesson"]
    assert data["points"] == round(panel.result.score.points) and data["source"] == "sliders"


def test_feet_on_the_wrong_side_are_told_the_side():
    panel = panel_of()
    panel.fly(feet_along(panel, yardsticks(usual_program()).needed, factor=-1.0), seconds=14.0)
    panel.stop()
    assert panel.result.diagnosis.kind == "wrong_side"
    assert panel.result.score.points < STILL_POINTS


def test_a_run_by_hand_stays_until_something_else_is_set():
    panel = panel_of()
    panel.fly(None, seconds=9.0)
    panel.stop()
    assert panel.result.by_hand
    panel.control("moment").slide(5.0)
    assert panel.result.by_hand
    panel.control("left").slide(1.0)
    assert not panel.result.by_hand


def test_a_short_run_is_not_judged_and_nothing_is_kept():
    record = Record()
    panel = panel_of(record=record)
    panel.fly(None, seconds=3.0)
    assert panel.flying
    panel.stop()
    assert not panel.flying and not panel.result.by_hand and not panel.error
    assert "too short" in panel.hands.view.note and record.events == []


def test_a_run_that_is_stopped_later_is_judged_as_far_as_it_went():
    panel = panel_of()
    panel.fly(None, seconds=12.0)
    panel.stop()
    assert panel.result.by_hand and len(panel.result.trace) == 600
    assert panel.result.diagnosis.kind == "still"


def test_moving_a_control_ends_the_run():
    panel = panel_of()
    panel.fly(None, seconds=2.0)
    panel.control("cas").set(panel.control("cas").high)
    assert not panel.flying and not panel.result.by_hand


def test_while_flying_no_trace_is_seen_and_the_kit_shows_its_stick():
    panel = panel_of()
    places = []

    def each(t):
        assert t < 0.1 or not {"needed", "used"} & set(panel.scene.names())
        places.append(panel.hands._shown.get("aileron", 0.0))

    panel.fly(each, seconds=6.0)
    assert panel.hands.flown == ("rudder",) and np.ptp(places) > 0.3
    assert "5 s of 30 s" in panel.sentence.replace("\N{NO-BREAK SPACE}", " ")
    panel.stop()


def test_with_both_the_stick_is_the_learners():
    panel = panel_of()
    panel.control("level").pick(BOTH)
    side = {0: 0.5, 1: 0.0, 2: -0.5, 3: 0.0}
    panel.fly(lambda t: panel.hands.slide("aileron", side[int(t / 0.8) % 4]), seconds=9.0)
    assert panel.hands.flown == ("aileron", "rudder")
    panel.stop()
    assert panel.result.trace["bank_deg"].max() > 5.0
    # What was needed belongs to the banks that were flown, not to a rhythm.
    assert np.allclose(panel.result.beside.ideal.bank_deg, panel.result.trace["bank_deg"], atol=1.0)


def test_a_roll_past_the_drill_ends_the_run_and_is_not_praised():
    panel = panel_of()
    panel.control("level").pick(BOTH)
    panel.fly(lambda t: panel.hands.slide("aileron", 1.0), seconds=20.0)
    assert not panel.flying and not panel.result.by_hand and panel._loop.t < 10.0
    assert "45°" in panel.hands.view.note and "12°" in panel.hands.view.note


def test_a_run_without_rolls_is_not_judged():
    panel = panel_of()
    panel.control("level").pick(BOTH)
    panel.fly(lambda t: panel.hands.slide("aileron", 0.05 if t < 0.5 else 0.0), seconds=10.0)
    panel.stop()
    assert not panel.result.by_hand and "Too few rolls" in panel.hands.view.note


def test_with_keys_there_are_no_points():
    record = Record()
    panel = panel_of(record=record)

    def each(t):
        key = "rudder+" if round(t) % 4 < 2 else "rudder-"
        panel.hands.release()
        panel.hands.press(key)

    panel.fly(each, seconds=9.0)
    panel.stop()
    assert panel.result.trace.source == "keys" and panel.result.points is None
    assert "points" not in panel.sentence and record.events[-1][1]["points"] is None


@pytest.mark.parametrize("tries, traces", [(2, True), (3, False)])
def test_traces_fade_after_the_first_tries(tries, traces):
    panel = panel_of()
    panel.task.tries[FEET] = tries
    panel.fly(None, seconds=9.0)
    panel.stop()
    assert ("used" in panel.scene.names()) is traces
    assert traces or "2 more tries" in panel.scene.item("later")["text"]


def test_an_error_in_a_run_ends_it_in_one_sentence(monkeypatch):
    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)
    panel = panel_of()
    panel.task.step = None
    panel._loop._step = lambda t, now: 1 / 0
    with pytest.raises(ZeroDivisionError):
        panel.fly(None, seconds=1.0)
    assert not panel.flying and panel.error and "Traceback" not in panel.error


# ------------------------------------------------------------------ the nose held straight


@pytest.mark.parametrize("turns, side", [("clockwise", "right"), ("counterclockwise", "left")])
def test_power_takes_the_pedal_that_the_propeller_asks_for(turns, side):
    card = Card({**CARDS[KEYS[0]].entries, "propeller.turns": turns})
    panel = panel_of("hold_straight", fit_airplane(card))
    shown = panel.prediction.prediction.outcome(panel.result)
    assert f"{side} pedal" in shown
    needed, power = panel.result.beside.needed, panel.result.program.power
    assert np.corrcoef(needed, power)[0, 1] * (1.0 if side == "right" else -1.0) > 0.95


def test_the_nose_that_nobody_holds_leaves_the_tower():
    panel = panel_of("hold_straight")
    assert np.abs(panel.result.trace["heading_deg"]).max() > 2.0
    assert np.abs(panel.result.trace["bank_deg"]).max() < 1.0
    assert "Your feet did not move" in panel.result.advice.sentence()


@pytest.mark.parametrize("key", ["rolls_by_hand", "hold_straight"])
def test_nothing_answers_the_question_before_the_learner(key):
    panel = PANELS[key](panel_of().context)
    assert "Answer the question first" in panel.sentence
    assert not {"needed", "used"} & set(panel.scene.names())
    panel.predict(panel.prediction.prediction.choices[0][0])
    assert "needed" in panel.scene.names() and "feet still" in panel.sentence


def test_a_prediction_stands_beside_a_run_by_hand_and_reset_puts_the_run_away():
    panel = PANELS["hold_straight"](panel_of().context)
    panel.predict("right")
    panel.fly(None)
    assert not panel.error and panel.result.by_hand and len(panel.result.trace) > 1490
    assert panel.sentence == panel.hands.view.note
    panel.reset()
    assert not panel.result.by_hand and panel.hands.view.note == ""
