"""The panel that practises at altitude, without a browser."""

from dataclasses import replace

import pytest

from lessonkit.airplane import built_in_airfield, built_in_cards, fit_airplane
from lessonkit.lessons.power_off_approach.altitude import practise_at_altitude
from lessonkit.lessons.power_off_approach.altitude_flights import usual_practice
from lessonkit.panels import LessonContext
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt

CARDS = list(built_in_cards().values())


def context_of(card=CARDS[0]):
    return LessonContext(
        lesson="07_power_off_approach", airplane=fit_airplane(card), airfield=built_in_airfield()
    )


@pytest.fixture(scope="module")
def built():
    panel = practise_at_altitude(context_of())
    panel.skip_prediction()
    panel.settle()
    return panel


@pytest.fixture
def panel(built):
    built.reset()
    built.settle()
    return built


def plain(text):
    return text.replace("\u00a0", " ")


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.name)
def test_each_airplane_starts_above_its_floor(card):
    started = practise_at_altitude(context_of(card))
    started.skip_prediction()
    practice = started.result.practice
    assert started.last_error is None
    assert practice.line_altitude >= practice.floor_altitude + m_from_ft(200.0) - 0.1
    assert ft_from_m(practice.line_altitude) % 500.0 == pytest.approx(0.0, abs=0.01)
    assert "never below 2,150 ft" in plain(started.sentence)  # field 650 ft, floor 1,500 ft


def test_too_low_a_runway_is_refused_with_the_cure_and_comes_back(panel):
    panel.control("line").set(m_from_ft(2000.0))
    panel.settle()
    assert panel.result.practice is None
    assert panel.sentence.count(".") == 1
    assert "choose 2,350 ft or higher" in plain(panel.sentence)
    with pytest.raises(KeyError):
        panel.scene.item("path")
    panel.control("line").set(m_from_ft(2400.0))
    assert panel.result.practice is not None
    assert panel.last_error is None


def test_a_higher_floor_lifts_the_lowest_runway(panel):
    panel.control("floor").set(m_from_ft(2500.0))
    assert "choose 3,350 ft or higher" in plain(panel.sentence)


def test_prediction_is_answered_at_the_asked_altitude():
    asked = practise_at_altitude(context_of())
    assert "wider" not in asked.sentence
    with pytest.raises(KeyError):
        asked.scene.item("field")
    asked.predict("wider")
    assert "wider" in asked.sentence
    assert asked.scene.item("field")
    asked.control("line").set(m_from_ft(6000.0))
    asked.settle()
    practice = asked.result.practice
    share = practice.turn_radius / practice.turn_radius_at_field - 1.0
    assert 0.12 < share < 0.22  # density ratio 0.836 at 6,000 ft against 0.981 at 650 ft
    assert f"{100 * share:.0f} % greater" in plain(asked.prediction.text)


def test_a_higher_runway_lifts_all_altitudes(panel):
    panel.control("line").set(m_from_ft(5000.0))
    assert "6,000 ft" in plain(panel.sentence)  # start 1,000 ft above it
    assert "5,300 ft" in plain(panel.sentence)  # the gate
    assert "5,000 ft" in plain(panel.scene.item("line_text")["text"])
    assert max(panel.scene.item("climb")["y"]) == pytest.approx(m_from_ft(1000.0), abs=1.0)


def test_what_lies_below_the_picture_is_written_at_its_edge(panel):
    assert panel.scene.item("floor")["y"] == [pytest.approx(m_from_ft(2150.0 - 2500.0), abs=1.0)]
    panel.control("line").set(m_from_ft(6000.0))
    with pytest.raises(KeyError):
        panel.scene.item("floor")
    texts = {key: panel.scene.item(f"{key}_text") for key in ("floor", "ground")}
    assert "3,850 ft below the imaginary runway" in plain(texts["floor"]["text"])
    assert "5,350 ft below the imaginary runway" in plain(texts["ground"]["text"])
    assert texts["floor"]["dy"] != texts["ground"]["dy"]
    panel.control("line").set(m_from_ft(2500.0))
    assert "below the imaginary runway" not in plain(panel.scene.item("floor_text")["text"])
    assert panel.scene.item("floor")


def test_right_traffic_is_seen_from_above_with_the_landing_to_the_left(panel):
    """Landing to the left of the picture, the pattern to the right of the landing is on top."""
    left = panel.scene.axes("plan")
    assert left.x[0] < left.x[1]
    assert left.y[0] > left.y[1]  # y grows to the right of the landing, downwards
    before = panel.callouts.rows[2]
    panel.control("side").set(-1.0)
    panel.settle()
    right = panel.scene.axes("plan")
    assert right.x[0] > right.x[1]
    assert right.y[0] < right.y[1]  # upwards: turned by half a turn, not mirrored
    assert max(panel.scene.item("path")["y"]) == pytest.approx(panel.values["abeam"], abs=1.0)
    base = panel.callouts.rows[2]
    assert base[:4] == before[:4]  # same times and heights, the other heading
    assert {plain(base[4]), plain(before[4])} == {"180°", "360°"}
    panel.reset()
    assert panel.scene.axes("plan").x == left.x


def test_callouts_stand_in_a_table(panel):
    rows = [[plain(text) for text in row] for row in panel.callouts.rows]
    assert [row[0] for row in rows][0] == "Abeam, power idle"
    assert rows[0][1:] == ["0 s", "1,000 ft", "3,500 ft", "090°"]
    assert rows[-1][0] == "Imaginary runway: power in"
    assert rows[-1][2:4] == ["0 ft", "2,500 ft"]
    gate = next(row for row in rows if row[0].startswith("Gate"))
    assert gate[2:4] == ["300 ft", "2,800 ft"]
    panel.control("line").set(m_from_ft(1500.0))
    assert panel.callouts.rows == []


def test_the_field_pattern_lies_inside_the_wider_one(panel):
    panel.control("line").set(m_from_ft(8000.0))
    panel.settle()
    flown, field = (panel.scene.item(name)["x"] for name in ("path", "field"))
    assert min(flown) < min(field) - 20.0


def test_lined_up_below_the_gate_means_go_around(panel):
    panel.control("abeam").set(m_from_ft(4500.0))
    panel.settle()
    assert "below the gate: go around" in panel.sentence
    assert panel.card.make() == ""
    assert "turn earlier" in panel.card.line.text
    panel.reset()
    assert "go around; turn earlier" not in panel.sentence


def test_card_for_the_knee_is_made_of_the_settings_shown(panel):
    panel.control("line").set(m_from_ft(4000.0))
    panel.control("heading").set(275.0)
    panel.settle()
    card = plain(panel.card.make())
    for text in ("4,000 ft", "5,000 ft", "4,300 ft", "275°", "095°"):
        assert text in card
    assert "is made" in panel.card.line.text
    panel.control("line").set(m_from_ft(4100.0))  # the card made is of other settings
    assert "is made" not in panel.card.line.text
    usual, _ = usual_practice(panel.context.airplane)
    assert usual.line_altitude == pytest.approx(m_from_ft(2500.0))
    assert usual.callouts[0].key == "abeam"


def test_no_card_below_the_floor(panel):
    panel.control("line").set(m_from_ft(1500.0))
    assert panel.card.make() == ""
    assert "choose it higher" in panel.card.line.text


def test_wind_is_named_and_a_pattern_that_does_not_fit_says_so(panel):
    panel.control("headwind").set(mps_from_kt(10.0))
    panel.settle()
    assert "often stronger" in panel.sentence
    with panel.hold():
        panel.control("headwind").set(mps_from_kt(25.0))
        panel.control("abeam").set(panel.control("abeam").high)
        panel.control("base_turn").set(panel.control("base_turn").high)
        panel.control("height").set(panel.control("height").low)
    panel.settle()
    assert "not lined up" in panel.sentence
    assert panel.last_error is None


def test_another_field_s_height_and_side_are_the_start():
    """A field at 5,000 ft with right traffic, and a line over a valley below it."""
    field = replace(built_in_airfield(), elevation=m_from_ft(5000.0), traffic="right")
    high = practise_at_altitude(replace(context_of(), airfield=field))
    high.skip_prediction()
    assert high.values["side"] == -1.0
    assert "faster through the air" in high.sentence
    assert high.values["line"] == pytest.approx(m_from_ft(7000.0))  # 5,000 + 1,700, rounded up
    with high.hold():
        high.control("ground").set(m_from_ft(1000.0))
        high.control("line").set(m_from_ft(3000.0))
    high.settle()
    assert "lower than the field" in high.sentence
    assert high.last_error is None
