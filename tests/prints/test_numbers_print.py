"""The numbers page: every number of the airplane, its unit, its airspeed and its origin."""

import dataclasses
import re

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import built_in_cards, card_from_tables, card_to_tables, fit_airplane
from lessonkit.airplane import number_page as pages
from lessonkit.airplane.schema import ORIGINS
from lessonkit.prints import numbers_page as printed
from lessonkit.prints.numbers_page import numbers_page
from lessonkit.words import Preferences, say, show

AIRPLANES = {key: fit_airplane(card) for key, card in built_in_cards().items()}
PREFERENCES = [
    Preferences(),
    Preferences(speed_unit="mph", mass_unit="kg", decimal_mark=",", paper="A4"),
]


def cell_of(number, preferences):
    """How a number stands on the page, put together without the page's own code."""
    if number.value is None:
        return "–"
    letter = {
        "handbook": "H", "fitted": "F", "rule of thumb": "R",
        "measured in flight": "M", "invented": "I", "computed": "C",
    }[number.origin]  # fmt: skip
    airspeed = f" {number.airspeed}" if number.airspeed else ""
    return show(number.value, number.kind, preferences) + airspeed + letter


@pytest.mark.parametrize("preferences", PREFERENCES)
@pytest.mark.parametrize("key", AIRPLANES)
def test_every_number_stands_on_the_page(key, preferences):
    airplane = AIRPLANES[key]
    read = assert_harmless(numbers_page(airplane, preferences))
    cells = list(read.cells)
    found = pages.numbers(airplane, preferences)
    assert len(found) > 60
    for number in found:
        if number.key == "turn_delay":  # stands in each line of its table
            assert cells.count(cell_of(number, preferences)) >= 9
        else:
            cells.remove(cell_of(number, preferences))
    assert airplane.name in read.text


def row_of(read, head):
    """Return the cells of the table's row that begins with a head."""
    at = read.cells.index(head)
    return read.cells[at + 1 :]


def test_stalls_stand_under_their_bank_and_weight():
    airplane = AIRPLANES["high_wing_four_seat"]
    preferences = Preferences()
    read = assert_harmless(numbers_page(airplane, preferences))
    by_key = {number.key: number for number in pages.numbers(airplane, preferences)}
    heads = row_of(read, "Stall in level flight")[:5]
    assert heads == ["wings level", *(f"{bank}° of bank" for bank in (20, 30, 45, 60))]
    for name, flap, head in (
        ("today", 0, "flaps up, 2,200\u00a0lb"),
        ("today", 30, "flaps 30°, 2,200\u00a0lb"),
        ("max", 0, "flaps up, 2,400\u00a0lb"),
        ("max", 30, "flaps 30°, 2,400\u00a0lb"),
    ):
        keys = [f"stall_{name}_flap_{flap}_bank_{bank}" for bank in (0, 20, 30, 45, 60)]
        assert row_of(read, head)[:5] == [cell_of(by_key[key], preferences) for key in keys]


def test_turns_and_crosswind_stand_in_their_row_and_column():
    airplane = AIRPLANES["two_seat"]
    preferences = airplane.card.preferences()
    read = assert_harmless(numbers_page(airplane))
    by_key = {number.key: number for number in pages.numbers(airplane, preferences)}
    turn = ("turn_height_180", "turn_roll", "turn_delay", "turn_reserve_180", "turn_total_180")
    keys = [name if name == "turn_delay" else f"{name}_bank_45" for name in turn]
    expected = [cell_of(by_key[key], preferences) for key in (*keys, "turn_margin_bank_45")]
    assert row_of(read, "180° at 45° of bank")[:6] == expected
    assert row_of(read, "Wind off the runway by")[:3] == [f"{kt}\u00a0kt" for kt in (10, 15, 20)]
    for angle in (30, 45, 60, 90):
        keys = [f"crosswind_{wind}_at_{angle}" for wind in (10, 15, 20)]
        expected = [cell_of(by_key[key], preferences) for key in keys]
        row = next(
            read.cells[at + 1 : at + 4] for at, cell in enumerate(read.cells) if cell == f"{angle}°"
        )
        assert row == expected


def test_heights_of_a_turn_add_up_along_its_line():
    """A definition: turn, rolls and delay, and a quarter of turn and rolls or more on top."""
    airplane = AIRPLANES["low_wing_four_seat"]
    read = assert_harmless(numbers_page(airplane, Preferences()))
    for turn in (90, 180, 270):
        row = row_of(read, f"{turn}° at 30° of bank")[:5]
        turned, rolls, delay, reserve, total = (
            int(re.sub(r"\D", "", cell.partition("\u00a0")[0])) for cell in row
        )
        assert turned + rolls + delay + reserve == pytest.approx(total, abs=2)


def test_legend_explains_each_mark_that_occurs():
    airplane = AIRPLANES["high_wing_four_seat"]
    read = assert_harmless(numbers_page(airplane))
    used = {number.origin for number in pages.numbers(airplane)}
    legend = read.text.partition(say("prints.mark.title"))[2]
    for origin in ORIGINS:
        name = say(f"card.origin.{origin.replace(' ', '_')}")
        letter = say(f"prints.mark.{origin.replace(' ', '_')}")
        assert (f"{letter} {name}" in legend) == (origin in used)
    letters = [say(f"prints.mark.{origin.replace(' ', '_')}") for origin in ORIGINS]
    assert len(set(letters)) == len(ORIGINS)


def test_numbers_that_fit_no_table_are_listed_by_their_label(monkeypatch):
    """A number that is new to the page is not lost."""
    airplane = AIRPLANES["two_seat"]
    known = pages.numbers(airplane)
    fresh = dataclasses.replace(known[0], key="quite_new", label="A new <one>", group="turn")
    late = dataclasses.replace(known[0], key="newer", label="Another one", group="limits")
    monkeypatch.setattr(printed, "numbers", lambda *_: [*known, fresh, late])
    read = assert_harmless(numbers_page(airplane))
    assert "A new <one>" in read.cells and "Another one" in read.cells


@pytest.mark.parametrize("name", ["</td><script>x</script>", "\"'><b", "\u202eX\u2069", "W" * 60])
def test_name_of_the_airplane_stays_a_name(name):
    tables = card_to_tables(AIRPLANES["two_seat"].card)
    tables["airplane"]["name"] = name
    read = assert_harmless(numbers_page(fit_airplane(card_from_tables(tables))))
    assert read.tags == assert_harmless(numbers_page(AIRPLANES["two_seat"])).tags


def test_stall_without_table_is_a_dash():
    """IAS without a correction table: no stall speed in a turn, no margin."""
    tables = card_to_tables(AIRPLANES["high_wing_four_seat"].card)
    del tables["airspeed"]["flaps_up"], tables["airspeed"]["flaps_down"]
    airplane = fit_airplane(card_from_tables(tables))
    assert airplane.stall_cas(0.0) is None
    read = assert_harmless(numbers_page(airplane))
    assert row_of(read, "flaps up, 2,200\u00a0lb")[:5] == ["–"] * 5
    assert say("prints.mark.dash") in read.text
