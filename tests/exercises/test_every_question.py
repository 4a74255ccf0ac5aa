"""Each question answered right, blank, not known, wrong, with each misconception, at each edge.

Fifty seeds, four cards, both preferences; a new question is covered as soon as its lesson has it.
Where only the numbers matter, what two seeds have in common is answered once.
"""

import dataclasses

import pytest
from every_question import AIRPLANES, OTHER, PLAIN, QUESTIONS, SEEDS, distinct, items, named

from lessonkit.exercises import KINDS, Tolerance, check, kind_of, problems_of
from lessonkit.exercises.places import ways
from lessonkit.exercises.settings import reference_of, start_of
from lessonkit.words import to_shown, unit_of

BOTH = pytest.mark.parametrize("preferences", [PLAIN, OTHER], ids=["plain", "other"])
INSIDE, OUTSIDE = 1.0 - 1e-6, 1.0 + 1e-6


def helps(result):
    """Tell whether a result says what to do next; "try again" alone does not."""
    words = result.next_step.lower().strip(" .!")
    return bool(words) and words not in ("try again", "again") and bool(result.message.strip())


def typed(item, value):
    """Write a number with all its digits in the learner's unit, as a test may type it."""
    kind, preferences = item.question.quantity, item.preferences
    number = f"{to_shown(value, kind, preferences):.9f}".replace(".", preferences.decimal_mark)
    return f"{number} {unit_of(kind, preferences)}"


def test_four_cards_and_fifty_seeds():
    names = {airplane.card.name for airplane in AIRPLANES}
    assert len(names) == len(AIRPLANES) == 4 and len(SEEDS) == 50
    assert {question.kind for question in QUESTIONS} == set(KINDS)
    for question in QUESTIONS:
        asked = items(question)
        assert {item.seed for item in asked} == set(SEEDS)
        assert {id(item.airplane) for item in asked} == {id(airplane) for airplane in AIRPLANES}
    assert sum(len(items(question)) == 200 for question in QUESTIONS) >= 20


@named()
def test_sound(question):
    for card, airplane in enumerate(AIRPLANES):
        assert problems_of(question, [airplane], SEEDS[card :: len(AIRPLANES)][:3]) == []


@BOTH
@named()
def test_right(question, preferences):
    kind = kind_of(question)
    for item in items(question, preferences):
        right = kind.right(item)
        result = check(item, right)
        assert (result.status, result.reply) == ("correct", ""), (item.seed, right, result)
        assert helps(result)
        if question.kind not in ("choice", "order"):
            # As it is written on the key it may be typed too.
            written = right if question.kind == "number" else kind.written(item, right)
            assert check(item, written).status == "correct", (item.seed, written)


@named()
def test_blank_and_not_known(question):
    for item in items(question):
        for blank in ("", "  ", None, (), [], {}):
            result = check(item, blank)
            assert result.status == "not_attempted" and result.reply == "" and helps(result)
        result = check(item, "I don't know")
        assert (result.status, result.reply) == ("not_attempted", "not_known")
        assert result.next_step == item.hint(1)


def wrong_answers(item):
    """Return answers that are plainly wrong."""
    question = item.question
    if question.kind == "number":
        return [typed(item, 30.0 * item.answer), typed(item, -0.4 * item.answer)]
    if question.kind == "choice":
        return [key for key, _ in item.options if key != item.answer]
    if question.kind == "order":
        return [item.answer[1:] + item.answer[:1], item.answer[::-1]]
    if question.kind == "mark":
        return [question.mark.start(item.airplane, item.values)]
    if question.kind == "set":
        return [start_of(item)]
    assert question.kind == "judge", "a new kind needs its wrong answers here"
    other = {
        aspect.key: next(o for o in aspect.options if o != item.answer[aspect.key])
        for aspect in question.aspects
    }
    return [other, *({**item.answer, key: option} for key, option in other.items())]


@named()
def test_wrong(question):
    for item in distinct(question):
        for answer in wrong_answers(item):
            result = check(item, answer)
            nearly = question.kind == "judge" and result.status == "close"
            assert result.status == "incorrect" or nearly, (item.seed, answer, result)
            assert helps(result)
    assert check(items(question)[0], "§ nothing that could be meant").status == "unchecked"


@BOTH
@named()
def test_each_misconception_gets_its_own_reply(question, preferences):
    kind, seen = kind_of(question), set()
    for item in distinct(question, preferences):
        messages = []
        for misconception in question.misconceptions:
            wrong = kind.wrong(item, misconception)
            if wrong is None:
                continue  # the right answer, or none at all, with these numbers
            result = check(item, wrong)
            assert result.status in ("incorrect", "close"), (item.seed, wrong, result)
            assert result.reply == misconception.key, (item.seed, wrong, result)
            assert helps(result)
            seen.add(misconception.key)
            messages.append(result.message)
        assert len(set(messages)) == len(messages)
    assert seen == {misconception.key for misconception in question.misconceptions}


STEPS = (  # share of the tolerance or of the close band, and what it gets
    ("within", 0.0, "correct"),
    ("within", INSIDE, "correct"),
    ("within", OUTSIDE, "close"),
    ("close", INSIDE, "close"),
    ("close", OUTSIDE, "incorrect"),
)


def assert_edge(result, status, where):
    """Compare a status; a misconception or a slip may lie beyond the tolerance and has the say."""
    explained = status == "close" and result.status == "incorrect" and result.reply
    assert result.status == status or explained, (where, result)
    assert helps(result)


@BOTH
@named("number")
def test_edges_of_numbers(question, preferences):
    for item in distinct(question, preferences):
        for side in (-1.0, 1.0):
            for band, share, status in STEPS:
                off = side * share * getattr(question.tolerance, band)
                result = check(item, typed(item, item.answer + off))
                assert_edge(result, status, (item.seed, band, share, side))
                if result.status == "close" and not result.reply:
                    assert item.echo(item.answer + off) in result.message


@named("mark")
def test_edges_of_marks(question):
    weights = {"x": 1.0, "y": question.mark.y_weight}
    for item in distinct(question):
        for way in ways(item):
            for side in (-1.0, 1.0):
                for band, share, status in STEPS:
                    off = side * share * getattr(question.tolerance, band) / weights[way]
                    place = list(item.answer)
                    place["xy".index(way)] += off
                    result = check(item, tuple(place))
                    assert_edge(result, status, (item.seed, way, band, share, side))


@named("set")
def test_edges_of_settings(question):
    """The outcome is put at the edges: which settings lead there only the models know."""
    for item in distinct(question):
        reference = reference_of(item)
        for side in (-1.0, 1.0):
            for band, share, status in STEPS:
                off = side * share * getattr(question.tolerance, band)
                there = dataclasses.replace(
                    question,
                    outcome=lambda a, v, s, at=item.answer + off: at,
                    misconceptions=(),
                )
                moved = dataclasses.replace(item, question=there)
                result = check(moved, reference)
                assert_edge(result, status, (item.seed, band, share, side))


@named("judge", "order")
def test_one_step_from_right_is_not_right(question):
    for item in distinct(question):
        if question.kind == "order":
            last = [*item.answer[:-2], item.answer[-1], item.answer[-2]]
            assert check(item, last).status in ("close", "incorrect")
            assert check(item, item.answer[:-1]).status == "unchecked"
        else:
            key = question.aspects[0].key
            left = {aspect: option for aspect, option in item.answer.items() if aspect != key}
            assert check(item, left).status == "unchecked"


def test_an_edge_that_moved_would_be_seen():
    """The edges above are those of the question: a wider tolerance changes what they get."""
    question = next(q for q in QUESTIONS if q.kind == "number")
    item = items(question)[0]
    beyond = typed(item, item.answer + OUTSIDE * question.tolerance.within)
    assert check(item, beyond).status != "correct"
    wide = Tolerance(question.tolerance.within * 1.01, question.tolerance.close * 1.01)
    wider = dataclasses.replace(item, question=dataclasses.replace(question, tolerance=wide))
    assert check(wider, beyond).status == "correct"
