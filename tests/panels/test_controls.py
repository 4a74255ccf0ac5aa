"""Controls: value, slider and typed field always agree; bad typing changes nothing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.panels import Check, Choice, NumberControl
from lessonkit.units import METRES_PER_NAUTICAL_MILE as NM
from lessonkit.units import kt_from_mps, mps_from_kt
from lessonkit.words import Preferences

KNOTS = Preferences()


def speed(preferences=KNOTS):
    return NumberControl(
        "speed",
        "Speed on final",
        "speed",
        value=mps_from_kt(65.0),
        low=mps_from_kt(50.0),
        high=mps_from_kt(90.0),
        step=mps_from_kt(1.0),
        preferences=preferences,
    )


def spaced(text):
    return text.replace("\u00a0", " ")


def test_it_shows_value_unit_and_range():
    control = speed()
    assert spaced(control.field.value) == "65 kt"
    assert spaced(control.range_text) == "50 kt to 90 kt"
    assert (control.slider.min, control.slider.max, control.slider.step) == (50.0, 90.0, 1.0)


def test_a_learner_who_thinks_in_mph_sees_mph():
    control = speed(Preferences(speed_unit="mph"))
    # 65 kt are 74.8 mph: 65 * 1852 / 1609.344 by definition of both miles.
    assert spaced(control.field.value) == "75 mph"
    assert control.slider.value == 75.0, "on a step, while the value stays exact"
    assert kt_from_mps(control.value) == pytest.approx(65.0)
    # 50 kt are 57.5 mph and 90 kt are 103.6: whole miles inside that range.
    assert spaced(control.range_text) == "58 mph to 103 mph"
    assert control.slider.step == 1.0
    control.type("80")
    assert kt_from_mps(control.value) == pytest.approx(80.0 * 1609.344 / 1852.0)


def test_moving_the_slider_changes_value_and_text():
    control, calls = speed(), []
    control.on_change(lambda: calls.append(control.value))
    control.slide(mps_from_kt(72.0))
    assert kt_from_mps(control.value) == pytest.approx(72.0)
    assert spaced(control.field.value) == "72 kt"
    assert len(calls) == 1, "one change, one call"


@pytest.mark.parametrize(
    "typed, knots", [("72", 72.0), ("72 kt", 72.0), ("71,5", 71.5), ("71.5 kts", 71.5)]
)
def test_typing_changes_value_and_slider(typed, knots):
    control, calls = speed(), []
    control.on_change(lambda: calls.append(1))
    control.type(typed)
    assert kt_from_mps(control.value) == pytest.approx(knots)
    assert control.slider.value == pytest.approx(knots, abs=0.5)
    assert control.error == "" and calls == [1]


@pytest.mark.parametrize("typed", ["", "fast", "72 lb", "500", "-72", "nan", "1e999", "7" * 400])
def test_a_bad_typed_value_gives_one_sentence_and_changes_nothing(typed):
    control, calls = speed(), []
    control.on_change(lambda: calls.append(1))
    control.type(typed)
    assert control.error.startswith("Speed on final")
    assert control.error.endswith(".")
    assert control.slider.value == 65.0 and kt_from_mps(control.value) == pytest.approx(65.0)
    assert calls == []
    shown = control.widget.children[-1]
    assert shown.layout.display is None and "Speed on final" in shown.value


def test_the_sentence_goes_when_the_value_is_good_again():
    control = speed()
    control.type("fast")
    control.slide(mps_from_kt(70.0))
    assert control.error == "" and spaced(control.field.value) == "70 kt"
    assert control.widget.children[-1].layout.display == "none"
    control.type("fast")
    control.type("70 kt")  # the value it has already
    assert control.error == ""


def test_hostile_typing_never_becomes_markup():
    control = speed()
    control.type("<img src=x onerror=alert(1)> $x$")
    shown = control.widget.children[-1].value
    assert "<img" not in shown and "$" not in shown


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.floats(0.3, 1.5))
def test_what_is_shown_can_be_typed_back(miles):
    control = NumberControl(
        "d", "Abeam", "distance_nm", value=NM, low=0.3 * NM, high=1.5 * NM, step=0.01 * NM
    )
    control.set(miles * NM)
    text, value = control.text, control.value
    other = NumberControl(
        "d", "Abeam", "distance_nm", value=NM, low=0.3 * NM, high=1.5 * NM, step=0.01 * NM
    )
    other.type(text)
    # Half of the last digit shown.
    assert other.error == "" and other.value == pytest.approx(value, abs=0.0051 * NM)


def test_a_value_set_from_outside_stays_in_the_range():
    control = speed()
    control.set(1e6)
    assert kt_from_mps(control.value) == pytest.approx(90.0)
    with pytest.raises(ValueError, match="no number"):
        control.set(float("nan"))


def test_a_wrong_range_is_refused():
    with pytest.raises(ValueError, match="low <= value <= high"):
        NumberControl("s", "S", "speed", value=1.0, low=2.0, high=3.0, step=1.0)


def test_reset_goes_back_to_the_start():
    control = speed()
    control.type("80")
    control.reset()
    assert control.slider.value == 65.0 and spaced(control.field.value) == "65 kt"


def test_choice_shows_buttons_for_short_and_a_list_for_long_options():
    short = Choice("flap", "Flaps", [("0°", 0), ("20°", 20)], 20)
    long = Choice("when", "When", [("All of them on final", 0), ("In steps from abeam on", 1)], 0)
    assert type(short.picker).__name__ == "ToggleButtons"
    assert type(long.picker).__name__ == "Dropdown"
    calls = []
    short.on_change(lambda: calls.append(short.value))
    short.pick(0)
    assert calls == [0] and short.text == "0°"
    short.reset()
    assert short.value == 20 and short.picker.value == 1
    with pytest.raises(ValueError, match="no option"):
        short.set(10)


def test_check_can_be_switched():
    check, calls = Check("band", "Show the spread"), []
    check.on_change(lambda: calls.append(check.value))
    check.tick(True)
    check.reset()
    assert calls == [True, False] and check.box.value is False


def test_every_part_has_a_name_for_screen_readers():
    names = speed().accessible_names()
    assert set(names) == {"lk-c-speed", "lk-c-speed-typed"}
    assert names["lk-c-speed-typed"] == "Speed on final, typed"


def test_the_slider_rounding_its_place_changes_no_value():
    control, calls = speed(), []
    control.on_change(lambda: calls.append(1))
    control.type("71.4 kt")
    assert control.slider.value == 71.0
    # A page that answers with the same step, a hair off, has not been moved by anybody.
    control.slider.value = 71.0 + 1e-9
    assert kt_from_mps(control.value) == pytest.approx(71.4) and calls == [1]
    control.slider.value = 72.0
    assert kt_from_mps(control.value) == pytest.approx(72.0) and calls == [1, 1]


def lag(**more):
    return NumberControl(
        "lag", "Feet: before −, after +", "time_s", value=0.0, low=-0.5, high=0.5, step=0.1, **more
    )


def test_the_sentence_shows_the_range_as_the_control_does():
    control = lag(digits=2)
    control.type("2")
    assert spaced(control.error).startswith(
        "Feet is 2.00 s but has to lie between −0.50 s and 0.50"
    )
    assert spaced(control.range_text) == "−0.50 s to 0.50 s"


def test_the_sentence_begins_with_the_short_name():
    control = lag()
    control.type("")
    assert control.error.startswith("Feet is empty:")
    control = lag(name="The delay")
    control.type("")
    assert control.error.startswith("The delay is empty:")
