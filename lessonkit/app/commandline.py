"""The command ``python -m lessonkit``: what may follow it, and how it says what is wrong."""

import argparse
import json
import os
import sys
from collections.abc import Sequence
from importlib.metadata import version

from lessonkit.words import say

PROGRAM = "python -m lessonkit"


class Trouble(Exception):
    """Something the user can cure; the message is one sentence."""


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one sentence."""

    def error(self, message: str) -> None:
        problem = " ".join(message.split()).rstrip(".")
        self.exit(2, say("app.error.usage", problem=problem) + "\n")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command.

    Parameters
    ----------
    arguments : sequence of str, optional
        The words after the command; those of the command line without it.

    Returns
    -------
    int
        0, or 2 after one sentence on the error stream.
    """
    _write_utf8()
    options = build_parser().parse_args(arguments)
    try:
        options.run(options)
    except Trouble as trouble:
        print(trouble, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader (``| head``) has seen enough; the rest must not fail at the very end either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def build_parser() -> argparse.ArgumentParser:
    """Return the description of the command line."""
    from lessonkit.app.environment import FORMS, own_form
    from lessonkit.app.launcher import DEFAULT_PORT
    from lessonkit.app.print_command import add_print

    parser = _Parser(
        prog=PROGRAM, description=say("app.help.purpose"), epilog=say("app.help.ending")
    )
    parser.set_defaults(run=_launch)
    parser.add_argument("--no-browser", action="store_true", help=say("app.help.browser"))
    parser.add_argument(
        "--port",
        type=_port,
        default=DEFAULT_PORT,
        metavar="NUMBER",
        help=say("app.help.port", port=DEFAULT_PORT),
    )
    parser.add_argument(
        "--version",
        action="version",
        version=f"lessonkit {version('lessonkit')}",
        help=say("app.help.version"),
    )
    words = parser.add_subparsers(title=say("app.help.commands"), metavar="")

    lessons = words.add_parser(
        "list", help=say("app.help.list"), description=say("app.help.list_long")
    )
    lessons.add_argument("--json", action="store_true", help=say("app.help.json"))
    lessons.set_defaults(run=_list)

    airplane = words.add_parser(
        "airplane", help=say("app.help.airplane"), description=say("app.help.airplane_long")
    )
    airplane.add_argument("file", metavar="FILE", help=say("app.help.airplane_file"))
    airplane.add_argument("--json", action="store_true", help=say("app.help.json"))
    airplane.set_defaults(run=_airplane)

    add_print(words).set_defaults(run=_print)

    lesson = words.add_parser(
        "new-lesson", help=say("app.help.new_lesson"), description=say("app.help.new_lesson_long")
    )
    lesson.add_argument("key", metavar="KEY", help=say("app.help.new_lesson_key"))
    lesson.set_defaults(run=_new_lesson)

    variables = words.add_parser(
        "environment",
        help=say("app.help.environment"),
        description=say("app.help.environment_long"),
    )
    variables.add_argument(
        "--form", choices=FORMS, default=own_form(), help=say("app.help.form", default=own_form())
    )
    variables.set_defaults(run=_environment)
    return parser


def _write_utf8() -> None:
    """Write every letter even where the window's own alphabet lacks it."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(encoding="utf-8", errors="replace")


def _port(text: str) -> int:
    from lessonkit.app.launcher import HIGHEST_PORT, LOWEST_PORT

    if not text.isascii() or not text.isdigit() or not LOWEST_PORT <= int(text) <= HIGHEST_PORT:
        raise argparse.ArgumentTypeError(say("app.error.port_number", text=text[:20]))
    return int(text)


def _launch(options: argparse.Namespace) -> None:
    from lessonkit.app.environment import FolderTrouble
    from lessonkit.app.launcher import LaunchTrouble, launch

    try:
        launch(port=options.port, browser=not options.no_browser)
    except (LaunchTrouble, FolderTrouble) as error:
        raise Trouble(str(error)) from error


def _list(options: argparse.Namespace) -> None:
    from lessonkit.app.catalogue import CatalogueTrouble, lesson_list

    try:
        lessons = lesson_list()
    except CatalogueTrouble as error:
        raise Trouble(str(error)) from error
    if options.json:
        print(_as_json({"lessons": lessons}))
        return
    for lesson in lessons:
        row = "untimed" if lesson["minutes"] is None else "row"
        values = {name: lesson[name] for name in ("key", "title", "minutes")}
        print(say(f"app.list.{row}", **values))


def _airplane(options: argparse.Namespace) -> None:
    from lessonkit.airplane import CardError, airplane_json, airplane_text, fit_airplane, read_card

    try:
        airplane = fit_airplane(read_card(options.file))
    except CardError as error:
        raise Trouble(str(error)) from error
    print(_as_json(airplane_json(airplane)) if options.json else "\n".join(airplane_text(airplane)))


def _print(options: argparse.Namespace) -> None:
    from lessonkit.app.print_command import PrintTrouble, run_print

    try:
        saved = run_print(options)
    except PrintTrouble as error:
        raise Trouble(str(error)) from error
    if saved:
        print(saved)


def _new_lesson(options: argparse.Namespace) -> None:
    from lessonkit.app.new_lesson import NewLessonTrouble, make_lesson

    try:
        made = make_lesson(options.key)
    except NewLessonTrouble as error:
        raise Trouble(str(error)) from error
    for path in made:
        print(say("app.new.made", path=path.as_posix()))
    print(say("app.new.next"))


def _environment(options: argparse.Namespace) -> None:
    from lessonkit.app.environment import FolderTrouble, as_lines, build_environment

    try:
        print(as_lines(build_environment(), options.form))
    except FolderTrouble as error:
        raise Trouble(str(error)) from error


def _as_json(value: object) -> str:
    return json.dumps(value, indent=1, ensure_ascii=False)
