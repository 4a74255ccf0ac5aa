"""The roll-in bench without a browser: each control, both sides, and what the sentence claims."""

import numpy as np
import pytest

from lessonkit.airplane import (
    built_in_airfield,
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.lessons.coordination.panels import PANELS
from lessonkit.lessons.coordination.roll_in_flights import BEGIN, DURATION, RollInBench
from lessonkit.lessons.coordination.roll_in_picture import causes_at
from lessonkit.lessons.coordination.roll_in_story import pulls
from lessonkit.models.lateral_run import coordinated_run, lateral_run
from lessonkit.panels import LessonContext
from lessonkit.words import Preferences, read_number

CARDS = built_in_cards()
HIGH_WING = next(iter(CARDS.values()))


class Record:
    """A record that keeps what it is given."""

    def __init__(self):
        self.events = []

    def append(self, kind, data):
        self.events.append((kind, data))


def built(card=HIGH_WING, **changes):
    context = LessonContext(
        "02_coordination",
        airplane=fit_airplane(card),
        airfield=built_in_airfield(),
        record=Record(),
        **changes,
    )
    return PANELS["roll_in_bench"](context)


@pytest.fixture(scope="module")
def made():
    panel = built()
    panel.skip_prediction()
    return panel


@pytest.fixture
def bench(made):
    made.reset()
    made.control("aileron").slide(0.6)
    yield made
    assert not made.error


def spoken_angle(sentence, before, after):
    return read_number(sentence.split(before)[1].split(after)[0].strip(), "angle_deg")


def test_aileron_alone_answers_why_the_nose_went_left(bench):
    flight = bench.result
    assert bench.sentence.startswith("Aileron right alone: the nose first goes")
    lowest = -flight.run.heading_deg[: int(3.0 / 0.05)].min()
    assert lowest > 1.0
    assert spoken_angle(bench.sentence, "first goes", "left") == pytest.approx(lowest, abs=0.06)
    assert "lowered aileron" in bench.sentence and "feet are still" in bench.sentence
    pull = pulls(flight)
    share = read_number(bench.sentence.split("like ")[1].split(" of full")[0], "percent")
    assert share == pytest.approx(pull["aileron"] + pull["roll"], abs=0.006)


def test_left_is_the_mirror_of_right(bench):
    bench.control("power").slide(0.0)
    right = bench.result.swing_deg
    bench.control("aileron").slide(-0.6)
    assert "Aileron left alone" in bench.sentence and f"{right:.1f}° right" in bench.sentence
    # A propeller at idle turns nothing, but fin offset and tabs stay: nearly a mirror.
    assert bench.result.swing_deg == pytest.approx(right, rel=0.15)
    assert bench.result.run.ball_deg.min() < -1.0, "the ball goes out to the left"


def test_pedal_with_the_aileron_keeps_the_nose_from_going_left(bench):
    still = bench.result
    bench.control("rudder").slide(0.6)
    with_feet = bench.result
    assert with_feet.swing_deg == 0.0 < still.swing_deg
    assert "does not go left" in bench.sentence
    assert np.abs(with_feet.run.sideslip_deg).max() < 0.6 * np.abs(still.run.sideslip_deg).max()
    bench.control("rudder").slide(-0.4)
    assert bench.result.swing_deg > still.swing_deg and "your own pedal" in bench.sentence


def test_late_feet_let_the_nose_swing_and_early_feet_lead_it(bench):
    bench.control("rudder").slide(0.5)
    together = np.abs(bench.result.run.sideslip_deg).max()
    bench.control("lag").slide(0.6)
    assert bench.result.swing_deg > 0.5 and "comes late" in bench.sentence
    assert "0.6\u00a0s after it" in bench.sentence
    first = np.argmax(np.abs(bench.result.run.rudder - bench.result.held[1]) > 0.01)
    assert bench.result.run.time[first] == pytest.approx(BEGIN + 0.65, abs=0.051)
    assert np.abs(bench.result.run.sideslip_deg).max() > together
    bench.control("lag").type("-0,6")
    assert "ahead of the wings" in bench.sentence and "0.6\u00a0s before it" in bench.sentence


def test_slower_hands_slip_less_and_a_longer_hold_banks_more(bench):
    quick = bench.result
    bench.control("aileron_time").slide(1.6)
    bench.control("hold").slide(0.0)
    assert bench.result.run.aileron.max() - bench.result.held[0] == pytest.approx(0.6)
    bench.control("aileron_time").slide(0.4)
    short = bench.result
    assert short.run.bank_deg.max() < quick.run.bank_deg.max()
    assert short.swing_deg < quick.swing_deg


def test_slower_flight_needs_more_pedal_for_the_same_aileron(bench):
    need = []
    for speed in (bench.control("speed").low, bench.control("speed").high):
        bench.control("speed").slide(speed)
        need.append(np.abs(bench.result.clean.rudder - bench.result.held[1]).max())
    # 6-DoF files: 1.75 to 2.5 times from 100 to 55 kt for half aileron.
    assert need[0] > 1.7 * need[1]


def test_power_is_held_before_the_roll_begins(bench):
    for power in (0.0, 1.0):
        bench.control("power").slide(power)
        before = bench.result.run.time < BEGIN
        assert np.abs(bench.result.run.heading_deg[before]).max() < 0.1
        assert np.abs(bench.result.run.bank_deg[before] - bench.result.run.bank_deg[0]).max() < 0.1
    assert bench.result.held[1] > 0.0, "full power takes right pedal"


def test_nothing_and_pedal_alone_are_said(bench):
    bench.control("aileron").slide(0.0)
    assert "Nothing moves yet" in bench.sentence
    assert np.abs(bench.result.run.heading_deg).max() < 0.1
    bench.control("rudder").slide(0.5)
    assert bench.sentence.startswith("Pedal alone, to the right")
    assert bench.result.run.heading_deg[40] > 1.0 and bench.result.run.ball_deg[30] < 0.0


def test_too_much_bank_for_the_speed_is_said(bench):
    bench.control("speed").slide(bench.control("speed").low)
    bench.control("aileron").slide(1.0)
    bench.control("rudder").slide(0.8)
    bench.control("hold").slide(1.6)
    assert bench.result.stalled and "would stall" in bench.sentence


def test_the_moment_moves_view_bars_and_line_but_flies_nothing_new(bench):
    run = bench.result.run
    heading = {}
    for at in (0.2, 1.8):
        bench.scene.grab("moment", at, 0.0)
        assert bench.values["moment"] == pytest.approx(at)
        sample = int(round(at / 0.05))
        heading[at] = run.heading_deg[sample]
        assert bench.scene.item("moment")["x"] == pytest.approx([at], abs=0.01)
        shape = bench.scene.item("outside_tower")["x"]
        tower = 0.5 * (shape[0] + shape[-1])  # its foot: the top leans with the bank
        assert tower == pytest.approx(-heading[at], abs=0.2)
        ball = np.mean(bench.scene.item("outside_ball")["x"])
        assert np.sign(round(ball, 1)) == np.sign(round(float(run.ball_deg[sample]), 1))
    assert bench.result.run is run
    assert heading[1.8] < heading[0.2] < 0.2
    assert "left of the tower" in bench.scene.item("nose_against_tower")["text"]


def test_the_bars_are_the_causes_and_add_up(bench):
    bench.scene.grab("moment", 1.0, 0.0)
    causes = causes_at(bench.result)
    assert causes["aileron"] < 0.0 and causes["roll"] < 0.0 < causes["fin"]
    assert causes["pedal"] == 0.0
    shown = sum(value for key, value in causes.items() if key != "sum")
    assert causes["sum"] == pytest.approx(shown)
    for key, value in causes.items():
        ends = bench.scene.item(f"cause_{key}")["x"]
        assert ends[1] == pytest.approx(value, abs=0.01)
    bench.control("rudder").slide(0.6)
    assert causes_at(bench.result)["pedal"] == pytest.approx(0.6)


def test_the_dashed_lines_are_clean_feet_with_the_same_hands(bench):
    flight = bench.result
    again = coordinated_run(
        fit_airplane(HIGH_WING).lateral(),
        flight.run.aileron,
        bench.values["speed"],
        power=bench.values["power"],
        step=0.05,
    )
    assert np.abs(flight.clean.sideslip_deg).max() < 1.0
    assert flight.clean.rudder == pytest.approx(again.rudder, abs=0.05)
    still = lateral_run(
        fit_airplane(HIGH_WING).lateral(),
        flight.run.aileron,
        flight.run.rudder,
        bench.values["speed"],
        power=bench.values["power"],
        step=0.05,
    )
    assert flight.run.bank_deg == pytest.approx(still.bank_deg, abs=1.0)
    assert bench.scene.item("nose_clean")["role"] == "reference"


@pytest.mark.parametrize("curves", ["rate", "load", "ball"])
def test_other_curves_can_be_chosen(bench, curves):
    bench.control("curves").pick("rate" if curves == "ball" else "ball")
    bench.control("curves").pick(curves)
    names = {
        "ball": {"sideslip_deg", "ball_deg"},
        "rate": {"yaw_rate_deg", "roll_rate_deg"},
        "load": {"lateral_load"},
    }
    shown = set(bench.scene.names())
    assert names[curves] <= shown
    assert not shown & set().union(*(n for key, n in names.items() if key != curves))


def test_the_prediction_is_held_against_what_came_out():
    panel = built()
    assert panel.scene.view.shown["locked"] and "left" not in panel.sentence
    panel.predict("right")
    assert "left first" not in panel.prediction.text, "nothing was moved yet"
    panel.control("aileron").slide(0.6)
    assert panel.prediction.text.endswith(f"left first, by {panel.result.swing_deg:.1f}°.")
    assert panel.context.record.events[0][1]["answer"] == "right"
    panel.control("rudder").slide(0.5)
    assert "left first" not in panel.prediction.text, "another case than the one asked about"


@pytest.mark.parametrize("card", list(CARDS.values())[1:], ids=list(CARDS)[1:])
def test_every_airplane_swings_the_wrong_way_first(card):
    bench = RollInBench(LessonContext("02_coordination", airplane=fit_airplane(card)))
    assert bench.compute({**bench.start, "aileron": 0.6}).swing_deg > 1.0


def test_a_card_without_a_certain_stall_speed_still_flies():
    tables = card_to_tables(HIGH_WING)
    del tables["airspeed"]["flaps_up"], tables["airspeed"]["flaps_down"]
    mine = Preferences(speed_unit="mph", decimal_mark=",")
    panel = built(card_from_tables(tables), preferences=mine)
    panel.control("aileron").slide(0.6)
    assert panel.result.swing_deg > 0.5 and not panel.error
    assert "mph" in panel.control("speed").text and "," in panel.sentence.split("left")[0]


def test_nothing_is_flown_that_did_not_change(bench):
    """What keeps a drag quick: clean feet do not depend on the learner's own."""
    flight = bench.result
    bench.control("rudder").slide(0.2)
    assert bench.result.run is not flight.run and bench.result.clean is flight.clean
    run = bench.result.run
    bench.control("curves").pick("rate")
    assert bench.result.run is run
    bench.control("speed").slide(bench.control("speed").high)
    assert bench.result.run is not run and bench.result.clean is not flight.clean
    assert bench.control("moment").high == pytest.approx(DURATION)


@pytest.mark.parametrize("aileron", [0.6, -0.6])
def test_clean_feet_do_not_keep_the_ball_still_and_that_is_said(bench, aileron):
    bench.control("aileron").slide(aileron)
    flight = bench.result
    begun = flight.run.time >= BEGIN
    ends = BEGIN + flight.values["hold"] + 2.0 * flight.values["aileron_time"]
    out = np.abs(flight.clean.ball_deg[begun & (flight.run.time <= ends)]).max()
    assert np.abs(flight.clean.sideslip_deg).max() < 0.5 < 0.8 < out < 3.0
    assert f"up to {out:.1f}° out even with coordinated feet" in bench.sentence
    assert "nose against the horizon is the cue" in bench.sentence


def test_pedal_alone_is_a_skid(bench):
    bench.control("aileron").slide(0.0)
    bench.control("rudder").slide(0.5)
    # as in a turn: the ball goes out on the side away from the foot and from the turn
    assert bench.result.run.ball_deg[bench.result.rolling].min() < -0.5
    assert "skids" in bench.sentence and "even with coordinated feet" not in bench.sentence


SLOW_AND_FULL = [(1.0, 0.0), (-1.0, 0.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0), (0.4, 0.0)]


@pytest.mark.parametrize("aileron, rudder", SLOW_AND_FULL)
def test_no_curve_of_the_learner_leaves_its_picture(bench, aileron, rudder):
    bench.control("speed").slide(bench.control("speed").low)
    bench.control("aileron").slide(aileron)
    bench.control("rudder").slide(rudder)
    for name, axes in (("nose", "nose"), ("bank", "bank"), ("sideslip_deg", "last"),
                       ("rudder", "hands"), ("needed", "hands")):  # fmt: skip
        low, high = bench.scene.axes(axes).y
        drawn = np.array(bench.scene.item(name)["y"])
        assert low <= drawn.min() and drawn.max() <= high, name
    ends = bench.scene.axes("hands").y
    assert ends[1] - ends[0] == 2.0 or aileron * rudder < 0.0, "else the axis has no 100 %"
    clean = np.abs(bench.result.clean.heading_deg).max()
    said = bench.scene.item("nose_clean_text")["text"]
    low, high = bench.scene.axes("nose").y
    assert (f"on to {clean:.0f}°" in said) == (clean > (high if aileron > 0.0 else -low))


def test_the_stop_is_drawn_where_full_pedal_is_not_enough(bench):
    assert "stop_right" not in bench.scene.names()
    bench.control("speed").slide(bench.control("speed").low)
    bench.control("aileron").slide(1.0)
    assert "Full pedal is not enough" in bench.sentence
    stop = bench.scene.item("stop_right")["y"][0]
    needed = np.array(bench.scene.item("needed")["y"])
    assert stop == pytest.approx(needed.max(), abs=0.005) and stop < 0.9, "trim took its part"
    assert "stop_left" not in bench.scene.names()
    bench.control("aileron").slide(0.3)
    assert not {"stop_right", "stop_right_text"} & set(bench.scene.names())


@pytest.mark.parametrize("moment, slow", [(0.5, 1), (1.1, 0), (2.0, 1), (3.15, 1), (4.5, 0)])
def test_the_ring_hides_no_name_and_names_never_meet(bench, moment, slow):
    """In large type, the wider one: 10.6 pixels a letter, 15 up and 5 down from the base line."""
    speed = bench.control("speed")
    speed.slide(speed.low if slow else speed.value)
    for aileron in (0.6, 1.0, -1.0):
        bench.control("aileron").slide(aileron)
        bench.control("moment").slide(moment)
        settled = bench.scene.axes("hands")
        wide, tall = map(abs, bench.scene.pixel_size("hands"))
        boxes = [(moment / wide - 12, moment / wide + 12, settled.y[1] / tall - 12,
                  settled.y[1] / tall + 12)]  # fmt: skip
        stop = sorted({"stop_left", "stop_right"} & set(bench.scene.names()))
        for name in ("aileron", "needed", "rudder", *stop):
            item = bench.scene.item(f"{name}_text")
            x, y = item["x"][0] / wide + item["dx"], (settled.y[1] - item["y"][0]) / tall
            box = (x, x + 10.6 * len(item["text"]), y + item["dy"] - 14, y + item["dy"] + 4)
            assert box[2] > -2.0, f"{name} runs into the title"
            for other in boxes:
                apart = box[1] < other[0] or other[1] < box[0] or box[3] < other[2]
                assert apart or other[3] < box[2], (name, aileron)
            boxes.append(box)
