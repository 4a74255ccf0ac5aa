"""Typed numbers: what is understood, and what is answered to the rest."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit import units
from lessonkit.words import KINDS, NumberError, Preferences, from_shown, read_number, show, to_shown

COMMA = Preferences(decimal_mark=",")
KT = units.mps_from_kt
FT = units.m_from_ft
NM = units.m_from_nm


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("54", "speed", KT(54)),
        (" 54 kt ", "speed", KT(54)),
        ("54 KNOTS", "speed", KT(54)),
        ("54 kts.", "speed", KT(54)),
        ("54.", "speed", KT(54)),
        ("62mph", "speed", units.mps_from_mph(62)),
        ("100 km/h", "speed", 100 / 3.6),
        ("1,5 nm", "distance_nm", NM(1.5)),
        ("1.5", "distance_nm", NM(1.5)),
        (".75", "distance_nm", NM(0.75)),
        ("0,750", "distance_nm", NM(0.75)),
        ("1 000", "height", FT(1000)),
        ("1\u00a0000 ft", "height", FT(1000)),
        ("1\u202f000 feet", "height", FT(1000)),
        ("1,000", "height", FT(1000)),
        ("1'000", "height", FT(1000)),
        ("1’000", "height", FT(1000)),
        ("1.000,5", "height", FT(1000.5)),
        ("1,000.5", "height", FT(1000.5)),
        ("12 345,5", "height", FT(12345.5)),
        ("1,250,000", "number", None),
        ("−5", "angle_deg", -5.0),
        ("–5", "angle_deg", -5.0),
        ("- 5", "angle_deg", -5.0),
        ("+5 deg", "angle_deg", 5.0),
        ("12º", "bank", 12.0),
        ("５４ｋｔ", "speed", KT(54)),
        ("٥٤", "speed", KT(54)),
        ("2300 pounds", "mass", units.kg_from_lb(2300)),
        ("1043 kg", "mass", 1043.0),
        ("300 m", "height", 300.0),
        ("1e3", "height", FT(1000)),
        ("9.6", "ratio", 9.6),
        ("9,6 : 1", "ratio", 9.6),
        ("9.6 to 1", "ratio", 9.6),
        ("20 %", "percent", 0.2),
        ("59 °F", "temperature", 288.15),
        ("15 C", "temperature", 288.15),
        ("1013.25 hPa", "pressure", 101325.0),
        ("174 sq ft", "area", units.m2_from_ft2(174)),
        ("2 minutes", "time_s", 120.0),
        ("-500 ft/min", "vertical_speed", units.mps_from_fpm(-500)),
        (54, "speed", KT(54)),
        (1.25, "distance_nm", NM(1.25)),
    ],
)
def test_understood(text, kind, value):
    if value is None:
        with pytest.raises(NumberError, match="has to lie between"):
            read_number(text, kind)
    else:
        assert read_number(text, kind) == pytest.approx(value, rel=1e-12)


class TestOneMarkAndThreeDigits:
    """ "1,000" may be one or a thousand."""

    def test_the_believable_one_is_taken(self):
        assert read_number("54.125", "speed") == pytest.approx(KT(54.125))
        assert read_number("1,250", "distance_nm") == pytest.approx(NM(1.25))

    def test_the_range_of_the_place_decides(self):
        low, high = FT(300), FT(3000)
        for preferences in (Preferences(), COMMA):
            for text in ("1,000", "1.000"):
                value = read_number(text, "height", preferences, low=low, high=high)
                assert value == pytest.approx(FT(1000))

    def test_the_other_mark_separates_thousands(self):
        assert read_number("1,000", "height") == pytest.approx(FT(1000))
        assert read_number("1.000", "height", COMMA) == pytest.approx(FT(1000))

    def test_the_own_mark_is_decimal_where_decimals_are_shown(self):
        assert read_number("1.250", "number") == pytest.approx(1.25)
        assert read_number("1,250", "number", COMMA) == pytest.approx(1.25)

    def test_it_asks_back_rather_than_guess_by_a_thousand(self):
        with pytest.raises(NumberError, match="could be 1.ft or 1,000.ft"):
            read_number("1.000", "height")


@pytest.mark.parametrize(
    ("text", "kind", "part"),
    [
        ("", "speed", "is empty: type a number, for example 65 kt."),
        ("   ", "speed", "is empty"),
        (None, "speed", "is empty"),
        ("abc", "speed", "cannot be read from “abc”"),
        ("kt 54", "speed", "cannot be read"),
        ("--5", "angle_deg", "cannot be read"),
        (True, "speed", "cannot be read"),
        ("<b>54</b>", "speed", "cannot be read"),
        ("54 <script>", "speed", "has the unit “<script>”, which is not known here"),
        ("54 kias", "speed", "has the unit “kias”, which is not known here"),
        ("54 kg", "speed", "is a speed and cannot be in kg: type it in kt"),
        ("54 ft", "speed", "is a speed and cannot be in ft"),
        ("54 kt", "height", "is a height and cannot be in kt: type it in ft"),
        ("1 mile", "distance_ft", "nautical or statute"),
        ("1e9", "speed", "is 1,000,000,000 kt but has to lie between 0 kt and 300 kt"),
        ("1e100", "speed", "is 1e100 but has to lie"),
        ("1e999", "speed", "is 1e999 but has to lie"),
        ("-1", "speed", "has to lie between"),
        ("NaN", "speed", "needs an ordinary number"),
        ("inf", "speed", "needs an ordinary number"),
        ("-∞", "speed", "needs an ordinary number"),
        ("not known", "speed", "needs an ordinary number"),
        ("54 60", "speed", "needs one number and “54 60” holds more"),
        ("60-40", "speed", "needs one number"),
        ("60 kt to 70 kt", "speed", "needs one number"),
        ("1:30", "time_s", "needs one number"),
        ("1,0,0", "speed", "needs one number"),
        ("1.00.000", "height", "needs one number"),
        ("½", "distance_nm", "holds the fraction ½: type it with a decimal mark"),
        ("9" * 2000, "speed", "is too long"),
        ("54\x00\x07", "count", None),
    ],
)
def test_answered_with_one_sentence(text, kind, part):
    if part is None:
        assert read_number(text, kind) == 54.0
        return
    with pytest.raises(NumberError) as caught:
        read_number(text, kind, name="Speed on base")
    sentence = str(caught.value).replace("\u00a0", " ")
    assert part in sentence
    assert sentence.startswith("Speed on base ")
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 160


def test_range_of_the_place_is_named_in_the_learners_unit():
    mph = Preferences(speed_unit="mph")
    with pytest.raises(NumberError, match="between 58.mph and 81.mph"):
        read_number("54", "speed", mph, low=KT(50), high=KT(70))


def test_ends_of_the_range_are_inside():
    low, high = FT(500), FT(2000)
    assert read_number("500", "height", low=low, high=high) == pytest.approx(low)
    assert read_number("2000 ft", "height", low=low, high=high) == pytest.approx(high)
    for text in ("499", "2001"):
        with pytest.raises(NumberError):
            read_number(text, "height", low=low, high=high)


def test_swapped_range_is_a_defect_of_the_caller():
    with pytest.raises(ValueError, match="swapped"):
        read_number("54", "speed", low=2.0, high=1.0)


def test_example_lies_in_the_range():
    with pytest.raises(NumberError, match="for example 95.kt"):
        read_number("", "speed", low=KT(90), high=KT(100))


PREFERENCES = st.builds(
    Preferences,
    speed_unit=st.sampled_from(["kt", "mph"]),
    mass_unit=st.sampled_from(["lb", "kg"]),
    decimal_mark=st.sampled_from([".", ","]),
)


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=40, deadline=None, derandomize=True)
@given(data=st.data(), preferences=PREFERENCES)
def test_what_is_shown_reads_back(kind, data, preferences):
    entry = KINDS[kind]
    step = 10.0**-entry.digits
    # Half a step away from the ends, so that rounding does not leave the range.
    low = to_shown(entry.low, kind, preferences) + step
    high = to_shown(entry.high, kind, preferences) - step
    shown = data.draw(st.floats(low, high))
    back = to_shown(
        read_number(
            show(from_shown(shown, kind, preferences), kind, preferences), kind, preferences
        ),
        kind,
        preferences,
    )
    difference = back - shown
    if kind == "heading_deg":
        difference = (difference + 180.0) % 360.0 - 180.0
    assert abs(difference) <= 0.5 * step * (1 + 1e-6)


@settings(max_examples=150, deadline=None, derandomize=True)
@given(text=st.text(max_size=30), kind=st.sampled_from(sorted(KINDS)))
def test_any_text_is_a_number_in_range_or_one_sentence(text, kind):
    try:
        value = read_number(text, kind)
    except NumberError as error:
        assert str(error).endswith(".")
        assert "\n" not in str(error)
    else:
        assert math.isfinite(value)
        slack = 1e-6 * max(abs(KINDS[kind].low), abs(KINDS[kind].high))
        assert KINDS[kind].low - slack <= value <= KINDS[kind].high + slack


def test_a_value_just_outside_does_not_look_like_the_end():
    # 100 km/h are 53.996 kt: by definition 1.852 km to a nautical mile.
    low, high = 54.0 * 1852.0 / 3600.0, 107.0 * 1852.0 / 3600.0
    with pytest.raises(NumberError) as caught:
        read_number("100 km/h", "speed", low=low, high=high)
    said = str(caught.value).replace("\u00a0", " ")
    assert "is 53.996 kt but has to lie between 54 kt and" in said
    with pytest.raises(NumberError, match="2.00.s but has to lie between −1.00.s and 1.00.s"):
        read_number("2", "time_s", low=-1.0, high=1.0, digits=2)
