"""Figures that cannot both be right are named together, with the likely slip."""

import pytest
from airplane_cards import card, tables, toml

from lessonkit.airplane import (
    CardError,
    built_in_cards,
    card_from_text,
    contradictions,
    fit_airplane,
)


def test_plain_and_built_in_cards_agree_with_themselves():
    assert contradictions(card()) == []
    for one in built_in_cards().values():
        assert contradictions(one) == []


@pytest.mark.parametrize(
    ("change", "parts"),
    [
        ({"speeds__VS0": 58, "speeds__VS1": 52}, ["VS0 58 kt", "VS1 52 kt", "swapped"]),
        (
            {"weights__empty": 2400, "weights__max": 1450, "weights__today": None},
            ["2,400", "1,450"],
        ),
        ({"weights__today": 2600}, ["today 2,600 lb", "maximum weight 2,400 lb"]),
        ({"weights__today": 1400}, ["1,400 lb", "empty weight 1,450 lb"]),
        ({"weights__today": 1000, "weights__empty": None}, ["1,000 lb", "half"]),
        ({"speeds__VFE": 42}, ["VS0 45 kt", "VFE 42 kt"]),
        ({"speeds__VA": 50}, ["VS1 51 kt", "VA 50 kt"]),
        ({"speeds__VY": 45}, ["VS1 51 kt", "VY 45 kt"]),
        ({"glide__speed": 49}, ["VS1 51 kt", "49 kt"]),
        ({"approach__final": 40}, ["VS0 45 kt", "Speed on final 40 kt"]),
        ({"approach__final": 80, "approach__downwind": 65}, ["80 kt", "65 kt", "swapped"]),
        ({"approach__final": 90, "speeds__VFE": 85}, ["90 kt", "VFE 85 kt"]),
        ({"wing__span": "21 ft", "wing__area": 174}, ["aspect ratio of 2.53", "units"]),
        ({"wing__span": 60}, ["aspect ratio of 20.69", "units"]),
        ({"wing__area": 380, "wing__span": 45, "weights__max": 1500}, ["suits no light airplane"]),
        ({"speeds__VS0": 25}, ["25 kt", "more than any wing", "IAS rather than CAS"]),
        ({"glide__distance_per_1000_ft": 2.5}, ["9.5 : 1", "2.50 nm", "15.2 : 1"]),
        ({"glide__flap": 5}, ["5°", "none of the flap settings"]),
        ({"second_glide__speed": 60}, ["needs its weight"]),
        ({"second_glide__weight": 2000}, ["a speed or a ratio"]),
        ({"second_glide__weight": 2600, "second_glide__speed": 60}, ["2,600 lb", "2,400 lb"]),
        ({"flaps__stall_speeds": [56, "", "", ""]}, ["VS1 is 51 kt", "56 kt"]),
        ({"flaps__stall_speeds": ["", 46, 48, ""]}, ["fall with more flaps"]),
        ({"flaps__glide_ratios": ["", 7, 8, ""]}, ["fall with more flaps"]),
        ({"engine__idle_rpm": 2400, "engine__cruise_rpm": 2300}, ["2,400 rpm", "swapped"]),
        ({"landing__ground_roll": 1400, "landing__over_50_ft": 600}, ["1,400 ft", "600 ft"]),
    ],
)
def test_contradiction_is_named(change, parts):
    found = [one.replace("\u00a0", " ") for one in contradictions(card(**change))]
    assert any(all(part in one for part in parts) for one in found), found
    assert all(one.endswith(".") for one in found)


def test_reading_refuses_the_first_contradiction_with_the_file():
    text = toml(tables(speeds__VS0=58, speeds__VS1=52))
    with pytest.raises(CardError, match="^trainer.toml: VS0 58.kt is above VS1 52.kt.*swapped.$"):
        card_from_text(text, "trainer.toml")


def test_speeds_of_two_kinds_are_not_compared():
    # VS0 52 kt CAS above VS1 50 kt IAS says nothing without a table.
    assert contradictions(card(speeds__VS0=52, speeds__VS1={"value": 50, "airspeed": "IAS"})) == []


def test_stall_speeds_are_compared_at_one_weight():
    # 50 kt at 1,900 lb is 56 kt at 2,400 lb: not below VS1 51 kt.
    heavy = card(speeds__VS0={"value": 50, "weight": 1900})
    assert any("swapped" in one for one in contradictions(heavy))


def test_units_of_the_card_stand_in_the_sentence():
    metric = card(
        units__speed="mph", speeds__VS0=66, speeds__VS1=60, glide__speed=80, units__mass="lb"
    )
    assert "66\u00a0mph" in contradictions(metric)[0]


IAS_WITH_TABLES = {
    "airspeed__kind": "IAS",
    "airspeed__flaps_up": [[40, 47], [50, 55], [60, 63], [70, 71.5], [80, 81]],
    "airspeed__flaps_down": [[35, 44], [40, 47], [50, 54], [60, 62], [70, 71]],
    "speeds__VS0": 37,
    "speeds__VS1": 45,
}


def test_a_final_speed_below_vs0_is_a_contradiction_by_the_flaps_down_table():
    # 37 kt IAS is 45.2 kt CAS and 36 kt IAS 44.6: below VS0, whatever other flaps would show.
    slow = contradictions(card(**IAS_WITH_TABLES, approach__final=36))
    assert len(slow) == 1 and "VS0 37\u00a0kt is above Speed on final 36\u00a0kt" in slow[0]


@pytest.mark.parametrize(
    ("change", "part"),
    [
        # 40 kt IAS is 47 kt CAS with flaps, VS0 45.2 kt CAS: 1.04 times.
        ({**IAS_WITH_TABLES, "approach__final": 40}, "40 kt IAS is only 1.04 times VS0"),
        ({"approach__final": 53}, "Speed on final 53 kt CAS is only 1.18 times VS0"),
        ({"approach__base": 53}, "Speed on base 53 kt CAS is only 1.18 times VS0"),
        # 45 kt at 2,400 lb is 40.0 kt at 1,900 lb: 50 kt at that weight is 1.25 times.
        ({"approach__final": {"value": 50, "weight": 1900}}, None),
        ({"approach__final": 55}, None),
        ({"airspeed__kind": "IAS", "approach__final": 46}, None),  # nothing is certain
        ({"glide__ratio": 18.2}, "18.2 : 1 is unusual"),
        ({"glide__ratio": None, "glide__distance_per_1000_ft": 3}, "18.2 : 1 is unusual"),
        ({"glide__ratio": 5.5}, "5.5 : 1 is unusual"),
        ({"glide__ratio": 6.1}, None),
        ({"glide__ratio": 13.9}, None),
    ],
)
def test_a_doubtful_figure_is_named_and_not_refused(change, part):
    doubtful = card(**change)
    assert contradictions(doubtful) == []
    airplane = fit_airplane(doubtful)
    found = [one.sentence.replace("\u00a0", " ") for one in airplane.doubts]
    if part is None:
        assert found == []
    else:
        assert len(found) == 1 and part in found[0] and found[0].endswith(".")
        assert airplane.estimates[0] == airplane.doubts[0]


def test_the_built_in_cards_raise_no_doubt():
    assert [fit_airplane(one).doubts for one in built_in_cards().values()] == [(), (), ()]
