"""Where an answer is written on an exercise sheet: one kind of space for each kind of answer."""

from collections.abc import Callable
from dataclasses import replace

from lessonkit.exercises import Item, judgements, places, settings
from lessonkit.exercises.choices import LETTERS
from lessonkit.exercises.picture import Horizontal, Points, Vertical
from lessonkit.prints.markup import Markup, element, join, table
from lessonkit.prints.picture import drawing
from lessonkit.words import say, unit_of

ANSWER = "warn"  # role of the right place in the key: a cross, and a dash of its own


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


def picture_of(item: Item, name: str) -> Markup | None:
    """Return the picture of a question as a drawing, None without one.

    Parameters
    ----------
    item : Item
    name : str
        Letters and digits that no other drawing of the print has.
    """
    if item.picture is None:
        return None
    return drawing(item.picture, _texts(item), item.preferences, name)


def solved_picture(item: Item, name: str) -> Markup | None:
    """Return the picture for the key, with the right place marked; None where it says nothing."""
    if item.question.kind == "judge":
        return picture_of(item, name)
    if item.question.kind != "mark":
        return None
    axes = places.axes_of(item).name
    x, y = item.answer
    along = item.question.mark.along
    right = {
        "both": (Points((x,), (y,), ANSWER, axes, 9.0),),
        "x": (Vertical(x, ANSWER, axes),),
        "y": (Horizontal(y, ANSWER, axes),),
    }[along]
    picture = replace(item.picture, items=(*item.picture.items, *right))
    return drawing(picture, _texts(item), item.preferences, name)


def _texts(item):
    return lambda key: item.say(f"picture.{key}")


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


def _mark(item: Item) -> Markup:
    how = say(f"prints.sheet.mark_{item.question.mark.along}", preferences=item.preferences)
    rows = (_part(places.name(item, way), places.unit(item, way)) for way in places.ways(item))
    return element("div", element("p", how, css="note"), *rows)


def _set(item: Item) -> Markup:
    """Return a line for each setting with its range: what it leads to is seen on the screen."""
    rows = []
    for setting in settings.settings_of(item):
        low, high = (settings.shown(item, setting, one) for one in (setting.low, setting.high))
        range_ = say("prints.sheet.range", low=low, high=high, preferences=item.preferences)
        rows.append(_part(settings.name(item, setting), range_))
    return element("div", *rows)


def _part(name: str, after: str) -> Markup:
    blank = element("span", css="blank short")
    return element("p", element("span", name, css="part"), blank, " ", after, css="answers")


def _judge(item: Item) -> Markup:
    rows = (
        (
            judgements.name(item, aspect.key),
            join(
                *(
                    element("span", element("span", css="box"), item.say(f"option.{option}"),
                            css="pick")
                    for option in aspect.options
                )
            ),
        )
        for aspect in item.question.aspects
    )  # fmt: skip
    return table((), rows, css="judge")


SPACES: dict[str, Callable[[Item], Markup]] = {
    "number": _number,
    "choice": _choice,
    "order": _order,
    "mark": _mark,
    "set": _set,
    "judge": _judge,
}
