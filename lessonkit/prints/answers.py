"""What the answer key says of a question: the answer, how near is right, and the wrong ways."""

from collections.abc import Callable

from lessonkit.exercises import Item
from lessonkit.prints.answer_spaces import letter
from lessonkit.prints.markup import Markup, element, join, lines
from lessonkit.words import say


def answer_lines(item: Item) -> Markup:
    """Return the answer as a learner would write it, with its tolerance."""
    if item.question.kind == "choice":
        written = option(item, item.answer)
    else:
        written = item.written(item.answer)
    within = None
    if "tolerance" in item.shown:
        tolerance = item.shown["tolerance"]
        text = say("prints.key.within", tolerance=tolerance, preferences=item.preferences)
        within = element("p", text, css="note")
    return join(lines(written, css="answer"), within)


def option(item: Item, key: str) -> str:
    """Return an option with its letter on the sheet."""
    index = [one for one, _ in item.options].index(key)
    return f"{letter(index)}. {item.say(f'option.{key}')}"


def wrong_ways(item: Item) -> list[tuple[str, str]]:
    """Return what each misconception leads to, and the reply to it.

    Returns
    -------
    list of (str, str)
        The wrong answer in short, empty where the reply begins with it, and the reply. An
        option that is right with these numbers is left out.
    """
    short = WRONG[item.question.kind]
    found = []
    for misconception in item.question.misconceptions:
        if item.question.kind == "choice" and misconception.wrong == item.answer:
            continue
        wrong = short(item, misconception)
        reply = item.say(f"reply.{misconception.key}", typed=wrong)
        found.append(("" if reply.startswith(wrong) else wrong, reply))
    return found


def _number(item, misconception):
    return item.echo(float(misconception.wrong(item.airplane, item.values)))


def _choice(item, misconception):
    return option(item, misconception.wrong)


def _order(item, misconception):
    first, second = (item.say(f"option.{key}").rstrip(".") for key in misconception.wrong)
    return say("prints.key.before", first=first, second=second, preferences=item.preferences)


WRONG: dict[str, Callable] = {"number": _number, "choice": _choice, "order": _order}
