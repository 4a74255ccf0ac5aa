"""Opening a lesson: the chosen airplane, the learner's units and record, the lesson's panels."""

import importlib.util
import tempfile
from pathlib import Path

from lessonkit.app.desk import Desk
from lessonkit.app.home import Home, open_home
from lessonkit.app.lesson import Lesson, UnknownPart
from lessonkit.app.places import lesson_files
from lessonkit.app.shelf import Shelf
from lessonkit.words import say

LESSONS = "lessonkit.lessons"


_desks: dict[int, Desk] = {}


def open_lesson(key: str, trial: bool = False) -> Lesson:
    """Open a lesson with the learner's airplane, units and record.

    Nothing is written: the learner's folder is only read.

    Parameters
    ----------
    key : str
        Name of the notebook without its ending, such as "07_power_off_approach".
    trial : bool
        Use the first built-in airplane, usual units and a folder that is thrown away, whatever
        the learner has chosen: for self-checks, which must give the same numbers everywhere.

    Returns
    -------
    Lesson

    Raises
    ------
    UnknownPart
        One sentence with the known lessons.
    """
    known = lesson_keys()
    if key not in known:
        raise UnknownPart(say("home.lesson.unknown", key=key, known=", ".join(known)))
    desk = _trial_desk() if trial else _desk_of(open_home())
    return Lesson(key, f"{LESSONS}.{folder_of(key)}", desk)


def lesson_keys() -> list[str]:
    """Return the keys of all lessons, in their order."""
    keys = [path.stem for path in lesson_files()]
    return [key for key in keys if importlib.util.find_spec(f"{LESSONS}.{folder_of(key)}")]


def folder_of(key: str) -> str:
    """Return the folder of a lesson: its key without the number.

    Examples
    --------
    >>> folder_of("07_power_off_approach")
    'power_off_approach'
    """
    return key.partition("_")[2]


def _desk_of(home: Home) -> Desk:
    """Return the one desk of a folder, so that unsaved choices and cards are shared."""
    return _desks.setdefault(id(home), Desk(home, Shelf(home)))


def _trial_desk() -> Desk:
    folder = tempfile.TemporaryDirectory(prefix="lessonkit-")
    home = Home(Path(folder.name))
    home.keep_folder = folder  # removed with the desk
    return Desk(home, Shelf(home))
