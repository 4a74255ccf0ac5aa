"""The list of lessons, for `list`: read from the lessons without starting any of them."""

import ast
import importlib
from pathlib import Path

from lessonkit.app.places import lesson_files, lesson_name, lesson_title, notebooks_folder
from lessonkit.words import say, texts

LESSONS = "lessonkit.lessons"
LESSONS_FOLDER = Path(__file__).parents[1] / "lessons"


class CatalogueTrouble(Exception):
    """The list cannot be made; the message is one sentence."""


def lesson_list() -> list[dict]:
    """Return what each lesson offers.

    Returns
    -------
    list of dict
        In the order of the notebooks; each with ``key`` (the notebook's name without its ending),
        ``title``, ``minutes`` (None if not stated), ``objective``, ``panels`` (keys) and
        ``exercises`` (see `describe_question`).

    Raises
    ------
    CatalogueTrouble
        One sentence, when the lessons are not there.
    """
    files = lesson_files()
    if not files:
        raise CatalogueTrouble(say("app.error.no_lessons", folder=notebooks_folder()))
    return [describe_lesson(path.stem) for path in files]


def describe_lesson(key: str) -> dict:
    """Return what one lesson offers; see `lesson_list`."""
    name = lesson_name(key)
    known = texts(name)
    minutes = known.get(f"{name}.lesson.minutes", "")
    return {
        "key": key,
        "title": lesson_title(key),
        "minutes": int(minutes) if minutes.isdigit() else None,
        "objective": known.get(f"{name}.lesson.objective", ""),
        "panels": panel_keys(name),
        "exercises": [describe_question(question) for question in questions_of(name)],
    }


def panel_keys(name: str) -> list[str]:
    """Return the keys of a lesson's panels, from its text alone: importing it loads widgets.

    Examples
    --------
    >>> panel_keys("no_such_lesson")
    []
    """
    path = LESSONS_FOLDER / name / "panels.py"
    if not path.is_file():
        return []
    for statement in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(statement, ast.AnnAssign):
            targets = [statement.target]
        elif isinstance(statement, ast.Assign):
            targets = statement.targets
        else:
            continue
        named = any(isinstance(target, ast.Name) and target.id == "PANELS" for target in targets)
        if named and isinstance(statement.value, ast.Dict):
            return [ast.literal_eval(entry) for entry in statement.value.keys]
    raise CatalogueTrouble(say("app.error.lesson", lesson=name))


def describe_question(question) -> dict:
    """Return an exercise as plain data.

    Parameters
    ----------
    question : Question

    Returns
    -------
    dict
        ``key``, ``kind``, ``level``, ``prompt``, ``hints`` (texts, from nudge to method),
        ``misconceptions`` (each with key and reply) and ``source``. The texts are those of the
        word file: a name in braces stands where a number of the drawn variant goes.
    """
    known = texts(question.lesson)
    start = question.text_key
    return {
        "key": question.key,
        "kind": question.kind,
        "level": question.level,
        "prompt": known[f"{start}.prompt"],
        "hints": [known[f"{start}.hint.{hint}"] for hint in question.hints],
        "misconceptions": [
            {"key": one.key, "reply": known[f"{start}.reply.{one.key}"]}
            for one in question.misconceptions
        ],
        "source": question.source,
    }


def questions_of(name: str) -> list:
    """Return the questions of a lesson by the name of its folder; importing them loads no widget.

    Examples
    --------
    >>> questions_of("no_such_lesson")
    []
    """
    if not (LESSONS_FOLDER / name / "exercises.py").is_file():
        return []
    return importlib.import_module(f"{LESSONS}.{name}.exercises").QUESTIONS
