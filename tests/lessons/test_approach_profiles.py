"""The panel with the two stabilised approaches, without a browser."""

import pytest

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.profiles import stabilised_profiles
from lessonkit.panels import LessonContext
from lessonkit.units import m_from_ft, mps_from_kt

CARDS = list(built_in_cards().values())


def built_for(card):
    context = LessonContext(
        lesson="07_power_off_approach", airplane=fit_airplane(card), airfield=built_in_airfield()
    )
    panel = stabilised_profiles(context)
    panel.skip_prediction()
    panel.settle()
    return panel


@pytest.fixture(scope="module")
def built():
    return built_for(CARDS[0])


@pytest.fixture
def panel(built):
    built.reset()
    built.settle()
    return built


def plain(text):
    return text.replace("\u00a0", " ")


def criterion(held, key):
    return next(one for one in held.criteria if one.key == key)


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.name)
def test_each_airplane_begins_with_two_approaches_that_go_on(card):
    started = built_for(card)
    assert started.result.powered.go_on
    assert started.result.power_off.go_on
    assert plain(started.sentence).count("go on") == 2
    assert started.last_error is None


def test_power_off_sinks_more_than_the_powered_profile_allows(panel):
    """The answer to the prediction, and why the power-off profile has no limit of sink."""
    both = panel.result
    assert criterion(both.power_off, "sink").value > both.values["sink_limit"]
    assert criterion(both.powered, "sink").value < both.values["sink_limit"]
    assert criterion(both.power_off, "sink").met


@pytest.mark.parametrize(("off_kt", "word"), [(12.0, "12 kt fast"), (-7.0, "7 kt slow")])
def test_speed_off_at_the_gate_means_go_around(panel, off_kt, word):
    panel.control("fast").set(mps_from_kt(off_kt))
    panel.settle()
    assert not panel.result.powered.go_on
    assert not panel.result.power_off.go_on
    assert plain(panel.sentence).count("go around") == 2
    assert word in plain(panel.sentence)


def test_ten_knots_fast_is_still_within_the_standard(panel):
    panel.control("fast").set(mps_from_kt(10.0))
    assert criterion(panel.result.powered, "speed").met


def test_late_flaps_are_seen_by_both(panel):
    panel.control("flaps_by").set(m_from_ft(200.0))
    panel.settle()
    assert not criterion(panel.result.powered, "flaps").met
    assert not criterion(panel.result.power_off, "flaps").met
    assert criterion(panel.result.powered, "speed").met


def test_lined_up_late_breaks_the_higher_gate_first(panel):
    panel.control("late").set(m_from_ft(400.0))
    panel.settle()
    assert not criterion(panel.result.powered, "lined_up").met
    assert criterion(panel.result.power_off, "lined_up").met
    panel.control("late").set(m_from_ft(150.0))
    panel.settle()
    assert not criterion(panel.result.power_off, "lined_up").met


def test_a_gate_above_the_final_is_said(panel):
    panel.control("power_off_gate").set(m_from_ft(500.0))
    panel.settle()
    assert "begins below its gate" in panel.sentence
    with pytest.raises(KeyError):
        panel.scene.item("power_off_path")
    panel.reset()
    assert panel.scene.item("power_off_path")


def test_verdicts_carry_a_sign_beside_the_colour(panel):
    panel.control("fast").set(mps_from_kt(12.0))
    panel.settle()
    rows = [panel.scene.item(f"powered_row_{row}")["text"] for row in range(4)]
    assert rows[1].startswith("✗")
    assert rows[0].startswith("✓")
    assert panel.scene.item("power_off_row_3")["text"].startswith("–")


def test_prediction_hears_the_sink():
    asked = stabilised_profiles(
        LessonContext(
            lesson="07_power_off_approach",
            airplane=fit_airplane(CARDS[0]),
            airfield=built_in_airfield(),
        )
    )
    with pytest.raises(KeyError):
        asked.scene.item("power_off_row_3")  # the picture keeps the answer to itself
    assert "Answer first" in asked.sentence
    asked.predict("sink")
    assert asked.scene.item("power_off_row_3")
    asked.settle()
    assert "allows 500 fpm" in plain(asked.prediction.text)
