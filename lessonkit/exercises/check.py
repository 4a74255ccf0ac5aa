"""From an answer to a result that says why and what next."""

from lessonkit.exercises import (  # noqa: F401  (they register themselves)
    choices,
    judgements,
    marks,
    numbers,
    orders,
    settings,
)
from lessonkit.exercises.kinds import kind_of
from lessonkit.exercises.result import NOT_ATTEMPTED, Result
from lessonkit.exercises.vary import Item
from lessonkit.words import say, say_all


def check(item: Item, answer: object) -> Result:
    """Judge an answer.

    Parameters
    ----------
    item : Item
        The question with its numbers.
    answer : str, sequence or mapping
        What was typed or chosen: "1.5 nm", the key, letter or text of an option, the steps in
        their order, a place (x, y) in SI, settings by name in SI, an option for each aspect.
        "I don't know" is an answer too and gets help.

    Returns
    -------
    Result
        Status, reason and next step; nothing is recorded here.
    """
    if answer is None or (isinstance(answer, str) and not answer.strip()) or answer in ((), [], {}):
        return Result(
            NOT_ATTEMPTED,
            say("exercises.blank.message", preferences=item.preferences),
            say(f"exercises.blank.{item.question.kind}", preferences=item.preferences),
        )
    if is_not_known(answer, item):
        first_step = item.hint(1)
        return Result(
            NOT_ATTEMPTED,
            say("exercises.not_known.message", preferences=item.preferences),
            say("exercises.not_known.next", preferences=item.preferences, hint=first_step),
            reply="not_known",
        )
    return kind_of(item.question).check(item, answer)


def is_not_known(answer: object, item: Item) -> bool:
    """Tell whether the answer says that the learner does not know."""
    if not isinstance(answer, str):
        return False
    spoken = " ".join(answer.replace("’", "'").casefold().strip(" .!").split())
    return spoken in say_all("exercises.not_known.spellings", preferences=item.preferences)
