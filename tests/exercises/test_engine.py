"""The engine on made-up questions: kinds, airspeed slips, variation, and what validation finds."""

import dataclasses
from types import SimpleNamespace

import pytest

import lessonkit.words.sentences as sentences
from lessonkit.exercises import (
    KINDS,
    Fact,
    Misconception,
    Question,
    Result,
    Tolerance,
    Variable,
    check,
    fingerprint,
    problems_of,
    register,
    vary,
)
from lessonkit.units import mps_from_kt
from lessonkit.words import Preferences

AIRPLANE = SimpleNamespace(card=SimpleNamespace(name="Sample <b>", entries={"a": 1}))

SPEED_TEXT = """
[exercise.speed]
title = "A speed"
prompt = "Base speed is {base}. What is the speed asked for, {airplane}?"
next = "Multiply first."
solution = "It is {answer}."
source = "Made up for this test."
[exercise.speed.hint]
nudge = "What grows?"
idea = "It grows by a share."
method = "Multiply {base}."
[exercise.speed.reply]
half = "Half of it."
twice = "Twice of it."
"""


@pytest.fixture(autouse=True)
def sample_texts(tmp_path, monkeypatch):
    """Put a lesson's texts beside the real ones, for one test."""
    for file in (sentences.FOLDER / "en").glob("*.toml"):
        (tmp_path / "en").mkdir(exist_ok=True)
        (tmp_path / "en" / file.name).write_text(file.read_text(encoding="utf-8"), "utf-8")
    (tmp_path / "en" / "sample.toml").write_text(SPEED_TEXT, "utf-8")
    monkeypatch.setattr(sentences, "FOLDER", tmp_path)
    sentences._flat.cache_clear()
    yield tmp_path / "en" / "sample.toml"
    sentences._flat.cache_clear()


def speed_question(**changes):
    question = Question(
        key="speed",
        lesson="sample",
        kind="number",
        level="application",
        quantity="speed",
        tolerance=Tolerance(mps_from_kt(2.0), mps_from_kt(5.0)),
        variables=(
            Variable("base", "speed", mps_from_kt(50.0), mps_from_kt(60.0), mps_from_kt(1.0)),
        ),
        answer=lambda airplane, values: 1.3 * values["base"],
        airspeeds=lambda airplane, values: {"tas": 1.45 * values["base"]},
        misconceptions=(
            Misconception("half", lambda airplane, values: 0.5 * values["base"]),
            Misconception("twice", lambda airplane, values: 2.6 * values["base"]),
        ),
    )
    return dataclasses.replace(question, **changes)


def at(base_kt, **changes):
    """Return the item with one base speed."""
    seed = next(
        seed
        for seed in range(200)
        if vary(speed_question(), AIRPLANE, seed).values["base"]
        == pytest.approx(mps_from_kt(base_kt))
    )
    return vary(speed_question(**changes), AIRPLANE, seed)


def test_the_sample_is_sound():
    assert problems_of(speed_question(), [AIRPLANE]) == []


def test_six_kinds():
    assert set(KINDS) == {"number", "choice", "order", "mark", "set", "judge"}


def test_speed_typed_in_other_units_and_marks():
    item = at(50.0)  # 65 kt
    for text in ("65", "65 kt", "65,0 kt", "74.8 mph", "74,8 mph", "120.4 km/h", "33.44 m/s"):
        assert check(item, text).status == "correct", text
    mph = vary(speed_question(), AIRPLANE, item.seed, Preferences(speed_unit="mph"))
    assert check(mph, "74.8").status == "correct"
    assert check(mph, "74,8").status == "correct"
    assert check(mph, "65 kt").status == "correct"
    assert "mph" in mph.prompt and "kt" not in mph.prompt.replace("kts", "")


def test_slips_of_a_speed():
    item = at(50.0)  # 65 kt
    assert check(item, "74.8 kt").reply == "unit"  # 65 kt in mph, called kt
    assert check(item, "56.5 kt").reply == "unit"  # converted the wrong way
    assert "mph" in check(item, "74.8 kt").message
    assert check(item, "-65 kt").reply == "sign"
    assert check(item, "650 kt").reply == "ten"
    assert "factor of 10:" in check(item, "6.5 kt").message
    airspeed = check(item, "72.5 kt")
    assert airspeed.reply == "airspeed" and "true airspeed" in airspeed.message
    assert check(item, "25 kt").reply == "half"
    assert check(item, "130 kt").reply == "twice"
    assert check(item, "100 kt").reply == ""


def test_wrong_airspeed_needs_the_other_airspeed_to_differ():
    item = at(50.0, airspeeds=lambda airplane, values: {"tas": 1.31 * values["base"]})
    assert check(item, "65.5").status == "correct"
    assert check(item, "72.5").reply != "airspeed"


def test_a_named_airspeed_is_read_and_compared():
    item = at(50.0)  # 65 kt; the true airspeed is 72.5 kt
    for text in ("65 KIAS", "65 kt CAS", "65kcas", "74.8 mph IAS"):
        assert check(item, text).status == "correct", text
    called = check(item, "65 KTAS")
    assert (called.status, called.reply) == ("close", "airspeed")
    assert "not the true airspeed" in called.message
    assert check(item, "72.5 KTAS").reply == "airspeed"
    assert check(item, "KIAS").status == "unchecked"


def test_another_airspeed_inside_the_close_band_is_named():
    item = at(50.0, airspeeds=lambda airplane, values: {"tas": 1.38 * values["base"]})
    near = check(item, "69 kt")  # 65 kt is right, 69 kt the true airspeed
    assert (near.status, near.reply) == ("close", "airspeed")
    assert check(item, "67.4 kt").reply == "" and check(item, "61.5 kt").reply == ""


THOUSANDS = ("1,200 ft", "1 200 ft", "1'200 ft", "1200", "1,200.0 ft", "365.76 m", "0.36576 km")


def test_thousands_decimals_and_other_units_of_a_height():
    question = speed_question(
        quantity="height",
        tolerance=Tolerance(3.0, 9.0),
        answer=lambda airplane, values: 365.76,
        airspeeds=None,
    )
    item = vary(question, AIRPLANE, 1)
    for text in THOUSANDS:
        assert check(item, text).status == "correct", text
    asked_back = check(item, "1.200 ft")
    assert asked_back.status == "unchecked" and "1,200\u00a0ft" in asked_back.message
    comma = vary(question, AIRPLANE, 1, Preferences(decimal_mark=","))
    for text in ("1.200 ft", "1.200", "1 200 ft", "1200,0 ft", "365,76 m"):
        assert check(comma, text).status == "correct", text
    assert check(item, "1200 m").reply == "unit" and check(item, "365.76 ft").reply == "unit"
    factors = {"12,000": "10", "120 ft": "10", "12 ft": "100", "1.2 ft": "1000"}
    for text, factor in factors.items():
        slipped = check(item, text)
        assert slipped.reply == "ten" and f"factor of {factor}:" in slipped.message, text
    assert check(item, "120,000 ft").reply == "ten"
    wrong_kind = check(item, "1200 kt")
    assert wrong_kind.status == "unchecked" and "kt" in wrong_kind.message


def test_close_band_of_a_speed():
    item = at(50.0)
    statuses = [check(item, f"{kt} kt").status for kt in (60, 60.5, 63, 65, 67, 69.5, 70, 70.5)]
    assert statuses == ["close", "close", *["correct"] * 3, "close", "close", "incorrect"]


def test_numbers_without_lesson_value_are_drawn_again():
    """A misconception that comes to the right number for one draw is never asked."""

    def wrong_only_at_55(airplane, values):
        is_55 = abs(values["base"] - mps_from_kt(55.0)) < 0.1
        return 1.3 * values["base"] if is_55 else 3.0 * values["base"]

    question = speed_question(
        misconceptions=(
            Misconception("half", wrong_only_at_55),
            Misconception("twice", lambda airplane, values: 2.6 * values["base"]),
        )
    )
    drawn = {
        round(vary(question, AIRPLANE, s).values["base"] / mps_from_kt(1.0)) for s in range(99)
    }
    assert drawn == set(range(50, 61)) - {55}
    question = speed_question(usable=lambda airplane, values: values["base"] > mps_from_kt(58.5))
    drawn = {
        round(vary(question, AIRPLANE, s).values["base"] / mps_from_kt(1.0)) for s in range(99)
    }
    assert drawn == {59, 60}


def test_the_draw_is_even_and_ends_are_reached():
    drawn = [vary(speed_question(), AIRPLANE, seed).values["base"] for seed in range(200)]
    assert min(drawn) == pytest.approx(mps_from_kt(50.0))
    assert max(drawn) == pytest.approx(mps_from_kt(60.0))


def test_seed_depends_on_the_question_too():
    other = speed_question(key="speed", lesson="sample")
    renamed = dataclasses.replace(other, lesson="other")
    one = [vary(other, AIRPLANE, seed).values["base"] for seed in range(12)]
    two = [vary(renamed, AIRPLANE, seed).values["base"] for seed in range(12)]
    assert one != two


def test_fingerprint_follows_the_card():
    same = SimpleNamespace(card=SimpleNamespace(name="x", entries={"a": 1}))
    changed = SimpleNamespace(card=SimpleNamespace(name="x", entries={"a": 2}))
    assert fingerprint(AIRPLANE) == fingerprint(same) != fingerprint(changed)


def test_result_refuses_an_outcome_that_leads_nowhere():
    with pytest.raises(ValueError):
        Result("fine", "message", "next")
    with pytest.raises(ValueError):
        Result("correct", "message", " ")


def test_a_kind_registers_once():
    with pytest.raises(ValueError):
        register("number", object())
    drill = register("drill", object())
    try:
        assert KINDS["drill"] is drill
    finally:
        del KINDS["drill"]


def no_number(airplane, values):
    return float("nan")


def falls_over(airplane, values):
    raise ZeroDivisionError("no airplane")


SAME = Misconception("half", lambda airplane, values: 1.3 * values["base"])
TWICE = Misconception("twice", lambda airplane, values: 2.6 * values["base"])
TIGHT = Tolerance(mps_from_kt(2.0), mps_from_kt(2.0))
HUGE = Tolerance(mps_from_kt(2.0), mps_from_kt(200.0))
TOSS = iter(range(10_000))


def moody(airplane, values):
    return mps_from_kt(200.0 + next(TOSS))


FROZEN = Variable("base", "speed", mps_from_kt(50.0), mps_from_kt(50.0), mps_from_kt(1.0))

BROKEN = {
    "unknown kind": ({"kind": "guess"}, "registered"),
    "level": ({"level": "hard"}, "level"),
    "key": ({"hints": ("nudge", "idea", "Method!")}, "small letters"),
    "hints": ({"hints": ("nudge", "idea")}, "fewer than 3 hints"),
    "hint twice": ({"hints": ("nudge", "idea", "idea")}, "fewer than 3 hints"),
    "hint without text": ({"hints": ("nudge", "idea", "trick")}, "hint.trick is missing"),
    "no tolerance": ({"tolerance": None}, "tolerance"),
    "no quantity": ({"quantity": ""}, "quantity"),
    "no close band": ({"tolerance": TIGHT}, "close band"),
    "everything close": ({"tolerance": HUGE}, "close band"),
    "one misconception": ({"misconceptions": (TWICE,)}, "at least two"),
    "same key": ({"misconceptions": (TWICE, TWICE)}, "same key"),
    "right misconception": ({"misconceptions": (SAME, TWICE)}, "comes to the right number"),
    "no reply": (
        {"misconceptions": (dataclasses.replace(TWICE, key="thrice"), TWICE)},
        "reply.thrice is missing",
    ),
    "nan": ({"answer": no_number}, "no number"),
    "not the same twice": ({"answer": moody}, "another answer"),
    "exception": ({"answer": falls_over}, "ZeroDivisionError"),
    "no variation": ({"variables": (FROZEN,)}, "does not vary"),
    "no texts": ({"key": "other"}, "the text prompt is missing"),
    "unfilled": ({"variables": ()}, "KeyError"),
    "nothing usable": ({"usable": lambda airplane, values: False}, "usable"),
    "fact not a number": (
        {"facts": lambda airplane, values: {"base": Fact(float("nan"), "speed")}},
        "no number",
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_validation_finds(name):
    changes, words = BROKEN[name]
    problems = problems_of(speed_question(**changes), [AIRPLANE], range(3))
    assert any(words in problem for problem in problems), problems


def test_validation_finds_a_text_that_does_not_fit(sample_texts):
    text = SPEED_TEXT.replace("It is {answer}.", "It is {result}.")
    sample_texts.write_text(text, "utf-8")
    sentences._flat.cache_clear()
    assert any("result" in p for p in problems_of(speed_question(), [AIRPLANE], [1]))
    sample_texts.write_text(SPEED_TEXT.replace("It is {answer}.", "Nothing."), "utf-8")
    sentences._flat.cache_clear()
    assert any("end in the answer" in p for p in problems_of(speed_question(), [AIRPLANE], [1]))
    sample_texts.write_text(SPEED_TEXT.replace("Twice of it.", "Half of it."), "utf-8")
    sentences._flat.cache_clear()
    assert any("say the same" in p for p in problems_of(speed_question(), [AIRPLANE], [1]))


CHOICE_TEXT = """
[exercise.pick]
title = "A choice"
prompt = "Which?"
next = "Think of drag."
solution = "It is: {answer}"
source = "Made up for this test."
[exercise.pick.option]
one = "First"
two = "Second"
three = "Third"
[exercise.pick.hint]
nudge = "What?"
idea = "That."
method = "So."
[exercise.pick.reply]
correct = "Yes, because."
second = "No, because of two."
third = "No, because of three."
"""


def choice_question(**changes):
    question = Question(
        key="pick",
        lesson="sample",
        kind="choice",
        level="understanding",
        options=("one", "two", "three"),
        answer=lambda airplane, values: "one",
        misconceptions=(Misconception("second", "two"), Misconception("third", "three")),
    )
    return dataclasses.replace(question, **changes)


BROKEN_CHOICES = {
    "answer": ({"answer": lambda airplane, values: "four"}, "none of the options"),
    "uncovered": ({"misconceptions": (Misconception("second", "two"),)}, "each wrong option"),
    "twice": (
        {"misconceptions": (Misconception("second", "two"), Misconception("third", "two"))},
        "misconception",
    ),
    "too few": ({"options": ("one", "two")}, "three to eight"),
}


@pytest.mark.parametrize("name", BROKEN_CHOICES)
def test_validation_of_choices(name, sample_texts):
    sample_texts.write_text(CHOICE_TEXT, "utf-8")
    sentences._flat.cache_clear()
    assert problems_of(choice_question(), [AIRPLANE], range(3)) == []
    changes, words = BROKEN_CHOICES[name]
    problems = problems_of(choice_question(**changes), [AIRPLANE], range(3))
    assert any(words in problem for problem in problems), problems


def test_validation_of_orders(sample_texts):
    sample_texts.write_text(CHOICE_TEXT, "utf-8")
    sentences._flat.cache_clear()
    order = choice_question(
        kind="order",
        options=(),
        answer=lambda airplane, values: ("one", "two", "three"),
        misconceptions=(Misconception("second", ("two", "one")),),
    )
    # Of three steps every sixth shuffle would be the right order.
    assert problems_of(order, [AIRPLANE], range(60)) == []
    right_way = (Misconception("second", ("one", "two")),)
    broken = dataclasses.replace(order, misconceptions=right_way)
    assert any("right order" in p for p in problems_of(broken, [AIRPLANE], range(3)))
    short = dataclasses.replace(order, answer=lambda airplane, values: ("one", "two"))
    assert any("three or more" in p for p in problems_of(short, [AIRPLANE], range(3)))
