"""Where the parts of the installed kit lie."""

import os
from pathlib import Path

from lessonkit.words import say, texts

FOLDER = Path(__file__).parent
EXTENSION_FOLDER = FOLDER / "extension"
START_LESSON = "00_start_here.ipynb"


def notebooks_folder() -> Path:
    """Return the folder of the lessons.

    ``LESSONKIT_NOTEBOOKS`` names another one, for a server that keeps the lessons elsewhere;
    only lessons whose code equals the packaged code run there too.
    """
    chosen = os.environ.get("LESSONKIT_NOTEBOOKS", "").strip()
    if chosen:
        return Path(chosen).expanduser().absolute()
    return FOLDER.parents[1] / "notebooks"


def lesson_files() -> list[Path]:
    """Return the lesson notebooks in their order."""
    return sorted(notebooks_folder().glob("[0-9][0-9]_*.ipynb"))


def lesson_name(key: str) -> str:
    """Return the name of a lesson's folder and text file: its key without the number.

    Examples
    --------
    >>> lesson_name("07_power_off_approach")
    'power_off_approach'
    """
    return key[3:] if key[:2].isdigit() and key[2:3] == "_" else key


def lesson_title(key: str) -> str:
    """Return a lesson's title; its name in words if no text file gives it one."""
    name = lesson_name(key)
    title = f"{name}.lesson.title"
    if title in texts(name):
        return say(title)
    return name.replace("_", " ").capitalize()
