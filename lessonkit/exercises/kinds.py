"""The kinds of answers, by name. A new kind registers itself here; nothing else changes."""

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lessonkit.exercises.question import Misconception, Question
    from lessonkit.exercises.result import Result
    from lessonkit.exercises.vary import Item


class AnswerKind(Protocol):
    """What the engine needs to know of one kind of answer."""

    def options(self, question: "Question", answer: object) -> tuple[str, ...]:
        """Return the keys of what is shown to choose from or to put in order; may be empty."""

    def teaches(self, item: "Item") -> bool:
        """Tell whether these numbers tell right from wrong; if not, others are drawn."""

    def right(self, item: "Item") -> object:
        """Return an answer that is right, in a form that `check` takes."""

    def wrong(self, item: "Item", misconception: "Misconception") -> object:
        """Return what a misconception answers; None where it can do no harm with these numbers."""

    def written(self, item: "Item", answer: object) -> str:
        """Return an answer as a learner would write it."""

    def extras(self, item: "Item") -> "Mapping[str, str]":
        """Return texts that only the worked solution may name, besides the answer."""

    def check(self, item: "Item", answer: object) -> "Result":
        """Judge an answer that is neither blank nor "I do not know"."""

    def problems(self, item: "Item") -> list[str]:
        """Return what is wrong with the question, seen at one set of numbers."""


KINDS: dict[str, AnswerKind] = {}


def register(name: str, kind: AnswerKind) -> AnswerKind:
    """Make a kind of answer known under a name.

    Raises
    ------
    ValueError
        If the name is taken.
    """
    if KINDS.setdefault(name, kind) is not kind:
        raise ValueError(f"the kind of answer {name} is registered twice")
    return kind


def kind_of(question: "Question") -> AnswerKind:
    """Return the kind of a question.

    Raises
    ------
    KeyError
        Naming a kind that nobody registered.
    """
    if question.kind not in KINDS:
        raise KeyError(f"no kind of answer {question.kind}")
    return KINDS[question.kind]
