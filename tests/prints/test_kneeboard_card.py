"""The kneeboard card: altitudes, callouts, speeds on the dial, and what is agreed before."""

from dataclasses import replace

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import built_in_cards, card_from_tables, card_to_tables, fit_airplane
from lessonkit.lessons.power_off_approach.altitude_flights import usual_practice
from lessonkit.models.altitude_practice import LEAST_FLOOR
from lessonkit.models.wind_profile import Wind
from lessonkit.prints.kneeboard import NOTES, TRIES, kneeboard_card
from lessonkit.units import m_from_ft, mps_from_kt
from lessonkit.words import Preferences, say, say_all, show

AIRPLANES = {key: fit_airplane(card) for key, card in built_in_cards().items()}
PRACTICES = {key: usual_practice(airplane) for key, airplane in AIRPLANES.items()}
COMMA = Preferences(speed_unit="mph", mass_unit="kg", decimal_mark=",", paper="A4")


def printed(key="high_wing_four_seat", preferences=COMMA, **more):
    practice, wind = PRACTICES[key]
    wind = more.pop("wind", wind)
    return assert_harmless(kneeboard_card(AIRPLANES[key], practice, preferences, wind=wind, **more))


@pytest.mark.parametrize("preferences", [Preferences(), COMMA])
@pytest.mark.parametrize("key", AIRPLANES)
def test_every_callout_stands_in_its_row(key, preferences):
    read = printed(key, preferences)
    practice, _ = PRACTICES[key]
    assert len(practice.callouts) >= 6
    for call in practice.callouts:
        at = read.cells.index(say(f"prints.kneeboard.point.{call.key}"))
        assert read.cells[at + 1 : at + 5] == [
            show(call.time, "time_s", preferences),
            show(call.height, "height", preferences, digits=-1),
            show(call.altitude, "height", preferences, digits=-1),
            show(call.heading_deg, "heading_deg", preferences),
        ]


def test_altitudes_stand_under_their_names():
    practice, _ = PRACTICES["two_seat"]
    text = printed("two_seat").text
    for name, altitude in (
        ("Start", practice.start_altitude),
        ("Lined up by", practice.go_around_altitude),
        ("Power on", practice.line_altitude),
        ("Floor", practice.floor_altitude),
    ):
        shown = show(altitude, "height", COMMA).replace("\u00a0", " ")
        assert f"{name} {shown}" in text


@pytest.mark.parametrize("key", AIRPLANES)
def test_speeds_and_flaps_are_the_plans_as_the_dial_shows_them(key):
    airplane, plan = AIRPLANES[key], PRACTICES[key][0].approach.plan
    read = printed(key)
    for leg, cas, flap in (
        ("Downwind", plan.downwind_cas, plan.downwind_flap_deg),
        ("Base", plan.base_cas, plan.base_flap_deg),
        ("Final", plan.final_cas, plan.final_flap_deg),
    ):
        speed, kind = airplane.shown_speed(cas, flap)
        at = read.cells.index(leg)
        assert read.cells[at + 1] == f"{show(speed, 'speed', COMMA)} {kind}"
        assert read.cells[at + 2] == show(flap, "flap_deg", COMMA)
    assert ("IAS" in read.text) == (airplane.shown_speed(30.0)[1] == "IAS")


@pytest.mark.parametrize(("off", "said"), [(-40.0, "before"), (40.0, "beyond")])
def test_made_is_counted_from_the_side_on_which_a_good_approach_passes(off, said):
    practice, wind = PRACTICES["two_seat"]
    flown = practice.approach
    passed = replace(flown.touchdown, x=flown.plan.mark_x + off)
    practice = replace(practice, approach=replace(flown, touchdown=passed))
    text = assert_harmless(kneeboard_card(AIRPLANES["two_seat"], practice, wind=wind)).text
    assert f"130 ft {said} the chosen point" in text  # 40 m


@pytest.mark.parametrize(
    ("induction", "heat"), [("carburettor", True), ("injected", False), (None, False)]
)
def test_carburettor_heat_only_with_a_carburettor(induction, heat):
    tables = card_to_tables(AIRPLANES["two_seat"].card)
    tables["engine"].pop("induction", None)
    if induction:
        tables["engine"]["induction"] = induction
    airplane = fit_airplane(card_from_tables(tables))
    read = assert_harmless(kneeboard_card(airplane, PRACTICES["two_seat"][0]))
    assert ("Carburettor heat" in read.text) == heat
    assert "clear the engine" in read.text


def test_what_is_agreed_before_stands_on_the_card():
    text = printed().text
    for part in ("controls", "clearing turns", "Floor", "go around", "Made:", "Missed:"):
        assert part in text
    for sentence in say_all("common.caution"):
        assert sentence in text


def test_speed_limits_of_made_are_those_of_the_standard():
    """Normal landing: +10/-5 kt, ACS Private PA.IV.B (read in transcriptions)."""
    assert "−5 kt and +10 kt" in printed(preferences=Preferences()).text
    assert "−6 mph and +12 mph" in printed().text


def test_wind_is_named_with_its_sides():
    assert "Computed in still air." in printed().text
    wind = Wind(along=-mps_from_kt(8.0), across=mps_from_kt(3.0))
    text = printed(wind=wind).text
    assert "headwind on final of 8 kt and a crosswind from the left of 3 kt" in text
    assert "Computed" not in printed(wind=None).text


def test_there_is_room_to_write():
    read = printed()
    assert read.attributes.count(("div", "class", "rule")) == NOTES
    assert all(str(number) in read.cells for number in range(1, TRIES + 1))
    assert ("span", "class", "blank short") in read.attributes


@pytest.mark.parametrize("key", AIRPLANES)
def test_usual_practice_keeps_the_floor_at_a_round_altitude(key):
    practice, wind = PRACTICES[key]
    assert practice.floor_altitude == practice.ground_elevation + LEAST_FLOOR
    assert practice.line_altitude >= practice.floor_altitude + m_from_ft(200.0) - 1e-6
    assert (practice.line_altitude / m_from_ft(500.0)) % 1.0 == pytest.approx(0.0, abs=1e-9)
    assert practice.line_altitude < practice.floor_altitude + m_from_ft(700.0)
    assert wind == replace(wind, along=0.0, across=0.0)


@pytest.mark.parametrize("name", ["</section><script>x</script>", '"><i', "W" * 60])
def test_name_of_the_airplane_stays_a_name(name):
    tables = card_to_tables(AIRPLANES["two_seat"].card)
    tables["airplane"]["name"] = name
    airplane = fit_airplane(card_from_tables(tables))
    read = assert_harmless(kneeboard_card(airplane, PRACTICES["two_seat"][0], COMMA))
    assert read.tags == printed("two_seat", wind=None).tags
    assert read.text.count(name) == 2  # on both halves


@pytest.mark.parametrize("key", sorted(AIRPLANES))
def test_speeds_without_a_correction_table_say_that_the_dial_may_differ(key):
    airplane = AIRPLANES[key]
    html = kneeboard_card(airplane, PRACTICES[key][0])
    table = airplane.shown_speed(airplane.best_glide_cas())[1] == "IAS"
    assert ("the dial can read otherwise" in html) is not table
