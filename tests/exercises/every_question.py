"""Every question of every lesson with its numbers, for tests: fifty seeds, four cards.

A model call is made once for each airplane and set of numbers, however many seeds draw it.
"""

import dataclasses
import functools
import importlib
import pkgutil
from pathlib import Path

import pytest

import lessonkit.lessons
from lessonkit.airplane import fit_airplane, read_card
from lessonkit.airplane.library import built_in_cards
from lessonkit.exercises import Question, remembered, vary
from lessonkit.lessons.power_off_approach.flights import Bench
from lessonkit.models.power_off_pilot import PowerOffPilot
from lessonkit.words import Preferences

SEEDS = range(50)
PLAIN = Preferences()
OTHER = Preferences(speed_unit="mph", mass_unit="kg", decimal_mark=",")
CALLS = ("answer", "facts", "usable", "picture", "outcome", "reference", "airspeeds")
ALL = 100_000


def trainer():
    """Return the card of the tests' own folder, made of published figures."""
    path = Path(__file__).parents[1] / "airplane" / "published_trainer.toml"
    return read_card(path)


AIRPLANES = tuple(fit_airplane(card) for card in (*built_in_cards().values(), trainer()))


def remembering(question: Question) -> Question:
    """Return the same question; each of its model calls is made once for the same numbers."""
    calls = {name: getattr(question, name) for name in CALLS}
    calls = {name: remembered(call, ALL) for name, call in calls.items() if call is not None}
    if question.mark is not None:
        start = remembered(question.mark.start, ALL)
        calls["mark"] = dataclasses.replace(question.mark, start=start)
    misconceptions = tuple(
        dataclasses.replace(
            m,
            wrong=remembered(m.wrong, ALL) if callable(m.wrong) else m.wrong,
            example=remembered(m.example, ALL) if m.example else None,
        )
        for m in question.misconceptions
    )
    return dataclasses.replace(question, **calls, misconceptions=misconceptions)


def all_questions():
    """Yield the questions of every lesson that has any."""
    for module in pkgutil.iter_modules(lessonkit.lessons.__path__):
        exercises = importlib.import_module(f"lessonkit.lessons.{module.name}.exercises")
        yield from exercises.QUESTIONS


QUESTIONS = tuple(remembering(question) for question in all_questions())


def named(*kinds):
    """Parametrise a test by all questions, or those of some kinds."""
    chosen = [q for q in QUESTIONS if not kinds or q.kind in kinds]
    return pytest.mark.parametrize("question", chosen, ids=lambda q: q.record_key)


class _Flown(Exception):
    """An approach was begun."""


def flies(question):
    """Tell whether a question flies an approach to be asked: some twenty milliseconds each."""

    def begun(*whatever):
        raise _Flown

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(PowerOffPilot, "__call__", begun)
        patch.setattr(Bench, "planned", begun)  # it may know this plan already
        try:
            # Another airplane than in any other test: nothing is remembered of it.
            vary(question, fit_airplane(trainer()), 0)
        except _Flown:
            return True
    return False


@functools.cache
def items(question, preferences=PLAIN):
    """Return the question's items: every card with every seed.

    A question that flies approaches shares the seeds out among the cards.
    """
    if preferences is PLAIN:
        step = len(AIRPLANES) if flies(question) else 1
        seeds = [SEEDS[card % step :: step] for card in range(len(AIRPLANES))]
        pairs = zip(AIRPLANES, seeds, strict=True)
        return [vary(question, plane, seed) for plane, own in pairs for seed in own]
    return [dataclasses.replace(item, preferences=preferences) for item in items(question)]


def distinct(question, preferences=PLAIN):
    """Return one item for each card and set of numbers: what depends on nothing else."""
    found = {
        (id(item.airplane), tuple(item.values.values())): item
        for item in items(question, preferences)
    }
    return list(found.values())
