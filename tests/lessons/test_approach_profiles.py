"""The panel with the two stabilised approaches, without a browser."""

import numpy as np
import pytest

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.profiles import stabilised_profiles
from lessonkit.lessons.power_off_approach.profiles_picture import criterion_text
from lessonkit.models.stabilised_approach import Criterion
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


@pytest.mark.parametrize("off_kt", [10.0, -5.0])
def test_the_edge_of_the_band_is_still_within(panel, off_kt):
    """+10/-5 kt: private standard of the normal landing."""
    panel.control("fast").set(mps_from_kt(off_kt))
    panel.settle()
    for held in (panel.result.powered, panel.result.power_off):
        assert criterion(held, "speed").met
        assert criterion(held, "speed").value == pytest.approx(mps_from_kt(off_kt), abs=0.01)
    panel.control("fast").set(mps_from_kt(off_kt) * 1.1)
    assert not criterion(panel.result.powered, "speed").met
    assert not criterion(panel.result.power_off, "speed").met


def test_late_flaps_are_seen_by_both(panel):
    panel.control("flaps_by").set(m_from_ft(200.0))
    panel.settle()
    assert not criterion(panel.result.powered, "flaps").met
    assert not criterion(panel.result.power_off, "flaps").met
    assert criterion(panel.result.powered, "speed").met
    assert "flaps only" in panel.sentence
    panel.control("flaps_by").set(m_from_ft(400.0))
    assert not criterion(panel.result.powered, "flaps").met  # gate 500 ft
    assert criterion(panel.result.power_off, "flaps").met  # gate 300 ft


def test_a_late_turn_costs_the_power_off_approach_its_gate_first(panel):
    panel.control("late").set(2.0)
    panel.settle()
    powered, power_off = (
        criterion(held, "lined_up") for held in (panel.result.powered, panel.result.power_off)
    )
    assert powered.met
    assert not power_off.met
    assert powered.value < m_from_ft(650.0)
    assert "lined up only at" in panel.sentence
    assert panel.result.power_off.final.offset.max() > 20.0  # beyond the centreline


def test_headwind_lowers_the_sink_with_power_and_raises_it_without(panel):
    """With power the path is held, power off the glide is: slower over the ground is steeper."""
    calm = panel.result
    panel.control("headwind").set(mps_from_kt(10.0))
    panel.settle()
    windy = panel.result
    assert criterion(windy.powered, "sink").value < criterion(calm.powered, "sink").value
    below = [
        both.power_off.final.height < both.power_off.profile.gate_height for both in (calm, windy)
    ]
    slopes = [
        np.polyfit(both.power_off.x[low], both.power_off.final.height[low], 1)[0]
        for both, low in zip((calm, windy), below, strict=True)
    ]
    assert slopes[1] < slopes[0] < 0.0
    assert windy.power_off.go_on


def test_the_turn_to_base_is_planned_for_the_wind(panel):
    """The path ends before the runway's mark in every wind for which a turn was found."""
    for wind in (0.0, 7.5, 15.0):
        panel.control("headwind").set(mps_from_kt(wind))
        panel.settle()
        held = panel.result.power_off
        assert 0.0 < held.x[-1] + m_from_ft(100.0) < m_from_ft(600.0)


def test_a_gate_above_the_final_is_said(panel):
    panel.control("power_off_gate").set(m_from_ft(600.0))
    panel.settle()
    assert "begins below its gate" in panel.sentence
    with pytest.raises(KeyError):
        panel.scene.item("power_off_path")
    assert panel.scene.item("power_off_row_0")["text"].startswith("✗ not met")
    assert "go around" in panel.scene.item("power_off_head")["text"]
    with pytest.raises(KeyError):
        panel.scene.item("power_off_row_1")
    panel.reset()
    assert panel.scene.item("power_off_row_3")
    assert panel.scene.item("power_off_path")


def test_verdicts_carry_a_sign_beside_the_colour(panel):
    panel.control("fast").set(mps_from_kt(12.0))
    panel.settle()
    rows = [panel.scene.item(f"powered_row_{row}")["text"] for row in range(4)]
    assert rows[1].startswith("✗ not met")
    assert rows[0].startswith("✓ met")
    assert panel.scene.item("power_off_row_3")["text"].startswith("– no limit")


def test_a_height_below_the_gate_never_reads_as_the_gate():
    """299 ft is not met and reads 290 ft."""
    one = Criterion("lined_up", False, m_from_ft(299.0), m_from_ft(300.0))
    assert "290 ft" in plain(criterion_text(one, built_for(CARDS[0]).context))


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
