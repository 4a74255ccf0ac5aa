"""Exercise sheet and key: the same questions, the same numbers, the models' answers."""

import functools
import importlib
from dataclasses import replace

import pytest
from print_reading import assert_harmless

from lessonkit.airplane import built_in_cards, card_from_tables, card_to_tables, fit_airplane
from lessonkit.exercises import vary
from lessonkit.exercises.kinds import KINDS, kind_of
from lessonkit.prints.answer_spaces import SPACES, answer_space
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


@functools.cache
def whole(make, key="two_seat", seed=7):
    """Every question on one print, made once for all tests."""
    return printed(make, QUESTIONS, key, seed)


@functools.cache
def item_of(question_key, key="two_seat", seed=7):
    question = next(one for one in QUESTIONS if one.record_key == question_key)
    return vary(question, AIRPLANES[key], seed, COMMA)


def part(make, question):
    """The text of one question on the print of them all."""
    number = QUESTIONS.index(question) + 1
    text = whole(make).text
    start = text.index(f"{number}. {spaced(item_of(question.record_key).title)} (")
    following = text.find(f" {number + 1}. {spaced(title_after(number))} (", start)
    return text[start : following if following > 0 else None]


def title_after(number):
    return item_of(QUESTIONS[number].record_key).title if number < len(QUESTIONS) else "\0"


@pytest.mark.parametrize("make", [exercise_sheet, answer_key])
def test_seed_and_airplane_stand_on_both(make):
    read = whole(make)
    assert "Sheet 7" in read.text
    assert AIRPLANES["two_seat"].name in read.text


@pytest.mark.parametrize(("key", "seed"), [("two_seat", 7), ("high_wing_four_seat", 2)])
def test_sheet_asks_and_key_answers_the_same_questions(key, seed):
    sheet, solved = whole(exercise_sheet, key, seed), whole(answer_key, key, seed)
    for question in QUESTIONS:
        item = item_of(question.record_key, key, seed)
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
    item = item_of(question.record_key)
    answer = question.answer(AIRPLANES["two_seat"], item.values)
    after = part(answer_key, question).partition(" Answer ")[2]
    if question.kind == "choice":
        letter = "ABCDEFGH"[item.option_keys.index(answer)]
        assert after.startswith(f"{letter}. {spaced(item.say(f'option.{answer}'))}")
    elif question.kind == "judge":
        for aspect in question.aspects:
            verdict = (
                f"{item.say(f'aspect.{aspect.key}')} {item.say(f'option.{answer[aspect.key]}')}"
            )
            assert spaced(verdict) in after
    else:
        assert after.startswith(spaced(item.written(answer)))


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.record_key)
def test_sheet_does_not_give_the_answer_away(question):
    sheet = part(exercise_sheet, question)
    item = item_of(question.record_key)
    assert spaced(item.solution) not in sheet
    if question.kind == "order":
        shown = [sheet.index(spaced(text)) for _, text in item.options]
        assert shown == sorted(shown)
        assert tuple(key for key, _ in item.options) != item.answer


def test_sheet_has_room_units_and_letters():
    by_kind = {question.kind: question for question in reversed(QUESTIONS)}
    number = printed(exercise_sheet, [by_kind["number"]])
    assert ("span", "class", "blank answer") in number.attributes
    assert f"Answer {unit_of(by_kind['number'].quantity, COMMA)}" in number.text
    choice = vary(by_kind["choice"], AIRPLANES["two_seat"], 7, COMMA)
    text = printed(exercise_sheet, [by_kind["choice"]]).text
    for letter, (_, option) in zip("ABCDEFGH", choice.options, strict=False):
        assert f"{letter}. {spaced(option)}" in text


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda one: one.record_key)
def test_key_has_the_reply_of_every_misconception_that_is_wrong(question):
    """The same reply as on the screen, where the question is checked with that wrong answer."""
    item = item_of(question.record_key)
    kind = kind_of(question)
    text = part(answer_key, question)
    for misconception in question.misconceptions:
        wrong = kind.wrong(item, misconception)
        if wrong is None or wrong == item.answer:
            continue
        reply = spaced(kind.check(item, wrong).message)
        if question.kind == "judge":  # the screen names the aspect before, and counts behind
            reply = spaced(item.say(f"reply.{misconception.key}"))
        assert reply in text


def test_every_kind_of_answer_has_a_space():
    assert set(SPACES) == set(KINDS)


def test_a_kind_without_a_space_is_named():
    question = replace(QUESTIONS[0], kind="song")
    item = replace(vary(QUESTIONS[0], AIRPLANES["two_seat"], 1), question=question)
    with pytest.raises(KeyError, match="song"):
        answer_space(item)


def test_another_seed_has_other_numbers():
    one, other = (printed(exercise_sheet, QUESTIONS[:4], seed=seed).text for seed in (1, 2))
    assert one.replace("Sheet 1", "Sheet 2") != other


@pytest.mark.parametrize("name", ["</article><script>x</script>", '"><i', "\u202eX", "W" * 60])
def test_name_of_the_airplane_stays_a_name(name):
    tables = card_to_tables(AIRPLANES["two_seat"].card)
    tables["airplane"]["name"] = name
    airplane = fit_airplane(card_from_tables(tables))
    for make in (exercise_sheet, answer_key):
        read = assert_harmless(make(QUESTIONS[:4], airplane, 7, COMMA))
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
