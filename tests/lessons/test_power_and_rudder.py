"""The panel on power and rudder without a browser: the need, letting go, and what it says."""

import numpy as np
import pytest

from lessonkit.airplane import (
    built_in_airfield,
    built_in_cards,
    card_from_tables,
    card_to_tables,
    fit_airplane,
)
from lessonkit.lessons.coordination.power_and_rudder import power_and_rudder
from lessonkit.lessons.coordination.power_picture import causes_at
from lessonkit.panels import LessonContext
from lessonkit.units import mps_from_kt
from lessonkit.words import Preferences, say

CARDS = built_in_cards()
HIGH_WING = CARDS["high_wing_four_seat"]


def panel_of(card=HIGH_WING, *, asked=False, **changes):
    context = LessonContext(
        lesson="02_coordination",
        airplane=fit_airplane(card),
        airfield=built_in_airfield(),
        **changes,
    )
    panel = power_and_rudder(context)
    if not asked:
        panel.skip_prediction()
    return panel


def changed(section, **lines):
    tables = card_to_tables(HIGH_WING)
    for key, value in lines.items():
        if value is None:
            tables[section].pop(key, None)
        else:
            tables[section][key] = value
    return card_from_tables(tables)


@pytest.fixture(scope="module")
def built():
    return panel_of()


@pytest.fixture
def panel(built):
    built.reset()
    return built


def test_feet_that_stay_hold_the_nose_on_the_tower(panel):
    run = panel.result.run
    assert np.abs(run.heading_deg).max() < 0.05 and np.abs(run.sideslip_deg).max() < 0.05
    assert panel.result.needed > 0.1  # right pedal, slow at full power
    assert "right pedal" in panel.sentence
    assert "Feet off" not in panel.sentence
    assert abs(causes_at(panel.result)["sum"]) < 0.03  # nothing yaws it


def test_feet_that_come_off_let_the_nose_go_left(panel):
    panel.control("feet").set("off")
    flight = panel.result
    assert flight.swing_deg < -2.0
    assert flight.run.rudder[-1] == 0.0
    assert flight.run.bank_deg[-1] < flight.run.bank_deg[0]
    assert "to the left" in panel.sentence and "left wing follows" in panel.sentence
    causes = causes_at(flight)
    assert causes["power"] < 0.0 < causes["fin"]  # the fin stands against it by then
    assert causes["pedal"] == 0.0


def test_the_moment_moves_the_view_only(panel):
    panel.control("feet").set("off")
    run = panel.result.run
    panel.control("moment").slide(0.0)
    assert panel.result.run is run and panel.result.at == 0
    view = panel.scene.item("outside_tower")
    panel.control("moment").slide(8.0)
    assert panel.result.run is run
    assert np.mean(panel.scene.item("outside_tower")["x"]) > np.mean(view["x"]) + 2.0
    panel.scene.grab("moment", 2.0, 0.0)
    assert panel.control("moment").value == pytest.approx(2.0)


def test_speed_and_power_move_the_need(panel):
    slow = panel.result.needed
    panel.control("speed").type("100 kt")
    assert panel.result.needed < slow
    panel.control("power").slide(0.5)
    half = panel.result.needed
    panel.control("power").type("0 %")
    assert panel.result.needed < half
    assert "left pedal" in panel.sentence and "idling" in panel.sentence
    panel.scene.grab("speed", mps_from_kt(70.0), 0.3)
    assert panel.control("speed").value == pytest.approx(mps_from_kt(70.0), abs=0.3)


def test_higher_up_full_power_pulls_less_to_the_side(panel):
    low = panel.result.needed
    panel.control("altitude").type("10000 ft")
    assert panel.result.needed < low


def test_the_curves_drawn_are_those_computed(panel):
    panel.control("power").slide(0.6)
    now, full = panel.scene.item("need_now"), panel.scene.item("need_100")
    assert np.all(np.array(full["y"]) > np.array(now["y"]))
    assert np.interp(panel.values["speed"], now["x"], now["y"]) == pytest.approx(
        panel.result.needed, abs=0.01
    )


def test_prediction_is_answered_only_by_its_own_case():
    panel = panel_of()
    gate = panel.prediction.prediction
    assert gate.outcome(panel.result) is None
    panel.control("feet").set("off")
    assert "left" in gate.outcome(panel.result)
    panel.control("power").slide(0.5)
    assert gate.outcome(panel.result) is None


def test_nothing_tells_the_answer_before_it_is_given():
    panel = panel_of(asked=True)
    told = {"need_100", "need_now", "needed_text", "cause_power", "feet", "nose", "bank"}
    for key, value in (("speed", "70 kt"), ("power", "100 %")):
        panel.control(key).type(value)  # not even where something moves meanwhile
        assert panel.sentence == say("power_and_rudder.story.asked")
        assert not told & set(panel.scene.names())
    panel.predict("right")
    assert told <= set(panel.scene.names())
    assert "right pedal" in panel.sentence


def test_the_other_propeller_swings_the_nose_right():
    turning = panel_of(changed("propeller", turns="counterclockwise"))
    turning.control("feet").set("off")
    assert turning.result.swing_deg > 2.0 and "to the right" in turning.sentence


def test_without_the_engine_on_the_card_nothing_is_claimed():
    panel = panel_of(changed("propeller", diameter=None))
    assert panel.sentence == say("power_and_rudder.story.no_propeller")
    assert panel.last_error is None


def test_mph_and_decimal_comma():
    panel = panel_of(
        CARDS["low_wing_four_seat"], preferences=Preferences(speed_unit="mph", decimal_mark=",")
    )
    assert "mph" in panel.sentence and " kt" not in panel.sentence.replace("\u00a0", " ")
    panel.control("feet").set("off")
    assert f"{abs(panel.result.swing_deg):.1f}".replace(".", ",") in panel.sentence


@pytest.mark.long  # the low-wing airplane flies in the test of units
@pytest.mark.parametrize("key", ["low_wing_four_seat", "two_seat"])
def test_other_airplanes(key):
    panel = panel_of(CARDS[key])
    panel.control("feet").set("off")
    assert panel.last_error is None and panel.result.swing_deg < -1.0
