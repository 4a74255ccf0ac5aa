"""Exercise sheet and key: the same questions, the same numbers, the models' answers."""

import importlib
from dataclasses import replace

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import built_in_cards, card_from_tables, card_to_tables, fit_airplane
from lessonkit.exercises import vary
from lessonkit.exercises.kinds import KINDS
from lessonkit.prints.answer_spaces import SPACES, answer_space
from lessonkit.prints.answers import WRONG
from lessonkit.prints.exercise_sheet import answer_key, exercise_sheet
from lessonkit.prints.selection import select
from lessonkit.words import Preferences, unit_of
from lessonkit.words.escape import plain

AIRPLANES = {key: fit_airplane(card) for key, card in built_in_cards().items()}
COMMA = Preferences(speed_unit="mph", mass_unit="kg", decimal_mark=",", paper="A4")
LESSONS = ("airplane_card", "power_off_approach")


def questions(lesson):
    return importlib.import_module(f"lessonkit.lessons.{lesson}.exercises").QUESTIONS


QUESTIONS = [question for lesson in LESSONS for question in questions(lesson)]


def spaced(text):
    """A text as it is read on paper."""
    return " ".join(plain(text).replace("\u00a0", " ").replace("$", "\uff04").split())


def printed(make, chosen, key="two_seat", seed=7, preferences=COMMA):
    return assert_harmless(make(chosen, AIRPLANES[key], seed, preferences))


@pytest.mark.parametrize("make", [exercise_sheet, answer_key])
def test_seed_and_airplane_stand_on_both(make):
    read = printed(make, QUESTIONS)
    assert "Sheet 7" in read.text
    assert AIRPLANES["two_seat"].name in read.text


@pytest.mark.parametrize(("key", "seed"), list(zip(AIRPLANES, (1, 2, 30), strict=True)))
def test_sheet_asks_and_key_answers_the_same_questions(key, seed):
    sheet = printed(exercise_sheet, QUESTIONS, key, seed)
    solved = printed(answer_key, QUESTIONS, key, seed)
    for question in QUESTIONS:
        item = vary(question, AIRPLANES[key], seed, COMMA)
        for line in item.prompt.splitlines():
            assert spaced(line) in sheet.text
            assert spaced(line) in solved.text
        for line in item.written(item.answer).splitlines():
            assert spaced(line) in solved.text
        for line in item.solution.splitlines():
            assert spaced(line) in solved.text
        assert spaced(item.say("source")) in solved.text


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.record_key)
def test_answer_of_the_key_is_the_models(question):
    """The number behind "Answer" is what the question's own model call gives."""
    airplane = AIRPLANES["low_wing_four_seat"]
    item = vary(question, airplane, 5, COMMA)
    solved = printed(answer_key, [question], "low_wing_four_seat", 5)
    answer = question.answer(airplane, item.values)
    after = solved.text.partition("1 (")[2].partition(" Answer ")[2]
    if question.kind == "choice":
        letter = "ABCDEFGH"[item.option_keys.index(answer)]
        assert after.startswith(f"{letter}. {spaced(item.say(f'option.{answer}'))}")
    else:
        assert after.startswith(spaced(item.written(answer)))


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.record_key)
def test_sheet_does_not_give_the_answer_away(question):
    sheet = printed(exercise_sheet, [question])
    item = vary(question, AIRPLANES["two_seat"], 7, COMMA)
    assert spaced(item.solution) not in sheet.text
    if question.kind == "order":
        shown = [sheet.text.index(spaced(text)) for _, text in item.options]
        assert shown == sorted(shown)
        assert tuple(key for key, _ in item.options) != item.answer


def test_sheet_has_room_units_and_letters():
    by_kind = {question.kind: question for question in QUESTIONS}
    number = printed(exercise_sheet, [by_kind["number"]])
    assert ("span", "class", "blank answer") in number.attributes
    assert f"Answer {unit_of(by_kind['number'].quantity, COMMA)}" in number.text
    choice = vary(by_kind["choice"], AIRPLANES["two_seat"], 7, COMMA)
    text = printed(exercise_sheet, [by_kind["choice"]]).text
    for letter, (_, option) in zip("ABCDEFGH", choice.options, strict=False):
        assert f"{letter}. {spaced(option)}" in text


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.record_key)
def test_key_has_every_misconception_that_is_wrong(question):
    item = vary(question, AIRPLANES["two_seat"], 7, COMMA)
    text = printed(answer_key, [question]).text
    for misconception in question.misconceptions:
        typed = WRONG[question.kind](item, misconception)
        reply = spaced(item.say(f"reply.{misconception.key}", typed=typed))
        right = question.kind == "choice" and misconception.wrong == item.answer
        assert (reply in text) != right


def test_every_kind_of_answer_has_a_space_and_wrong_ways():
    assert set(SPACES) == set(KINDS) == set(WRONG)


def test_a_kind_without_a_space_is_named():
    question = replace(QUESTIONS[0], kind="song")
    item = replace(vary(QUESTIONS[0], AIRPLANES["two_seat"], 1), question=question)
    with pytest.raises(KeyError, match="song"):
        answer_space(item)


def test_another_seed_has_other_numbers():
    one, other = (printed(exercise_sheet, QUESTIONS, seed=seed).text for seed in (1, 2))
    assert one.replace("Sheet 1", "Sheet 2") != other


@pytest.mark.parametrize("name", ["</article><script>x</script>", '"><i', "\u202eX", "W" * 60])
def test_name_of_the_airplane_stays_a_name(name):
    tables = card_to_tables(AIRPLANES["two_seat"].card)
    tables["airplane"]["name"] = name
    airplane = fit_airplane(card_from_tables(tables))
    for make in (exercise_sheet, answer_key):
        read = assert_harmless(make(QUESTIONS, airplane, 7, COMMA))
        assert plain(name) in read.text


@pytest.mark.parametrize("make", [exercise_sheet, answer_key])
def test_no_question_is_one_sentence(make):
    with pytest.raises(ValueError, match=r"^This lesson has no exercises to print: .*\.$"):
        make([], AIRPLANES["two_seat"], 1)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("", "abcde"),
        ("  ", "abcde"),
        ("1", "a"),
        ("2-4", "bcd"),
        ("5, 1", "ae"),
        ("1 - 2;4", "abd"),
        ("3\u20134 4", "cd"),
    ],
)
def test_exercises_are_chosen_as_people_write_it(text, found):
    assert "".join(select("abcde", text)) == found


@pytest.mark.parametrize("text", ["0", "6", "4-6", "3-1", "one", "1-", "-2", "1.5", "9" * 99])
def test_other_choices_are_one_sentence(text):
    with pytest.raises(ValueError, match=r"there are 5, so write for example 1-5\.$"):
        select("abcde", text)
