"""What the answer key says of a question: the answer, how near is right, and the wrong ways."""

from collections.abc import Callable

from lessonkit.exercises import Item, judgements, places
from lessonkit.exercises.kinds import kind_of
from lessonkit.exercises.settings import outcome_of
from lessonkit.prints.answer_spaces import letter
from lessonkit.prints.markup import Markup, element, join, lines, table
from lessonkit.words import say


def answer_lines(item: Item) -> Markup:
    """Return the answer as a learner would write it, with its tolerance."""
    if item.question.kind == "choice":
        written = option(item, item.answer)
    elif item.question.kind == "judge":
        return _verdicts(item)
    else:
        written = item.written(item.answer)
    within = None
    if "tolerance" in item.shown:
        tolerance = item.shown["tolerance"]
        text = say("prints.key.within", tolerance=tolerance, preferences=item.preferences)
        within = element("p", text, css="note")
    reference = None
    if item.question.kind == "set":
        example = item.written(kind_of(item.question).right(item))
        text = say("prints.key.for_example", settings=example, preferences=item.preferences)
        reference = element("p", text)
    return join(lines(written, css="answer"), within, reference)


def _verdicts(item):
    """Return each aspect with its right option, and what the picture shows of it."""
    rows = (
        (
            judgements.name(item, aspect.key),
            element("strong", item.say(f"option.{item.answer[aspect.key]}")),
            item.say(f"why.{aspect.key}"),
        )
        for aspect in item.question.aspects
    )
    return table((), rows, css="judge")


def option(item: Item, key: str) -> str:
    """Return an option with its letter on the sheet."""
    index = [one for one, _ in item.options].index(key)
    return f"{letter(index)}. {item.say(f'option.{key}')}"


def wrong_ways(item: Item) -> list[tuple[str, str]]:
    """Return what each misconception leads to, and the reply to it.

    Returns
    -------
    list of (str, str)
        The wrong answer in short, empty where the reply begins with it, and the reply. A
        misconception that comes to the right answer with these numbers is left out.
    """
    kind = kind_of(item.question)
    found = []
    for misconception in item.question.misconceptions:
        wrong = kind.wrong(item, misconception)
        if wrong is None or wrong == item.answer:
            continue
        short = SHORT.get(item.question.kind, _written)(item, misconception, wrong)
        values = {"typed": short}
        if item.question.kind == "set":
            values["outcome"] = item.quantity(outcome_of(item, wrong))
        reply = item.say(f"reply.{misconception.key}", **values)
        found.append(("" if reply.startswith(short) else short, reply))
    return found


def _written(item, misconception, wrong):
    return kind_of(item.question).written(item, wrong)


def _number(item, misconception, wrong):
    return str(wrong)  # as it would be typed


def _mark(item, misconception, wrong):
    return places.said(item, wrong) if len(places.ways(item)) == 1 else _written(item, None, wrong)


def _choice(item, misconception, wrong):
    return option(item, wrong)


def _order(item, misconception, wrong):
    first, second = (item.say(f"option.{key}").rstrip(".") for key in misconception.wrong)
    return say("prints.key.before", first=first, second=second, preferences=item.preferences)


def _judge(item, misconception, wrong):
    aspect, chosen = misconception.wrong
    return f"{judgements.name(item, aspect)}: {item.say(f'option.{chosen}')}"


# How a wrong answer is named in short; any other kind writes it as a learner would.
SHORT: dict[str, Callable] = {
    "number": _number,
    "choice": _choice,
    "order": _order,
    "judge": _judge,
    "mark": _mark,
}
