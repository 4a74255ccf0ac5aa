"""A lesson to begin with: folder, texts, notebook and test from the templates in ``scaffold/``.

What it makes passes every check of the project at once; its content, bank and load factor, is an
example that the author replaces.
"""

import json
import keyword
import re
import shutil
from pathlib import Path
from string import Template

from lessonkit.airplane.plain_files import shortened
from lessonkit.app.places import FOLDER, lesson_name
from lessonkit.app.trust import LIST_FILE, current_lessons
from lessonkit.words import say

TEMPLATES = FOLDER / "scaffold"
_KEY = re.compile(r"\d\d_[a-z]+(?:_[a-z]+)*")
_LONGEST = 40  # letters of a key
# Template and place of each file; the places are filled in as the files are.
_FILES = {
    "package.py": "lessonkit/lessons/$name/__init__.py",
    "panels.py": "lessonkit/lessons/$name/panels.py",
    "exercises.py": "lessonkit/lessons/$name/exercises.py",
    "self_check.py": "lessonkit/lessons/$name/self_check.py",
    "words.toml": "lessonkit/words/en/$name.toml",
    "notebook.ipynb": "notebooks/$key.ipynb",
    "test.py": "tests/lessons/test_$name.py",
}


class NewLessonTrouble(Exception):
    """The lesson cannot be made; the message is one sentence, and nothing was written."""


def make_lesson(key: str, root: Path | None = None) -> list[Path]:
    """Make the files of a new lesson and renew the list of notebooks that may run.

    Parameters
    ----------
    key : str
        Name of its notebook without the ending: two digits and words, as in "05_aiming_point".
    root : path, optional
        A checkout of the kit's source; the one that this module belongs to without it.

    Returns
    -------
    list of Path
        What was made, relative to the checkout.

    Raises
    ------
    NewLessonTrouble
        If the key is malformed or taken, or if this is no checkout: then nothing was written.
    """
    root = Path(root) if root else FOLDER.parents[1]
    _require_checkout(root)
    _require_free(key, root)
    name = lesson_name(key)
    lower = name.replace("_", " ")
    values = {
        "key": key,
        "name": name,
        "number": key[:2],
        "lower": lower,
        "title": lower.capitalize(),
    }
    files = {}
    for template, place in _FILES.items():
        text = (TEMPLATES / f"{template}.template").read_text(encoding="utf-8")
        files[Path(Template(place).substitute(values))] = Template(text).substitute(values)
    _write(root, files, root / "lessonkit" / "lessons" / name)
    return list(files)


def _require_checkout(root: Path) -> None:
    needed = ("pyproject.toml", "notebooks", "tests/lessons", "lessonkit/lessons")
    if not all((root / part).exists() for part in needed):
        raise NewLessonTrouble(say("app.new.no_checkout"))


def _require_free(key: str, root: Path) -> None:
    name = lesson_name(key)
    if not _KEY.fullmatch(key) or len(key) > _LONGEST or keyword.iskeyword(name):
        raise NewLessonTrouble(say("app.new.key", key=shortened(key), longest=_LONGEST))
    for path in sorted((root / "notebooks").glob(f"{key[:2]}_*.ipynb")):
        raise NewLessonTrouble(say("app.new.number_taken", number=key[:2], lesson=path.stem))
    names = [Template(place).substitute(key=key, name=name) for place in _FILES.values()]
    taken = [root / place for place in names if (root / place).exists()]
    taken += [root / "lessonkit" / "lessons" / name]
    # Names of test files are unique over all folders of tests.
    taken += (root / "tests").rglob(f"test_{name}.py")
    for path in taken:
        if path.exists():
            place = path.relative_to(root).as_posix()
            raise NewLessonTrouble(say("app.new.name_taken", name=name, path=place))


def _write(root: Path, files: dict[Path, str], folder: Path) -> None:
    """Write all files and the trust list, or none of them."""
    trusted = root / LIST_FILE.relative_to(FOLDER.parents[1])
    before = trusted.read_bytes()
    made: list[Path] = []
    try:
        folder.mkdir()
        made.append(folder)
        for place, text in files.items():
            with (root / place).open("x", encoding="utf-8", newline="\n") as file:
                made.append(root / place)
                file.write(text)
        listed = json.dumps(current_lessons(root / "notebooks"), indent=1) + "\n"
        with trusted.open("w", encoding="utf-8", newline="\n") as file:
            file.write(listed)
    except BaseException as error:
        # Also when it is broken off: a lesson is there whole or not at all.
        for path in reversed(made):
            if path == folder:
                shutil.rmtree(folder, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)
        if trusted.read_bytes() != before:
            trusted.write_bytes(before)
        if isinstance(error, OSError):
            reason = error.strerror or type(error).__name__
            raise NewLessonTrouble(say("app.new.not_written", reason=reason)) from error
        raise
