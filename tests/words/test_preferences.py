"""Settings of one learner are checked when they are made."""

import pytest

from lessonkit.words import Preferences


def test_newcomer_has_knots_pounds_and_a_point():
    assert Preferences() == Preferences("kt", "lb", ".", "en")


@pytest.mark.parametrize(
    ("setting", "cure"),
    [
        ({"speed_unit": "km/h"}, "use kt or mph."),
        ({"mass_unit": None}, "use lb or kg."),
        ({"decimal_mark": ";"}, "use . or ,."),
        ({"language": "English, please"}, "such as en."),
        ({"language": "../"}, "such as en."),
        ({"paper": "A3"}, "use letter or A4."),
        ({"speed_unit": "x" * 500}, "use kt or mph."),
    ],
)
def test_wrong_setting_is_one_sentence_with_its_cure(setting, cure):
    with pytest.raises(ValueError) as caught:
        Preferences(**setting)
    sentence = str(caught.value)
    assert sentence.endswith(cure)
    assert len(sentence) < 140


def test_preferences_cannot_be_changed_in_place():
    with pytest.raises(AttributeError):
        Preferences().speed_unit = "mph"
