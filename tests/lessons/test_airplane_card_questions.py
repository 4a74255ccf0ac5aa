"""The questions of the airplane card against sums done another way, in knots, feet and pounds.

Sources stand beside each check. Rows named by an id (SS-16) are those of
``tests/published/checks.csv``, with their own source there.
"""

import csv
import json
import math
from pathlib import Path

import pytest

from lessonkit.airplane import Card, built_in_cards, fit_airplane, read_card
from lessonkit.airplane.fit import glide_ratio_of
from lessonkit.app import open_lesson
from lessonkit.exercises import Fact, check, problems_of, vary
from lessonkit.exercises.picture import Line
from lessonkit.lessons.airplane_card import exercises, glide_questions, speed_questions
from lessonkit.lessons.airplane_card.exercises import QUESTIONS
from lessonkit.lessons.airplane_card.self_check import TRAINER as TRAINER_TEXTS
from lessonkit.units import ft_from_m, kg_from_lb, kt_from_mps, m_from_ft, mps_from_kt, nm_from_m
from lessonkit.words import Preferences
from lessonkit.words.numbers import NO_BREAK_SPACE

TESTS = Path(__file__).parents[1]
ASKED = {question.key: question for question in QUESTIONS}
MPH = Preferences(speed_unit="mph")
SEEDS = range(12)


def without_table(card):
    """Return the card with speeds in IAS and no correction table."""
    left_out = ("airspeed.flaps_up", "airspeed.flaps_down")
    return Card({path: one for path, one in card.entries.items() if path not in left_out})


CARDS = built_in_cards()
HIGH, LOW, TWO = (
    fit_airplane(CARDS[key]) for key in ("high_wing_four_seat", "low_wing_four_seat", "two_seat")
)
TRAINER = fit_airplane(read_card(TESTS / "airplane" / "published_trainer.toml"))
UNCERTAIN = fit_airplane(without_table(CARDS["high_wing_four_seat"]))
INJECTED = fit_airplane(Card({**CARDS["two_seat"].entries, "engine.induction": "injected"}))
AIRPLANES = (HIGH, LOW, TWO, TRAINER)


def items(key, airplanes=AIRPLANES, preferences=None):
    for airplane in airplanes:
        for seed in SEEDS:
            yield vary(ASKED[key], airplane, seed, preferences or Preferences())


def published(row_id):
    """Return inputs and expected value of a row of the published checks."""
    with (TESTS / "published" / "checks.csv").open(encoding="utf-8") as file:
        (row,) = [row for row in csv.DictReader(file) if row["id"] == row_id]
    return json.loads(row["inputs"]), float(row["expected"])


def card_with(**figures):
    """Return the trainer with other figures; names with __ for the dot."""
    entries = dict(TRAINER.card.entries)
    for name, value in figures.items():
        path = name.replace("__", ".")
        known = entries[path]
        entries[path] = type(known)(value, known.kind, value, known.origin, known.airspeed)
    return fit_airplane(Card(entries))


def plain(text):
    return text.replace(NO_BREAK_SPACE, " ")


# Stall speeds ------------------------------------------------------------------------------------


def test_lighter_airplane_against_the_published_row():
    """SS-16: 50 kt at 2,400 lb is 44.49 kt at 1,900 lb."""
    inputs, expected = published("SS-16")
    airplane = card_with(
        speeds__VS1=mps_from_kt(inputs["stall_speed_kt"]),
        weights__max=kg_from_lb(inputs["weight_lb"]),
    )
    values = {"share": inputs["new_weight_lb"] / inputs["weight_lb"]}
    answer = ASKED["stall_lighter"].answer(airplane, values)
    assert kt_from_mps(answer) == pytest.approx(expected, abs=0.1)


def test_lighter_airplane_by_hand():
    """Lift at the stall goes with the square of the speed: V = VS1 sqrt(m / max) (derived)."""
    stalls_kt = {HIGH: 51.0, LOW: 66.0 * 0.868976, TWO: 46.0, TRAINER: 51.0}
    for item in items("stall_lighter"):
        # 45 kt IAS of the high-wing card is 51 kt CAS half-way between 40/47 and 50/55.
        heavy, share = stalls_kt[item.airplane], item.values["share"]
        assert kt_from_mps(item.answer) == pytest.approx(heavy * math.sqrt(share), rel=1e-4)
        wrong = dict(item.wrong_numbers)
        assert kt_from_mps(wrong["as_the_weight"]) == pytest.approx(heavy * share, rel=1e-4)
        assert kt_from_mps(wrong["no_change"]) == pytest.approx(heavy, rel=1e-4)
        assert kt_from_mps(wrong["lighter_is_faster"]) == pytest.approx(
            heavy / math.sqrt(share), rel=1e-4
        )


def test_stall_in_a_turn_against_the_published_rows():
    """SS-03 and SS-05: 18.92 % faster in 45 degrees of bank, 41.42 % in 60."""
    for row in ("SS-03", "SS-04", "SS-05"):
        inputs, expected = published(row)
        for airplane in AIRPLANES:
            answer = ASKED["stall_in_turn"].answer(airplane, {"bank": inputs["bank_deg"]})
            assert 100.0 * (answer / airplane.stall_cas(0.0) - 1.0) == pytest.approx(
                expected, abs=1e-3
            )


def test_wrong_ways_in_a_turn_by_hand():
    for item in items("stall_in_turn"):
        level = item.airplane.stall_cas(0.0)
        load = 1.0 / math.cos(math.radians(item.values["bank"]))
        wrong = dict(item.wrong_numbers)
        assert wrong["no_change"] == pytest.approx(level)
        assert wrong["times_load"] == pytest.approx(level * load)
        assert wrong["slower"] == pytest.approx(level / math.sqrt(load))


def test_approach_speed_on_the_dial_by_hand():
    """Between the rows of the invented card's table: 35/44, 40/47, 50/54, 60/62, IAS/CAS.

    37 kt IAS is 45.2 kt CAS, 54 kt CAS is 50 kt IAS. At 85 % of the weight 45.2 sqrt(0.85) is
    41.67 kt CAS, on the dial 32.67 kt (9 kt less, as at the end of the table); times 1.3 it is
    54.17 kt CAS, on the dial 50.22 kt.
    """
    question, values = ASKED["approach_on_dial"], {"share": 0.85}
    answer = question.answer(HIGH, values)
    assert kt_from_mps(answer) == pytest.approx(50.22, abs=0.02)
    wrong = {one.key: kt_from_mps(one.wrong(HIGH, values)) for one in question.misconceptions}
    assert wrong["factor_on_dial"] == pytest.approx(1.3 * 32.67, abs=0.02)
    assert wrong["left_in_cas"] == pytest.approx(54.17, abs=0.02)
    assert wrong["wrong_way"] == pytest.approx(54.17 + (54.17 - 50.22), abs=0.02)


def test_approach_speed_takes_an_example_table_only_where_the_card_has_none():
    for item in items("approach_on_dial", (*AIRPLANES, UNCERTAIN)):
        example = "example" in item.shown["stall"]
        assert example == (item.airplane is not HIGH)
        table, own = speed_questions._table(item.airplane)
        assert own != example
        low, final = item.answer / 1.3, item.answer
        assert table.cas_from_ias(final) - final >= mps_from_kt(1.7)
        assert low < table.cas_from_ias(low)


def test_the_handbooks_own_final_speed_goes_first_and_cas_is_told_apart():
    for item in items("approach_on_dial", (HIGH,)):
        for text in (item.prompt, item.solution):
            assert "the handbook's 63 kt IAS goes first" in plain(text)
        number = f"{kt_from_mps(item.answer):.1f}"
        assert check(item, f"{number} kt IAS").status == "correct"
        named = check(item, f"{number} kt CAS")
        assert named.status == "close" and named.reply == "airspeed"
        cas = kt_from_mps(dict(item.wrong_numbers)["left_in_cas"])
        assert check(item, f"{cas:.1f}").reply == "left_in_cas"
    entries = {p: e for p, e in CARDS["high_wing_four_seat"].entries.items()}
    del entries["approach.final"]
    for item in items("approach_on_dial", (fit_airplane(Card(entries)),)):
        assert "This card has no speed for final" in item.prompt


def test_nobody_is_asked_about_an_airplane_without_a_pilot():
    """60 kg (132 lb) or more above the empty weight."""
    for key in ("stall_lighter", "lighter_glide", "approach_on_dial", "best_glide_point"):
        for item in items(key):
            empty = item.airplane.card.value("weights.empty")
            assert empty is None or item.values["share"] * kg_of(item.airplane) >= empty + 60.0


def test_steep_banks_and_least_sink_come_with_their_caution():
    for item in items("bank_for_margin"):
        for text in (item.prompt, item.solution, item.say("reply.correct", outcome="")):
            assert "no more than 30 degrees" in text
        assert "no more than 30 degrees" in item.say("reply.times_load", outcome="")
    for item in items("best_glide_point"):
        assert "not flown" in item.solution and "not flown" in item.say("reply.least_sink")


def test_without_a_table_the_printed_speed_is_all_there_is():
    """No multiple of an IAS stall speed (14 CFR 23.49: stall speeds are calibrated airspeeds)."""
    for item in items("no_table", (*AIRPLANES, UNCERTAIN)):
        assert item.answer == "printed"
        # No wrong way comes to the printed speed by luck in the text of its option.
        assert len({text for _, text in item.options}) == 4


def test_a_card_without_certain_stall_speeds_gets_example_figures():
    for key in ("stall_lighter", "stall_in_turn", "approach_on_dial"):
        for item in items(key, (UNCERTAIN,)):
            assert "an example because" in item.prompt
            assert "IAS" not in item.prompt or "by an example table" in item.prompt
            assert "IAS" not in item.solution or key == "approach_on_dial"
            assert check(item, item.written(item.answer)).status == "correct"


# The glide ---------------------------------------------------------------------------------------


def test_glide_from_the_card_against_the_published_row():
    """GL-10: 10.62 to 1 from 1,000 ft is 1.748 nm."""
    inputs, expected = published("GL-10")
    airplane = card_with(glide__ratio=inputs["lift_drag_ratio"])
    ground = m_from_ft(1200.0)
    values = {"altitude": ground + m_from_ft(inputs["height_ft"]), "elevation": ground}
    answer = ASKED["glide_from_card"].answer(airplane, values)
    assert nm_from_m(answer) == pytest.approx(expected, abs=0.009)


def test_glide_from_the_card_by_hand():
    """Height above the ground times the ratio; a nautical mile is 6,076 ft, a statute one 5,280."""
    ratios = {HIGH: 1.5 * 6076.1 / 1000.0, LOW: 9.3, TWO: 9.8, TRAINER: 10.6}
    for item in items("glide_from_card"):
        altitude, ground = (ft_from_m(item.values[name]) for name in ("altitude", "elevation"))
        ratio, wrong = ratios[item.airplane], dict(item.wrong_numbers)
        by_hand = (altitude - ground) * ratio
        assert nm_from_m(item.answer) == pytest.approx(by_hand / 6076.1, rel=1e-4)
        assert nm_from_m(wrong["statute_miles"]) == pytest.approx(by_hand / 5280.0, rel=1e-4)
        assert nm_from_m(wrong["above_sea_level"]) == pytest.approx(
            altitude * ratio / 6076.1, rel=1e-4
        )


def test_less_weight_is_slower_and_carries_as_far():
    """Speed with the square root of weight, ratio independent of it (FAA-H-8083-25C, ch. 11)."""
    for item in items("lighter_glide"):
        assert item.answer == "slower_same"
        facts = item.question.facts(item.airplane, item.values)
        heavy, light = (
            item.airplane.best_glide_cas(facts[name].value) for name in ("greatest", "mass")
        )
        assert light / heavy == pytest.approx(math.sqrt(item.values["share"]), rel=1e-4)
        assert facts["ratio_light"].value == pytest.approx(facts["ratio"].value, rel=1e-3)
        # sink = speed times the sine of the path angle
        ratio = facts["ratio"].value
        assert facts["sink_light"].value == pytest.approx(light / math.hypot(1.0, ratio), rel=1e-3)
        assert 0.9 * ratio < facts["ratio_unchanged_speed"].value < ratio


def test_reach_with_flaps_by_hand():
    seen = set()
    for item in items("reach_with_flaps"):
        facts = item.question.facts(item.airplane, item.values)
        up, down = (
            item.values["height"] * facts[name].value for name in ("ratio_up", "ratio_down")
        )
        away = facts["distance"].value
        assert up > down
        by_hand = "both" if down >= away else "up_only" if up >= away else "neither"
        assert item.answer == by_hand
        seen.add(by_hand)
    assert seen == {"both", "up_only", "neither"}


def test_a_propeller_at_rest_carries_farther_than_an_idling_one_and_less_than_none():
    """Glides of a six-degree-of-freedom model: 9.6 at idle, 10.4 with a dragless stopped one."""
    for item in items("propeller_state"):
        assert item.answer == "farther"
        facts = item.question.facts(item.airplane, item.values)
        gain = facts["ratio_stopped"].value / facts["ratio_idle"].value
        assert 1.0 < gain < 10.4 / 9.6


def test_what_moves_the_end_of_the_glide_most_by_hand():
    """Lift over drag of the parabola, CL / (CD0 + CL^2 / (pi e A)), at each speed and weight."""
    seen = set()
    for item in items("measure_first"):
        airplane, values = item.airplane, item.values
        flown, speed = airplane.parameters(), airplane.best_glide_cas()

        def ratio(cas, mass, flown=flown):
            found = 10.0
            for _ in range(8):  # the lift of a glide is W cos(path)
                weight = mass * 9.80665 * math.cos(math.atan(1.0 / found))
                lift = weight / (0.5 * 1.225 * cas**2 * flown.wing_area)
                drag = flown.cd0[0] + lift**2 / (math.pi * flown.oswald[0] * flown.aspect_ratio)
                found = lift / drag
            return found

        best = ratio(speed, airplane.mass_today)
        lost = {
            "ratio": best * values["ratio_off"] * values["height"],
            "speed": (best - ratio(speed + values["speed_off"], airplane.mass_today))
            * values["height"],
            "weight": (best - ratio(speed, airplane.mass_today - values["mass_off"]))
            * values["height"],
            "altimeter": best * values["height_off"],
        }
        assert item.answer == max(lost, key=lost.get)
        shifts = glide_questions._shifts(airplane, values)
        for name, shift in shifts.items():
            assert shift == pytest.approx(lost[name], rel=1e-3, abs=0.5), name
        seen.add(item.answer)
    assert {"ratio", "speed"} <= seen


# The card, the wind, the timed glide -------------------------------------------------------------


def test_the_pair_that_contradicts_by_plain_rules():
    seen = set()
    for item in items("contradiction", (*AIRPLANES, UNCERTAIN)):
        typed = exercises._typed(item.airplane, item.values)
        figure = {path: one.value for path, one in typed.items()}
        ratio = nm_from_m(figure["glide.distance_per_1000_ft"]) * 6.0761
        broken = {
            "stalls": figure["speeds.VS0"] > figure["speeds.VS1"],
            "glide": figure["glide.speed"] < figure["speeds.VS1"],
            "distance": abs(ratio / figure["glide.ratio"] - 1.0) > 0.02,
            "weights": figure["weights.today"] > figure["weights.max"],
        }
        assert [pair for pair, is_broken in broken.items() if is_broken] == [item.answer]
        seen.add(item.answer)
    assert seen == {"stalls", "glide", "distance", "weights"}


@pytest.mark.parametrize("row", ["WD-01", "WD-02", "WD-03", "WD-04", "WD-06", "WD-07", "WD-08"])
def test_crosswind_against_the_published_rows(row):
    inputs, expected = published(row)
    values = {"angle": inputs["angle_deg"], "wind": mps_from_kt(inputs["wind_kt"]), "runway": 90.0}
    answer = ASKED["crosswind"].answer(HIGH, values)
    assert kt_from_mps(answer) == pytest.approx(expected, abs=0.1)
    headwind = ASKED["crosswind"].misconceptions[0].wrong(HIGH, values)
    assert math.hypot(answer, headwind) == pytest.approx(values["wind"])


def test_crosswind_directions_lie_on_the_compass():
    for item in items("crosswind"):
        runway, wind_from = (int(item.shown[name].strip("°")) for name in ("runway", "from"))
        assert 1 <= wind_from <= 360
        assert (wind_from - runway) % 360 == pytest.approx(item.values["angle"])


def test_a_timed_glide_goes_through_as_much_as_the_notebook_says():
    text = (TESTS.parent / "notebooks" / "01_airplane_card.ipynb").read_text(encoding="utf-8")
    assert "through 2,000 ft on the altimeter" in text
    for item in items("timed_glide"):
        assert "through 2,000 ft" in plain(item.prompt)
        bottom = ft_from_m(item.values["top"]) - 2000.0
        assert f"down to {bottom:,.0f} ft" in plain(item.prompt)


def test_a_timed_glide_is_safe_in_its_order():
    """Order: common practice, no source; each rule on its own here."""
    for airplane in (*AIRPLANES, INJECTED):
        steps = ASKED["timed_glide"].answer(airplane, {})
        carburettor = airplane.card.text("engine.induction") == "carburettor"
        assert ("heat" in steps) == carburettor
        rules = [("lookout", "throttle"), ("speed", "start"), ("start", "stop")]
        rules += [("stop", "recover"), ("recover", "note"), ("note", "card")]
        rules += [("heat", "throttle")] if carburettor else []
        for first, second in rules:
            assert steps.index(first) < steps.index(second), (first, second)


# What the learner reads --------------------------------------------------------------------------


def texts_of(item):
    hints = [item.hint(number) for number in range(1, len(item.question.hints) + 1)]
    replies = [
        item.say(f"reply.{one.key}", typed="", outcome="") for one in item.question.misconceptions
    ]
    options = [text for _, text in item.options]
    return [plain(text) for text in (item.prompt, item.solution, *hints, *replies, *options)]


@pytest.mark.parametrize("key", ASKED)
def test_a_learner_in_mph_never_meets_knots_without_their_mph(key):
    for item in items(key, (LOW, HIGH), MPH):
        for text in texts_of(item):
            if "mph" in text and " kt" in text:
                assert key == "crosswind" and text.count("mph") == text.count("mph (")
    (limit,) = {item.shown["limit"] for item in items("crosswind", (LOW,), MPH)}
    assert plain(limit) == "19 mph (17 kt)"
    (limit,) = {item.shown["limit"] for item in items("crosswind", (TWO,))}
    assert plain(limit) == "12 kt"


def test_a_figure_is_said_in_a_second_way_only_where_it_differs():
    (shown,) = {plain(item.shown["stall_heavy"]) for item in items("stall_lighter", (HIGH,))}
    assert shown == "51 kt CAS (45 kt IAS)"
    (shown,) = {plain(item.shown["stall_heavy"]) for item in items("stall_lighter", (TWO,))}
    assert shown == "46 kt CAS"
    assert Fact(1.0, "speed").also is None


@pytest.mark.parametrize("key", ASKED)
def test_sound_for_cards_with_other_gaps_too(key):
    """No certain stall speed, an injected engine, no crosswind figure."""
    assert problems_of(ASKED[key], (UNCERTAIN, INJECTED, TRAINER), range(8)) == []


def test_enough_questions_of_several_kinds_and_most_beyond_understanding():
    assert len(QUESTIONS) >= 8
    assert {"number", "choice", "order", "mark", "set"} <= {question.kind for question in QUESTIONS}
    high = [one for one in QUESTIONS if one.level in ("application", "correlation")]
    assert len(high) >= 0.75 * len(QUESTIONS)
    assert sum(one.level == "correlation" for one in QUESTIONS) >= 3


def test_the_ratio_of_a_card_with_a_distance_only():
    assert "glide.ratio" not in HIGH.card
    assert glide_ratio_of(HIGH.card) == pytest.approx(1.5 * 6.0761, rel=1e-4)


# The guess before the card -----------------------------------------------------------------------


@pytest.fixture
def lesson(tmp_path, monkeypatch):
    monkeypatch.setenv("LESSONKIT_HOME", str(tmp_path / "home"))
    return open_lesson("01_airplane_card")


def checked_card(lesson):
    panel = lesson.panel("card")
    for control, text in TRAINER_TEXTS.items():
        panel.form.input(control).value = text
    panel.check.click()
    assert panel.errors.last_error is None
    return panel


@pytest.mark.parametrize(
    "guess, words",
    [
        ("6.5", "You predicted 6.50 nm, 1.27 nm too far"),
        ("7,5 km", "You predicted 4.05 nm, 1.18 nm too little"),
        ("5.2 nm", "You predicted 5.20 nm: that is about it"),
    ],
)
def test_the_guess_is_kept_and_stands_beside_the_glide(lesson, guess, words):
    """3,000 ft at 10.6 to 1 are 31,800 ft, 5.23 nm; 7.5 km are 4.05 nm (definitions)."""
    guessing = lesson.panel("glide_guess")
    assert "5.2" not in guessing.sentence  # nothing is given away
    guessing.predict(guess)
    assert guessing.last_error is None
    again = open_lesson("01_airplane_card")  # after the page was closed
    told = plain(checked_card(again).report.guess.text)
    assert "From 3,000 ft" in told and "5.23 nm" in told and words in told


def test_without_a_guess_the_glide_is_told_alone(lesson):
    lesson.panel("glide_guess").skip_prediction()
    told = checked_card(lesson).report.guess.text
    assert "5.23" in told and "predicted" not in told


def test_a_change_of_figures_takes_the_glide_away_until_checked(lesson):
    panel = checked_card(lesson)
    panel.form.input("speeds.VS0").value = "abc"
    panel.check.click()
    assert panel.report.guess.text == ""


def test_exercises_of_the_page_follow_a_card_that_is_saved_on_it(lesson):
    exercise = lesson.exercise("stall_lighter")
    before = exercise.item.airplane.name
    panel = checked_card(lesson)
    assert exercise.item.airplane.name == before
    panel.save.click()
    assert exercise.item.airplane.name == "Published trainer" != before
    assert "52 kt" in plain(exercise.item.prompt)
    assert panel.form.input("airplane.name").value == "Published trainer"  # the form stays


# Best glide on the curve, and the bank that leaves a margin ---------------------------------------


def curve_of(item):
    (line,) = [one for one in item.picture.items if isinstance(one, Line)]
    return list(line.x), list(line.y)


def test_best_glide_is_where_the_line_from_the_origin_touches_the_curve():
    """The flattest path has the least sink over speed (geometry); looked for point by point."""
    for item in items("best_glide_point", (*AIRPLANES, UNCERTAIN)):
        speeds, sinks = curve_of(item)
        slopes = [sink / speed for speed, sink in zip(speeds, sinks, strict=True)]
        flattest = slopes.index(min(slopes))
        step = speeds[1] - speeds[0]
        assert item.answer[0] == pytest.approx(speeds[flattest], abs=step)
        assert item.answer[1] == pytest.approx(sinks[flattest], abs=0.1)
        # No point of the curve lies above the line from the origin through the answer.
        assert min(slopes) >= item.answer[1] / item.answer[0] * (1.0 - 1e-9)


def test_the_wrong_marks_are_the_top_and_the_fast_end_of_the_curve():
    for item in items("best_glide_point", (*AIRPLANES, UNCERTAIN)):
        speeds, sinks = curve_of(item)
        slow, fast = (
            one.wrong(item.airplane, item.values)
            for one in ASKED["best_glide_point"].misconceptions
        )
        top = speeds[sinks.index(min(sinks))]
        assert slow[0] == pytest.approx(top, abs=speeds[1] - speeds[0])
        assert slow[1] == pytest.approx(min(sinks), abs=0.02)
        assert fast == pytest.approx((speeds[-1], sinks[-1]))
        stall = item.airplane.stall_cas(0.0, item.values["share"] * kg_of(item.airplane))
        assert stall is None or speeds[0] > stall  # nothing is drawn below the stall


def kg_of(airplane):
    return airplane.card.value("weights.max")


def test_the_picture_begins_at_the_origin_and_shows_all_of_the_curve():
    for item in items("best_glide_point", (*AIRPLANES, UNCERTAIN)):
        (axes,) = item.picture.axes
        speeds, sinks = curve_of(item)
        assert axes.x[0] == 0.0 and axes.x[1] > max(speeds)
        assert axes.y[1] == 0.0 and axes.y[0] > max(sinks)


def test_bank_that_leaves_the_margin_by_hand():
    """Stall speed in a level turn VS / sqrt(cos(bank)) (FAA-H-8083-25C, ch. 5)."""
    question = ASKED["bank_for_margin"]
    for item in items("bank_for_margin", (*AIRPLANES, UNCERTAIN)):
        airplane, values = item.airplane, item.values
        level = airplane.stall_cas(0.0)
        if level is None:  # the example, 50 kt at the greatest weight
            level = mps_from_kt(50.0) * math.sqrt(airplane.mass_today / kg_of(airplane))
        speed = level + values["above"]
        for bank in (0.0, 20.0, 45.0, 60.0):
            left = speed - level / math.sqrt(math.cos(math.radians(bank)))
            assert question.outcome(airplane, values, {"bank": bank}) == pytest.approx(left)
        assert item.answer == values["margin"]
        right = math.degrees(math.acos((level / (speed - values["margin"])) ** 2))
        assert question.reference(airplane, values)["bank"] == pytest.approx(right, abs=0.51)
        by_load, by_rise = (
            one.example(airplane, values)["bank"] for one in question.misconceptions
        )
        assert by_load == pytest.approx(
            math.degrees(math.acos(level / (speed - values["margin"]))), abs=0.51
        )
        used_up = level / math.sqrt(math.cos(math.radians(by_rise))) - level
        assert used_up == pytest.approx(values["margin"], abs=mps_from_kt(0.7))


def test_the_calibration_follows_the_card_too_and_stays_when_it_saves_itself(lesson):
    calibration = lesson.panel("calibrate")
    first = calibration.shown
    checked_card(lesson).save.click()
    followed = calibration.shown
    assert followed is not first
    followed.skip_prediction()
    timed = {"speed": "72", "height_lost": "2,000", "seconds": "170", "altitude": "4,000"}
    timed["temperature"] = "7"
    for name, text in timed.items():
        followed.form.input(f"timed_glide.{name}").value = text
    followed.save.click()
    assert followed.status.text.startswith("Saved.")
    assert calibration.shown is followed and followed.errors.last_error is None
    assert followed.saving is False and lesson.context.airplane.calibration is not None
