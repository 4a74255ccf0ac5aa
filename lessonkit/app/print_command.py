"""The command ``print``: a print as a file, ready to be opened in a browser and printed."""

import argparse
import sys
from dataclasses import replace
from pathlib import Path

from lessonkit.words import say

PRINTS = ("numbers", "kneeboard", "sheet", "key")  # as in print_choice, which loads the models
OUT = "-"  # as the name of a file: write to the window instead


class PrintTrouble(Exception):
    """The print cannot be made or written; the message is one sentence."""


def add_print(words: argparse._SubParsersAction) -> argparse.ArgumentParser:
    """Add the command and what may follow it; return its part of the command line."""
    parser = words.add_parser(
        "print", help=say("prints.help.print"), description=say("prints.help.print_long")
    )
    parser.add_argument("what", choices=PRINTS, help=say("prints.help.what"))
    parser.add_argument("--airplane", metavar="FILE", help=say("prints.help.airplane"))
    parser.add_argument("--lesson", metavar="KEY", default="", help=say("prints.help.lesson"))
    parser.add_argument(
        "--exercises", metavar="LIST", default="", help=say("prints.help.exercises")
    )
    parser.add_argument(
        "--seed", type=_seed, default=1, metavar="NUMBER", help=say("prints.help.seed")
    )
    parser.add_argument("--paper", default="", metavar="PAPER", help=say("prints.help.paper"))
    parser.add_argument("--output", metavar="FILE", default="", help=say("prints.help.output"))
    return parser


def run_print(options: argparse.Namespace) -> str:
    """Make a print and write it.

    Parameters
    ----------
    options : argparse.Namespace
        What `add_print` reads.

    Returns
    -------
    str
        One sentence with the file that was written; empty when the print went to the window.

    Raises
    ------
    PrintTrouble
        One sentence.
    """
    from lessonkit.airplane import CardError
    from lessonkit.app.desk import Desk
    from lessonkit.app.home import open_home
    from lessonkit.app.print_choice import OF_EXERCISES, PrintChoice
    from lessonkit.app.shelf import Shelf

    home = open_home()
    desk = Desk(home, Shelf(home))
    try:
        airplane, preferences = _airplane(desk, options.airplane)
        choice = PrintChoice(
            options.what,
            airplane,
            preferences,
            options.paper,
            _questions(desk, options.lesson) if options.what in OF_EXERCISES else (),
            options.exercises,
            options.seed,
        )
        text, name = choice.make(), choice.file_name
    except (CardError, ValueError) as error:
        raise PrintTrouble(str(error)) from error
    return _write(text, options.output or name)


def _airplane(desk, file):
    """Return airplane and preferences: of a file in its own units, else as the learner chose."""
    from lessonkit.airplane import fit_airplane, read_card

    preferences = desk.settings().preferences
    if file:
        card = read_card(file)
        return fit_airplane(card), replace(card.preferences(), paper=preferences.paper)
    card, _, messages = desk.chosen()
    for message in messages:
        print(message, file=sys.stderr)
    return fit_airplane(card), preferences


def _questions(desk, lesson):
    known = [one for one in desk.lesson_questions() if one.questions]
    for one in known:
        if lesson and lesson in (one.key, one.name, one.key.partition("_")[0]):
            return one.questions
    names = ", ".join(one.key for one in known)
    if not lesson:
        raise PrintTrouble(say("prints.error.which_lesson", known=names))
    raise PrintTrouble(say("prints.error.lesson", lesson=lesson[:40], known=names))


def _write(text, name):
    if name == OUT:
        sys.stdout.write(text)
        return ""
    path = Path(name).expanduser()
    if path.exists() and path.suffix.lower() not in (".html", ".htm"):
        raise PrintTrouble(say("prints.error.other_file", file=path.name))
    try:
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise PrintTrouble(say("prints.error.write", file=path.name)) from error
    return say("prints.saved.file", file=path)


def _seed(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise argparse.ArgumentTypeError(say("prints.error.seed", text=text[:20]))
    return int(text)
