"""The airfield, and what comes with the kit."""

import subprocess
import sys

import pytest

from lessonkit.airplane import (
    Airfield,
    CardError,
    airfield_from_text,
    built_in_airfield,
    built_in_card,
    built_in_cards,
    read_airfield,
)
from lessonkit.airplane.airfield import airfield_to_toml
from lessonkit.units import m_from_ft

GOOD = """
[airfield]
name = "Meadow"
elevation = 650
[runway]
length = 3000
width = "60 ft"
heading = 360
traffic = "right"
"""


def test_airfield_is_read_in_si():
    field = airfield_from_text(GOOD)
    assert field.elevation == pytest.approx(m_from_ft(650.0))
    assert field.runway_length == pytest.approx(m_from_ft(3000.0))
    assert field.heading_deg == 0.0 and field.traffic == "right" and field.side == -1.0
    assert built_in_airfield().side == 1.0


@pytest.mark.parametrize("field", [built_in_airfield(), airfield_from_text(GOOD)])
def test_airfield_round_trip(field):
    assert airfield_from_text(airfield_to_toml(field)) == field


@pytest.mark.parametrize(
    ("old", "new", "part"),
    [
        ('name = "Meadow"', "", "airfield.name"),
        ("elevation = 650", 'elevation = "high"', "airfield.elevation"),
        ("elevation = 650", "elevation = 90000", "airfields lie between"),
        ("length = 3000", "length = -1", "runways for this lesson"),
        ("length = 3000", "length = nan", "ordinary number"),
        ("heading = 360", "heading = 400", "headings run"),
        ('traffic = "right"', 'traffic = "up"', '"left", "right"'),
        ('traffic = "right"', "colour = 3", "colour is not a line"),
        ('width = "60 ft"', "width = 250\n", None),
        ("length = 3000", "length = 900", None),
        ("[runway]", "[runways]", "runways"),
    ],
)
def test_bad_airfield_gets_one_sentence(old, new, part):
    text = GOOD.replace(old, new)
    if part is None:
        # Each is possible alone; together they are not.
        text = GOOD.replace("length = 3000", "length = 900").replace('"60 ft"', "250")
        part = "swapped"
    with pytest.raises(CardError) as caught:
        airfield_from_text(text, "meadow.toml")
    sentence = str(caught.value)
    assert sentence.startswith("meadow.toml: ") and sentence.endswith(".") and part in sentence


def test_missing_airfield_file(tmp_path):
    with pytest.raises(CardError, match="none.toml: this file does not exist"):
        read_airfield(tmp_path / "none.toml")


def test_built_in_airplanes_are_marked_as_invented():
    cards = built_in_cards()
    assert list(cards) == ["high_wing_four_seat", "low_wing_four_seat", "two_seat"]
    for card in cards.values():
        assert card.text("airplane.origin") == "invented"
        figures = [entry for entry in card.entries.values() if hasattr(entry, "origin")]
        assert figures and {figure.origin for figure in figures} == {"invented"}
    assert built_in_airfield().origin == "invented"
    assert isinstance(built_in_airfield(), Airfield)


def test_unknown_and_missing_built_in_cards(tmp_path):
    with pytest.raises(CardError, match="choose one of high_wing_four_seat"):
        built_in_card("../../secret")
    for load in (built_in_cards, built_in_airfield):
        with pytest.raises(CardError, match="unpack the whole kit again"):
            load(folder=tmp_path)


def test_loading_a_card_loads_nothing_heavy():
    code = (
        "import sys\n"
        "from lessonkit.airplane import built_in_cards, fit_airplane, numbers, airplane_text\n"
        "airplane_text(fit_airplane(built_in_cards()['two_seat']))\n"
        "heavy = {'scipy', 'pandas', 'matplotlib', 'ipywidgets', 'IPython', 'tomlkit'}\n"
        "print(sorted(heavy & {name.partition('.')[0] for name in sys.modules}))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout.strip() == "[]"
