"""Exercise sheet and answer key: the same questions with the same numbers, for one seed."""

from collections.abc import Sequence

from lessonkit.airplane import Airplane
from lessonkit.exercises import Item, Question, vary
from lessonkit.prints.answer_spaces import answer_space, picture_of, solved_picture
from lessonkit.prints.answers import answer_lines, wrong_ways
from lessonkit.prints.markup import Markup, element, lines
from lessonkit.prints.shell import Head, document
from lessonkit.words import Preferences, say


def exercise_sheet(
    questions: Sequence[Question],
    airplane: Airplane,
    seed: int,
    preferences: Preferences | None = None,
    paper: str = "",
    dated: str = "",
) -> str:
    """Return a sheet of exercises with room for the answers, as a whole HTML text.

    Parameters
    ----------
    questions : sequence of Question
        In the order in which they are asked.
    airplane : Airplane
        For whose numbers.
    seed : int
        Which set of numbers; the key of the same seed and airplane fits the sheet.
    preferences : Preferences, optional
        Units, decimal mark, language; the card's own units without it.
    paper : {"letter", "A4"}
        The one of the preferences without it.
    dated : str
        The date; a line to write it on without one.

    Returns
    -------
    str

    Raises
    ------
    ValueError
        One sentence, when there is no question or the paper is unknown.

    Examples
    --------
    >>> from lessonkit.airplane import built_in_card, fit_airplane
    >>> airplane = fit_airplane(built_in_card("two_seat"))
    >>> exercise_sheet([], airplane, 1)
    Traceback (most recent call last):
    ValueError: This lesson has no exercises to print: choose another lesson.
    """
    preferences = preferences or airplane.card.preferences()
    items = _items(questions, airplane, seed, preferences)
    asked = (
        element(
            "article",
            _prompt(number, item),
            picture_of(item, f"p{number}"),
            answer_space(item),
            css="exercise",
        )
        for number, item in enumerate(items, start=1)
    )
    intro = say("prints.sheet.intro", airplane=airplane.name, preferences=preferences)
    name = say("prints.sheet.name", preferences=preferences)
    who = element("p", intro, " ", name, " ", element("span", css="blank name"))
    head = _head("sheet", items, dated)
    return document(head, who, *asked, paper=paper, preferences=preferences)


def answer_key(
    questions: Sequence[Question],
    airplane: Airplane,
    seed: int,
    preferences: Preferences | None = None,
    paper: str = "",
    dated: str = "",
) -> str:
    """Return the key to `exercise_sheet` of the same questions, airplane and seed.

    Parameters
    ----------
    questions, airplane, seed, preferences, paper, dated
        As for the sheet.

    Returns
    -------
    str
        Answers, tolerances, worked solutions, what each misconception leads to, sources.

    Raises
    ------
    ValueError
        As for the sheet.
    """
    preferences = preferences or airplane.card.preferences()
    items = _items(questions, airplane, seed, preferences)
    solved = (_solved(number, item) for number, item in enumerate(items, start=1))
    intro = say("prints.key.intro", airplane=airplane.name, seed=int(seed), preferences=preferences)
    head = _head("key", items, dated)
    return document(head, element("p", intro), *solved, paper=paper, preferences=preferences)


def _items(questions, airplane, seed, preferences):
    if not questions:
        raise ValueError(say("prints.error.no_exercises", preferences=preferences))
    return [vary(question, airplane, seed, preferences) for question in questions]


def _head(title, items, dated):
    """Lesson, airplane and seed stand on sheet and key alike, on each page."""
    preferences = items[0].preferences
    lessons = dict.fromkeys(item.question.lesson for item in items)
    titles = ", ".join(say(f"{name}.lesson.title", preferences=preferences) for name in lessons)
    title = say(f"prints.{title}.title", lesson=titles, preferences=preferences)
    seed = say("prints.sheet.seed", seed=items[0].seed, preferences=preferences)
    return Head(title, (items[0].airplane.name, seed), dated)


def _prompt(number: int, item: Item) -> Markup:
    level = say(f"prints.level.{item.question.level}", preferences=item.preferences)
    heading = say(
        "prints.sheet.exercise",
        number=number,
        title=item.title,
        level=level,
        preferences=item.preferences,
    )
    return element("div", element("h2", heading), lines(item.prompt, css="prompt"), css="asked")


def _solved(number: int, item: Item) -> Markup:
    preferences = item.preferences
    wrong = wrong_ways(item)
    rows = (element("li", *_wrong(short, reply)) for short, reply in wrong)
    source = say("exercises.panel.source", source=item.say("source"), preferences=preferences)
    return element(
        "article",
        _prompt(number, item),
        element(
            "div",
            element("h3", say("prints.key.answer", preferences=preferences)),
            answer_lines(item),
            solved_picture(item, f"p{number}"),
            css="together",
        ),
        element("h3", say("exercises.panel.solution_title", preferences=preferences)),
        lines(item.solution),
        element("h3", say("prints.key.wrong", preferences=preferences)) if wrong else None,
        element("ul", *rows, css="wrong") if wrong else None,
        element("p", source, css="note"),
        css="solved",
    )


def _wrong(short, reply):
    return (element("em", short.rstrip(".")), ": ", reply) if short else (reply,)
