"""Numbers as text: rounding, marks, units, and what is not a number."""

import math
from decimal import Decimal

import numpy as np
import pytest

from lessonkit import units
from lessonkit.words import KINDS, Preferences, from_shown, show, to_shown, unit_of
from lessonkit.words.kinds import UNITS
from lessonkit.words.numbers import rounded

COMMA = Preferences(decimal_mark=",")
MPH_KG = Preferences(speed_unit="mph", mass_unit="kg")


def spaced(text):
    """The text with ordinary spaces, easier to write in a test."""
    return text.replace("\u00a0", " ")


# Expected texts follow from the definitions: 1 ft = 0.3048 m (international yard and pound
# agreement, 1959), 1 nm = 1852 m, 1 sm = 1609.344 m, 1 lb = 0.45359237 kg.
@pytest.mark.parametrize(
    ("value", "kind", "preferences", "text"),
    [
        (1852 / 3600 * 54, "speed", Preferences(), "54 kt"),
        (1609.344 / 3600 * 62, "speed", MPH_KG, "62 mph"),
        (1852 / 3600 * 12, "wind_speed", MPH_KG, "12 kt"),
        (0.3048 / 60 * -640, "vertical_speed", Preferences(), "−640 fpm"),
        (304.8, "height", Preferences(), "1,000 ft"),
        (304.8, "height", COMMA, "1.000 ft"),
        (304.8 * 1234.5678, "height", COMMA, "1.234.568 ft"),
        (1852 * 1.25, "distance_nm", COMMA, "1,25 nm"),
        (0.45359237 * 2300, "mass", Preferences(), "2,300 lb"),
        (1043.4, "mass", MPH_KG, "1,043 kg"),
        (33.04, "angle_deg", Preferences(), "33.0°"),
        (-30.0, "bank", Preferences(), "−30°"),
        (5.0, "heading_deg", Preferences(), "005°"),
        (359.7, "heading_deg", Preferences(), "360°"),
        (0.2, "heading_deg", Preferences(), "360°"),
        (-90.0, "heading_deg", Preferences(), "270°"),
        (9.62, "ratio", Preferences(), "9.6 : 1"),
        (0.055, "percent", Preferences(), "6 %"),
        (1.414, "load_factor", Preferences(), "1.41 g"),
        (2300, "rpm", Preferences(), "2,300 rpm"),
        (745.7 * 160, "power", Preferences(), "160 hp"),
        (0.3048**2 * 174, "area", Preferences(), "174 ft²"),
        (288.15, "temperature", Preferences(), "15 °C"),
        (263.15, "temperature", Preferences(), "−10 °C"),
        (101325.0, "pressure", Preferences(), "29.92 inHg"),
        (2700.0, "time_min", Preferences(), "45 min"),
        (0.8349, "number", Preferences(), "0.83"),
        (3, "count", Preferences(), "3"),
    ],
)
def test_shown(value, kind, preferences, text):
    assert spaced(show(value, kind, preferences)) == text


def test_space_before_the_unit_does_not_break():
    assert show(304.8, "height") == "1,000\u00a0ft"


@pytest.mark.parametrize("value", [None, math.nan, np.float64("nan")])
def test_unknown_is_said(value):
    assert show(value, "speed") == "not known"


@pytest.mark.parametrize("value", [math.inf, -math.inf])
def test_infinite_is_said(value):
    assert show(value, "distance_ft") == "without limit"


def test_half_is_rounded_away_from_zero_after_conversion():
    for half in range(1, 400):
        value = units.mps_from_kt(half + 0.5)
        assert show(value, "speed", unit=False) == str(half + 1)
        assert show(-value, "speed", unit=False) == "−" + str(half + 1)


def test_never_minus_zero():
    assert show(-0.01, "height", unit=False) == "0"
    assert show(-0.0, "height", unit=False) == "0"
    assert show(-0.04, "angle_deg") == "0.0°"


def test_digits_sign_and_bare_number():
    assert show(units.m_from_ft(237.0), "height", digits=-1, unit=False) == "240"
    assert show(units.m_from_ft(200.0), "height", sign=True, unit=False) == "+200"
    assert show(0.0, "height", sign=True, unit=False) == "0"
    assert show(1.5, "number", digits=3) == "1.500"


def test_numpy_numbers_are_shown():
    assert show(np.float32(54 * 1852 / 3600), "speed", unit=False) == "54"
    assert show(np.array(3.0), "count") == "3"


def test_unknown_kind_is_a_defect_with_its_name():
    with pytest.raises(KeyError, match="furlongs"):
        show(1.0, "furlongs")


def test_units_follow_preferences():
    assert unit_of("speed") == "kt"
    assert unit_of("speed", MPH_KG) == "mph"
    assert unit_of("mass", MPH_KG) == "kg"
    assert unit_of("wind_speed", MPH_KG) == "kt"


@pytest.mark.parametrize("kind", KINDS)
def test_conversion_goes_both_ways_for_arrays(kind):
    shown = np.array([0.0, 1.0, 12.5])
    back = to_shown(from_shown(shown, kind, MPH_KG), kind, MPH_KG)
    np.testing.assert_allclose(back, shown, rtol=1e-12, atol=1e-9)


def test_kinds_are_believable():
    for name, kind in KINDS.items():
        assert kind.low < kind.high, name
        assert kind.low <= kind.example <= kind.high, name


def test_units_of_one_dimension_are_spelled_differently():
    spelled = {}
    for unit in UNITS.values():
        for word in {unit.symbol.casefold(), *unit.words} - {""}:
            assert word == word.casefold()
            assert spelled.setdefault((unit.dimension, word), unit) is unit


def test_rounded_keeps_the_digits_asked_for():
    assert rounded(2.675, 2) == Decimal("2.68")
    assert str(rounded(5.0, 2)) == "5.00"
    assert rounded(1250.0, -2) == 1300
    assert rounded(-1e308, 2) == Decimal("-1e308")
    assert rounded(1e308, -1) == Decimal("1e308")
