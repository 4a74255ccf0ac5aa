"""What is wrong with a question, for its author: run by a test over every question."""

import re
from collections.abc import Iterable

from lessonkit.exercises.check import check
from lessonkit.exercises.kinds import KINDS, kind_of
from lessonkit.exercises.question import LEVELS, Question
from lessonkit.exercises.result import CORRECT
from lessonkit.exercises.vary import vary
from lessonkit.words import texts

_KEY = re.compile(r"[a-z][a-z0-9_]*")
_FEWEST_HINTS = 3
_LONGEST_TITLE = 40


def problems_of(
    question: Question, airplanes: Iterable[object], seeds: Iterable[int] = range(20)
) -> list[str]:
    """Return one line for each defect; empty when the question is sound.

    Parameters
    ----------
    question : Question
        As it stands in a lesson.
    airplanes : iterable of Airplane
        It has to work for all of them.
    seeds : iterable of int
        Sets of numbers that are tried.

    Returns
    -------
    list of str
        For the author of the question, each defect once.
    """
    if question.kind not in KINDS:
        return [f"nobody registered the kind {question.kind}"]
    found = [*_form(question), *_missing_texts(question)]
    if found:
        return found
    seeds = list(seeds)
    for airplane in airplanes:
        for seed in seeds:
            found += _seen_at(question, airplane, seed)
    return list(dict.fromkeys(found))


def _form(question: Question) -> list[str]:
    keys = [question.key, question.lesson, *question.hints, *question.options]
    keys += [misconception.key for misconception in question.misconceptions]
    found = [f"the key {key!r} is not in small letters" for key in keys if not _KEY.fullmatch(key)]
    if question.level not in LEVELS:
        found.append(f"the level {question.level!r} is none of {', '.join(LEVELS)}")
    if len(set(question.hints)) < _FEWEST_HINTS:
        found.append(f"there are fewer than {_FEWEST_HINTS} hints")
    found += [f"the kind {question.kind} needs {need}" for need in _lacking(question)]
    names = [misconception.key for misconception in question.misconceptions]
    if len(set(names)) < len(names):
        found.append("two misconceptions have the same key")
    for variable in question.variables:
        if not (variable.step > 0.0 and len(variable.values()) > 1):
            found.append(f"the variable {variable.name} does not vary")
    return found


# What the kinds need besides what every question has.
_NEEDED = {
    "number": ("quantity", "tolerance"),
    "mark": ("quantity", "tolerance", "picture", "mark"),
    "set": ("quantity", "tolerance", "settings", "outcome", "reference"),
    "judge": ("picture", "aspects"),
}


def _lacking(question: Question) -> list[str]:
    needed = _NEEDED.get(question.kind, ())
    found = [name for name in needed if not getattr(question, name)]
    if question.kind == "judge" and not found:
        keys = [aspect.key for aspect in question.aspects]
        if len(set(keys)) < max(len(keys), 2):
            found.append("two or more aspects, each with its own key")
        if any(not 2 <= len(set(a.options)) == len(a.options) <= 5 for a in question.aspects):
            found.append("two to five different options for each aspect")
    return found


def _missing_texts(question: Question) -> list[str]:
    known = texts(question.lesson)
    names = ["title", "prompt", "solution", "source", "next"]
    names += [f"hint.{hint}" for hint in question.hints]
    names += [f"reply.{misconception.key}" for misconception in question.misconceptions]
    names += [f"option.{option}" for option in question.options]
    if question.kind != "number":
        names.append("reply.correct")
    for aspect in question.aspects:
        names += [f"aspect.{aspect.key}", f"why.{aspect.key}"]
        names += [f"option.{option}" for option in aspect.options]
    wanted = {name: known.get(f"{question.text_key}.{name}", "").strip() for name in names}
    found = [f"the text {name} is missing" for name, text in wanted.items() if not text]
    replies = [text for name, text in wanted.items() if name.startswith(("reply.", "hint."))]
    if len(set(replies)) < len(replies):
        found.append("two replies or hints say the same")
    if len(wanted["title"]) > _LONGEST_TITLE:
        found.append(f"the title is longer than {_LONGEST_TITLE} characters")
    return found


_ANSWER_SHOWN = ("number", "mark", "set")


def _names_the_answer(item) -> bool:
    """Tell whether the solution holds the answer: as it is written, or a place by its numbers."""
    numbers = kind_of(item.question).extras(item).values() if item.question.kind == "mark" else ()
    whole = item.written(item.answer) in item.solution
    return whole or (bool(numbers) and all(number in item.solution for number in numbers))


def _replies(item) -> list[str]:
    given = {"typed": "", "outcome": "", "wanted": ""}
    shown = [item.say(f"reply.{m.key}", **given) for m in item.question.misconceptions]
    if item.question.kind != "number":
        shown.append(item.say("reply.correct", **given))
    return shown + [item.say(f"why.{aspect.key}") for aspect in item.question.aspects]


def _picture_texts(item) -> list[str]:
    if item.picture is None:
        return []
    for drawn in item.picture.items:
        item.picture.axes_named(drawn.axes)  # raises where something lies on no axes
    return [item.say(f"picture.{key}") for key in item.picture.text_keys()]


def _seen_at(question: Question, airplane: object, seed: int) -> list[str]:
    try:
        item = vary(question, airplane, seed)
        found = kind_of(question).problems(item)
        if not found and question.answer(airplane, item.values) != item.answer:
            found = ["the same seed gives another answer"]
        if not question.usable(airplane, item.values):
            found.append("no usable numbers were drawn")
        if found:
            return found
        # Reading every text once shows a name that no fact fills.
        shown = [item.title, item.prompt, item.solution, *(text for _, text in item.options)]
        shown += [item.hint(number) for number in range(1, len(question.hints) + 1)]
        shown += _replies(item) + _picture_texts(item)
        right = kind_of(question).right(item)
        if check(item, right).status != CORRECT:
            found.append(f"the model's own answer, {right!r}, is not taken as correct")
        if question.kind in _ANSWER_SHOWN and not _names_the_answer(item):
            found.append("the solution does not end in the answer")
    except Exception as error:  # whatever a broken question does is its defect, named below
        return [f"{type(error).__name__}: {error}"]
    return [*found, *(f"a text holds no number: {text}" for text in shown if "not known" in text)]
