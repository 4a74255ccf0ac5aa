"""From a question, an airplane and a seed to the numbers of one sheet; always the same ones."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType

import numpy as np

from lessonkit.exercises.kinds import kind_of
from lessonkit.exercises.picture import Picture
from lessonkit.exercises.question import Fact, Phrase, Question
from lessonkit.words import Preferences, say, show

_USUAL = Preferences()
_DRAWS = 60  # sets of numbers tried until one tells right from wrong


@dataclass(frozen=True)
class Item:
    """A question with its numbers put in, for one airplane.

    Parameters
    ----------
    question : Question
        What is asked.
    airplane : Airplane
        For whom.
    seed : int
        Which set of numbers.
    values : mapping of str to float
        What was drawn. [SI, degrees for angles]
    answer : object
        What the models give, in the form of the question's kind.
    option_keys : tuple of str
        Options or steps in the order in which they are shown.
    preferences : Preferences
        Units, decimal mark and language of the texts.
    """

    question: Question
    airplane: object
    seed: int
    values: Mapping[str, float]
    answer: object
    option_keys: tuple[str, ...] = ()
    preferences: Preferences = field(default_factory=Preferences)

    @cached_property
    def shown(self) -> Mapping[str, str]:
        """All numbers of the texts, as the learner reads them."""
        facts = {
            variable.name: Fact(self.values[variable.name], variable.kind)
            for variable in self.question.variables
        }
        facts |= self.question.facts(self.airplane, self.values)
        texts = {
            name: _written(fact, self.preferences)
            for name, fact in facts.items()
            if not isinstance(fact, Phrase)
        }
        texts["airplane"] = self.airplane.card.name
        if self.question.tolerance is not None:
            texts["tolerance"] = self.echo(self.question.tolerance.within)
        for name, phrase in facts.items():
            if isinstance(phrase, Phrase):
                texts[name] = _in_words(phrase, self.preferences, texts)
        return MappingProxyType(texts)

    @cached_property
    def wrong_numbers(self) -> tuple[tuple[str, float], ...]:
        """Number questions: key of each misconception and the number it comes to."""
        return tuple(
            (misconception.key, float(misconception.wrong(self.airplane, self.values)))
            for misconception in self.question.misconceptions
        )

    @cached_property
    def picture(self) -> Picture | None:
        """The picture of the question, settings where they start; None without one."""
        if self.question.picture is None:
            return None
        if self.question.kind == "set":
            settings = self.question.settings
            if callable(settings):
                settings = settings(self.airplane, self.values)
            return self.picture_of({setting.name: setting.start for setting in settings})
        return self.question.picture(self.airplane, self.values)

    def picture_of(self, settings: Mapping[str, float]) -> Picture:
        """Return the picture for some settings: for questions that set controls."""
        return self.question.picture(self.airplane, self.values, settings)

    def quantity(self, value: float) -> str:
        """Return a value of the asked quantity as the learner reads it."""
        if self.question.reads is not None:
            return _in_words(self.question.reads(value), self.preferences, self.shown)
        return show(value, self.question.quantity, self.preferences, digits=self.question.digits)

    def echo(self, value: float) -> str:
        """Return a typed value, rounded no further than its kind is."""
        return show(value, self.question.quantity, self.preferences)

    def say(self, name: str, **values: object) -> str:
        """Return one of the question's texts with its numbers put in; plain text."""
        key = f"{self.question.text_key}.{name}"
        return say(key, preferences=self.preferences, **{**self.shown, **values})

    @property
    def title(self) -> str:
        """Its name in a list, in a few words."""
        return self.say("title")

    @property
    def prompt(self) -> str:
        """What is asked."""
        return self.say("prompt")

    def hint(self, number: int) -> str:
        """Return a hint, counted from 1; from nudge to method."""
        if not 1 <= number <= len(self.question.hints):
            raise IndexError(f"{self.question.key} has no hint {number}")
        return self.say(f"hint.{self.question.hints[number - 1]}")

    def written(self, answer: object) -> str:
        """Return an answer as a learner would write it."""
        return kind_of(self.question).written(self, answer)

    @property
    def solution(self) -> str:
        """The worked solution with the numbers put in."""
        extras = kind_of(self.question).extras(self)
        return self.say("solution", answer=self.written(self.answer), **extras)

    @property
    def options(self) -> tuple[tuple[str, str], ...]:
        """Key and text of each option or step, in the order in which they are shown."""
        return tuple((key, self.say(f"option.{key}")) for key in self.option_keys)


def _written(fact: Fact, preferences: Preferences) -> str:
    """Return a fact as text, with the other way to say it in brackets if it differs."""
    text = show(fact.value, fact.kind, preferences, digits=fact.digits)
    if fact.suffix:
        text = f"{text} {fact.suffix}"
    other = _written(fact.also, preferences) if fact.also else text
    return text if other == text else f"{text} ({other})"


def _in_words(phrase: Phrase, preferences: Preferences, shown: Mapping[str, str]) -> str:
    """Return a phrase with its numbers, and those of the question, put in."""
    own = {name: _written(fact, preferences) for name, fact in phrase.facts.items()}
    return say(phrase.key, preferences=preferences, **{**shown, **own})


def vary(
    question: Question,
    airplane: object,
    seed: int,
    preferences: Preferences = _USUAL,
) -> Item:
    """Return the item of a seed.

    Parameters
    ----------
    question : Question
        What is asked.
    airplane : Airplane
        The learner's.
    seed : int
        Any whole number; the same one gives the same numbers on every machine.
    preferences : Preferences
        Units, decimal mark and language of the texts.

    Returns
    -------
    Item
        With numbers that tell right from wrong: a set for which a listed misconception would
        come to the right number is drawn again.

    Raises
    ------
    KeyError
        If nobody registered the question's kind.
    """
    kind = kind_of(question)
    draw = np.random.Generator(np.random.PCG64(_entropy(question, seed)))
    for _ in range(_DRAWS):
        values = MappingProxyType(
            {
                variable.name: variable.values()[draw.integers(len(variable.values()))]
                for variable in question.variables
            }
        )
        answer = question.answer(airplane, values)
        item = Item(question, airplane, seed, values, answer, preferences=preferences)
        if question.usable(airplane, values) and kind.teaches(item):
            break
    keys = _mixed(kind.options(question, answer), answer, draw)
    return replace(item, option_keys=keys) if keys else item


def fingerprint(airplane: object) -> str:
    """Return a short text that changes when a figure of the airplane's card changes."""
    entries = sorted(airplane.card.entries.items())
    return hashlib.sha256(repr(entries).encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _entropy(question: Question, seed: int) -> int:
    text = f"{question.record_key}:{int(seed)}"
    return int.from_bytes(hashlib.sha256(text.encode("utf-8")).digest()[:16], "big")


def _mixed(keys: tuple[str, ...], answer: object, draw: np.random.Generator) -> tuple[str, ...]:
    """Return the keys in another order; never the one that is asked for."""
    if len(keys) < 2:
        return keys
    order = tuple(keys[index] for index in draw.permutation(len(keys)))
    return order[1:] + order[:1] if order == answer else order
