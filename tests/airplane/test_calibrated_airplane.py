"""A card with observations in flight: read, written, refused, and the airplane it makes."""

import pytest
from airplane_cards import card, tables, toml

from lessonkit.airplane import (
    CardError,
    airplane_text,
    built_in_cards,
    card_from_text,
    card_to_toml,
    contradictions,
    fit_airplane,
    numbers,
)
from lessonkit.airplane.calibration import calibrate
from lessonkit.airplane.observations import glide_of, observed_approach
from lessonkit.airplane.polar import CD0_BOUNDS
from lessonkit.airplane.schema import IN_FLIGHT, INVENTED, MEASURED, RULE_OF_THUMB
from lessonkit.models.calibration import BAND_BEFORE, LEAST_BAND
from lessonkit.models.power_off_approach import fly
from lessonkit.models.wind_profile import Wind
from lessonkit.units import ft_from_m, kt_from_mps, m_from_ft
from lessonkit.words import Preferences

GLIDE = {"speed": 70, "height_lost": 2000, "seconds": 160, "altitude": 3000, "temperature": 9}
PAIR = {"slow_speed": 65, "slow_rpm": 2100, "fast_speed": 90, "fast_rpm": 2250}
TOUCHDOWN = {
    "beyond": 900,
    "abeam_distance": 0.5,
    "abeam_height": 1000,
    "entry_speed": 75,
    "base_turn": 2000,
    "headwind": 3,
}


def seen(**sections):
    """The plain card with observations."""
    made = tables()
    made.update(sections)
    return made


def airplane(**sections):
    return fit_airplane(card_from_text(toml(seen(**sections))))


def glide_of_ratio(share, **changes):
    """A timed glide that takes this share of the time that the plain card's glide takes."""
    plain = fit_airplane(card(**_lines(GLIDE)))
    timed = glide_of(plain.printed)
    seconds = GLIDE["seconds"] * timed.observed / timed.predict([0.0, 0.0, 0.0, 8.0])
    return GLIDE | {"seconds": round(seconds * share, 1)} | changes


def _lines(section):
    return {f"timed_glide__{name}": value for name, value in section.items()}


# The airplane ---------------------------------------------------------------------------------


def test_without_observations_nothing_changes():
    for built_in in built_in_cards().values():
        made = fit_airplane(built_in)
        assert made.calibration is None and not made.calibrated
        assert made.touchdown_band == BAND_BEFORE and made.touchdown_offset == 0.0
        assert made.parameters() == made.printed.parameters()


def test_a_faster_sink_than_the_cards_gives_more_drag_and_a_narrower_band():
    steeper = airplane(timed_glide=glide_of_ratio(0.95))
    assert steeper.calibrated and LEAST_BAND <= steeper.touchdown_band < BAND_BEFORE
    assert 1.0 < steeper.calibration.drag_factor < 1.05
    assert steeper.best_glide_ratio() == pytest.approx(
        steeper.printed.best_glide_ratio() / steeper.calibration.drag_factor
    )
    assert steeper.best_glide_cas() == pytest.approx(steeper.printed.best_glide_cas(), rel=1e-3)
    flatter = airplane(timed_glide=glide_of_ratio(1.05))
    assert flatter.calibration.drag_factor < 1.0
    as_printed = airplane(timed_glide=glide_of_ratio(1.0))
    assert as_printed.calibration.drag_factor == pytest.approx(1.0, abs=1e-3)
    # The handbook's own fit and report stay what they are.
    assert steeper.report.rows == fit_airplane(card()).report.rows


def test_each_observation_narrows_the_band_and_a_recording_more_than_the_eye():
    one = airplane(timed_glide=glide_of_ratio(1.0))
    plan, wind, mass = observed_approach(airplane(touchdown_1=TOUCHDOWN).printed, "touchdown_1")
    x = fly(plan, one.printed.parameters(mass), wind).touchdown.x
    where = TOUCHDOWN | {"beyond": round(ft_from_m(x))}
    two = airplane(timed_glide=glide_of_ratio(1.0), touchdown_1=where)
    three = airplane(
        timed_glide=glide_of_ratio(1.0), touchdown_1=where, touchdown_2=where | {"headwind": 3.5}
    )
    assert BAND_BEFORE > one.touchdown_band > two.touchdown_band > three.touchdown_band
    bands = [band for _, band in three.calibration.bands]
    assert bands == sorted(bands, reverse=True) and bands[0] == BAND_BEFORE
    eye, recording = (
        airplane(touchdown_1=where | {"known_by": known}).touchdown_band
        for known in ("eye", "recording")
    )
    assert recording < eye


def test_the_approach_on_the_card_is_flown_as_it_stands():
    """Signs: headwind against the landing direction, crosswind from the left to the right."""
    sides = {"traffic": "right", "crosswind": 4, "headwind": 6}
    plan, wind, _ = observed_approach(
        airplane(touchdown_1=TOUCHDOWN | sides).printed, "touchdown_1"
    )
    assert plan.side == -1.0 and kt_from_mps(wind.across) == pytest.approx(4.0)
    assert kt_from_mps(wind.along) == pytest.approx(-6.0)
    assert ft_from_m(plan.base_turn_distance) == pytest.approx(2000.0)
    assert kt_from_mps(plan.entry_cas) == pytest.approx(75.0) and plan.final_flap_deg == 30.0


def test_the_band_of_another_approach_is_its_own():
    made = airplane(timed_glide=glide_of_ratio(1.0))
    plan, _, mass = observed_approach(airplane(touchdown_1=TOUCHDOWN).printed, "touchdown_1")
    parameters = made.printed.parameters(mass)
    calm, head = (
        made.calibration.band_for(parameters, plan, Wind(along=along)) for along in (0.0, -8.0)
    )
    # Against the wind the way over the ground is shorter, and so is what the drag changes in it.
    assert LEAST_BAND <= head < calm


def test_an_observation_that_contradicts_is_named_and_left_out():
    wrong = airplane(timed_glide=GLIDE | {"seconds": 220})
    (sentence,) = wrong.calibration.refusals(Preferences())
    assert wrong.calibration.worse_glide is None
    assert sentence.startswith("The timed glide was left out") and "fly it again" in sentence
    assert not wrong.calibrated and wrong.touchdown_band == BAND_BEFORE
    assert wrong.parameters() == wrong.printed.parameters()


def test_a_worse_glide_than_the_cards_is_never_passed_over():
    """14 % more sink than the card: not used, but the worse figure is to be planned on."""
    worse = airplane(timed_glide=glide_of_ratio(1.0 / 1.14))
    found = worse.calibration
    assert found.worse_glide == pytest.approx(0.14, abs=0.002)
    (sentence,) = found.refusals(Preferences())
    assert "14\u00a0% worse than the card" in sentence and "plan on the worse one" in sentence
    assert sentence in found.sentences(Preferences())
    assert "does not allow for the worse glide" in found.sentences(Preferences())[0]
    page = {one.key: one for one in numbers(worse)}
    assert page["worse_glide"].value == found.worse_glide
    printed = worse.printed.best_glide_ratio()
    assert page["worse_ratio"].value == pytest.approx(printed / 1.14, rel=0.002)
    assert any("plan on this one" in line for line in airplane_text(worse))
    # With flaps it says nothing about the ratio with flaps up.
    flaps = airplane(timed_glide=GLIDE | {"flap": 30, "seconds": 90})
    page = {one.key: one for one in numbers(flaps)}
    assert page["worse_glide"].value > 0.1 and "worse_ratio" not in page
    # A glide that agrees, or a better one, adds no row.
    for share in (1.0, 1.4):
        page = {one.key for one in numbers(airplane(timed_glide=glide_of_ratio(share)))}
        assert not page & {"worse_glide", "worse_ratio"}


def test_a_worse_glide_against_other_observations_says_both():
    one = airplane(timed_glide=glide_of_ratio(1.0))
    plan, wind, mass = observed_approach(airplane(touchdown_1=TOUCHDOWN).printed, "touchdown_1")
    x = fly(plan, one.printed.parameters(mass), wind).touchdown.x
    where = TOUCHDOWN | {"beyond": round(ft_from_m(x))}
    both = airplane(timed_glide=glide_of_ratio(1.0 / 1.16), touchdown_1=where)
    assert both.calibration.kept == ("touchdown_1",)
    first, second = both.calibration.refusals(Preferences())
    assert "plan on the worse one" in first and "what everything else says" in second


def test_the_drag_keeps_to_what_wings_can_do():
    """A card whose own CD0 lies just below its bound, and a glide that asks for more."""
    plain = tables(glide__ratio=7.4, glide__speed=71)
    made = fit_airplane(card_from_text(toml(plain | {"timed_glide": GLIDE | {"seconds": 118}})))
    printed = made.printed.parameters()
    assert CD0_BOUNDS[0] <= printed.cd0[0] <= CD0_BOUNDS[1]
    assert CD0_BOUNDS[0] <= made.parameters().cd0[0] <= CD0_BOUNDS[1]


def test_ias_without_a_table_says_less():
    ias = tables(airspeed__kind="IAS") | {"timed_glide": glide_of_ratio(1.0)}
    unsure = fit_airplane(card_from_text(toml(ias)))
    sure = airplane(timed_glide=glide_of_ratio(1.0))
    assert unsure.touchdown_band > sure.touchdown_band
    assert glide_of(unsure.printed).spread > glide_of(sure.printed).spread


def test_the_rpm_slope_and_where_it_comes_from():
    assert fit_airplane(card()).rpm_per_kt == 8.0
    assert fit_airplane(card()).rpm_per_kt_origin == RULE_OF_THUMB
    stated = fit_airplane(card(propeller__rpm_per_kt={"value": 5, "origin": "measured in flight"}))
    assert (stated.rpm_per_kt, stated.rpm_per_kt_origin) == (5.0, MEASURED)
    read = airplane(rpm_pair=PAIR)
    assert 6.0 < read.rpm_per_kt < 8.0 and read.rpm_per_kt_origin == MEASURED  # 150/25 and prior
    assert read.touchdown_band == BAND_BEFORE and not read.calibrated
    assert fit_airplane(card(propeller__kind="constant speed")).rpm_per_kt is None


# The card -------------------------------------------------------------------------------------


def test_observations_survive_writing_and_reading():
    made = seen(
        timed_glide=GLIDE,
        rpm_pair=PAIR,
        touchdown_1=TOUCHDOWN,
        touchdown_2=TOUCHDOWN | {"beyond": {"value": -120, "origin": "invented"}},
    )
    read = card_from_text(toml(made))
    assert card_from_text(card_to_toml(read)) == read
    assert read.figure("timed_glide.speed").origin == MEASURED
    assert read.figure("touchdown_2.beyond").origin == INVENTED
    assert "measured in flight" not in card_to_toml(read)  # their own default is not spelled out
    assert calibrate(fit_airplane(read).printed).origin == INVENTED


@pytest.mark.parametrize(
    ("sections", "part"),
    [
        ({"timed_glide": {"speed": 70, "seconds": 160}}, "The timed glide is not complete: add"),
        ({"touchdown_1": {"beyond": 100}}, "The first touchdown is not complete"),
        ({"timed_glide": GLIDE | {"flap": 15}}, "none of the flap settings"),
        ({"timed_glide": GLIDE | {"weight": 2500}}, "above the maximum weight"),
        ({"timed_glide": GLIDE | {"weight": 1300}}, "below the empty weight 1,450"),
        ({"touchdown_2": TOUCHDOWN | {"weight": 1300}}, "below the empty weight 1,450"),
        ({"timed_glide": GLIDE | {"speed": 36}}, "below the stall speed"),
        ({"rpm_pair": PAIR | {"fast_speed": 70}}, "at least 10"),
        ({"rpm_pair": PAIR, "propeller": {"kind": "constant speed"}}, "constant-speed propeller"),
    ],
)
def test_what_cannot_be_is_one_sentence(sections, part):
    with pytest.raises(CardError, match=part) as caught:
        card_from_text(toml(seen(**sections)))
    assert str(caught.value).count(". ") == 0


def test_a_figure_out_of_range_names_its_line():
    with pytest.raises(CardError, match="Timed glide: time .timed_glide.seconds. is 9.s"):
        card_from_text(toml(seen(timed_glide=GLIDE | {"seconds": 9})))


def test_half_an_observation_does_no_harm_while_it_is_typed():
    """The form reads a card before it is whole; contradictions say what is missing."""
    half = card(timed_glide__speed=70)
    assert len(contradictions(half)) == 1
    assert fit_airplane(half).calibration is None
    assert IN_FLIGHT[0] == "timed_glide"


# Numbers --------------------------------------------------------------------------------------


def test_the_numbers_page_shows_the_band():
    before = {one.key: one for one in numbers(fit_airplane(card()))}
    assert before["touchdown_band"].value == m_from_ft(400.0)
    assert "not calibrated" in before["touchdown_band"].label
    assert "drag" not in before and before["rpm_per_kt"].origin == RULE_OF_THUMB
    made = airplane(timed_glide=glide_of_ratio(0.95), rpm_pair=PAIR)
    after = {one.key: one for one in numbers(made)}
    assert after["touchdown_band"].value == made.touchdown_band
    assert after["touchdown_band"].origin == after["glide_ratio"].origin == MEASURED
    assert after["drag"].value == pytest.approx(made.calibration.drag_factor - 1.0)
    assert after["glide_ratio"].value < before["glide_ratio"].value
    assert after["turn_height_180_bank_30"].value > before["turn_height_180_bank_30"].value
    assert any("Touchdown band" in line for line in airplane_text(made))


def test_downwind_is_never_below_best_glide():
    two_seat = fit_airplane(built_in_cards()["two_seat"])
    speed = two_seat.approach_speed("downwind")
    assert speed.cas == two_seat.best_glide_cas() > 1.4 * two_seat.stall_cas(35.0)
    assert "Best glide" in speed.sentence and speed.origin == RULE_OF_THUMB
    plain = fit_airplane(card(speeds__VS0=51, speeds__VS1=54, glide__speed=64))
    assert plain.approach_cas("downwind") == pytest.approx(1.4 * plain.stall_cas(30.0))


def test_speeds_in_ias_without_a_table_stay_what_the_dial_shows():
    made = fit_airplane(card(airspeed__kind="IAS", approach__final=65))
    page = {one.key: one for one in numbers(made)}
    assert page["final"].airspeed == "IAS" and kt_from_mps(page["final"].value) == pytest.approx(65)
    assert page["glide_speed"].airspeed == "IAS"
    # Nothing near the stall: no multiple, no margin, no speed of least sink.
    for key in ("vs0_1_3", "vs0_1_4", "minimum_sink", "downwind", "turn_margin_bank_30"):
        assert page[key].value is None, key
    assert all(one.value is None for key, one in page.items() if key.startswith("stall_"))
