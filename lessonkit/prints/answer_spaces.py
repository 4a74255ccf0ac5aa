"""Where an answer is written on an exercise sheet: one kind of space for each kind of answer."""

from collections.abc import Callable

from lessonkit.exercises import Item
from lessonkit.exercises.choices import LETTERS
from lessonkit.prints.markup import Markup, element
from lessonkit.words import say, unit_of


def answer_space(item: Item) -> Markup:
    """Return what stands below a question's prompt on paper.

    Parameters
    ----------
    item : Item
        The question with its numbers.

    Returns
    -------
    Markup

    Raises
    ------
    KeyError
        Naming a kind of answer that has no space here: a defect.
    """
    kind = item.question.kind
    if kind not in SPACES:
        raise KeyError(f"no space on paper for answers of the kind {kind}")
    return SPACES[kind](item)


def letter(index: int) -> str:
    """Return the letter of an option, counted from 0."""
    return LETTERS[index].upper()


def _answer_line(item: Item, unit: str = "") -> Markup:
    name = say("prints.sheet.answer", preferences=item.preferences)
    return element("p", name, " ", element("span", css="blank answer"), " ", unit, css="answers")


def _number(item: Item) -> Markup:
    unit = unit_of(item.question.quantity, item.preferences)
    return element("div", element("div", css="working"), _answer_line(item, unit))


def _choice(item: Item) -> Markup:
    rows = (
        element("li", element("span", css="box"), f" {letter(index)}. ", text)
        for index, (_, text) in enumerate(item.options)
    )
    return element("ul", *rows, css="options")


def _order(item: Item) -> Markup:
    how = say("prints.sheet.order", preferences=item.preferences)
    rows = (element("li", element("span", css="box wide"), " ", text) for _, text in item.options)
    return element("div", element("p", how, css="note"), element("ul", *rows, css="options"))


SPACES: dict[str, Callable[[Item], Markup]] = {
    "number": _number,
    "choice": _choice,
    "order": _order,
}
