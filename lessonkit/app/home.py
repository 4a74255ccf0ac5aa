"""The learner's folder: which airplane is chosen, which units, and where records and cards lie.

One folder holds everything that the kit writes for a learner: ``LESSONKIT_HOME`` if that
variable is set, else the platform's own folder for user data. All notebooks share it.

Nothing here writes until somebody changes something: opening a lesson only reads.
"""

import dataclasses
import json
import os
import threading
from dataclasses import dataclass, field
from pathlib import Path

from lessonkit.app.files import FileTrouble, LockBusy, locked, read_small_file, write_file
from lessonkit.words import Preferences, say

SETTINGS_FILE = "settings.json"
SETTINGS_VERSION = 1
SETTINGS_BYTES = 64 * 1024
LONGEST_LABEL = 40
DEEPEST = 8  # nesting of the settings file; this kit's own has none
DEFAULT_CARD = ""  # no choice made yet: the first built-in card


@dataclass(frozen=True)
class Settings:
    """What all notebooks share.

    Parameters
    ----------
    card : str
        Key of the chosen card, as ``Home.cards`` names it; empty: none chosen yet.
    label : str
        The learner's label, by role or nickname; may stay empty. Never part of a file name.
    speed_unit, mass_unit, decimal_mark, language : str
        As in ``Preferences``.
    presentation : bool
        Large type for a projector.
    paper : str
        As in ``Preferences``.
    """

    card: str = DEFAULT_CARD
    label: str = ""
    speed_unit: str = "kt"
    mass_unit: str = "lb"
    decimal_mark: str = "."
    language: str = "en"
    presentation: bool = False
    paper: str = "letter"

    @property
    def preferences(self) -> Preferences:
        """Units, decimal mark, language and paper, as the words want them."""
        return Preferences(
            speed_unit=self.speed_unit,
            mass_unit=self.mass_unit,
            decimal_mark=self.decimal_mark,
            language=self.language,
            paper=self.paper,
        )


FIELDS = tuple(entry.name for entry in dataclasses.fields(Settings))
_PREFERENCES = ("speed_unit", "mass_unit", "decimal_mark", "language", "paper")


@dataclass
class Home:
    """The learner's folder.

    Parameters
    ----------
    folder : Path
        Need not exist; made at the first change.
    unsaved : dict
        Choices that could not be written; they hold as long as this object.
    """

    folder: Path
    unsaved: dict = field(default_factory=dict)
    _guard: threading.RLock = field(default_factory=threading.RLock, repr=False)

    def __repr__(self) -> str:
        """Return the same text on every machine: no path."""
        return "Home()"

    @property
    def records(self) -> Path:
        """Folder of the training records."""
        return self.folder / "records"

    @property
    def cards(self) -> Path:
        """Folder of the learner's own airplane cards."""
        return self.folder / "cards"

    @property
    def settings_file(self) -> Path:
        """The one small file of shared choices."""
        return self.folder / SETTINGS_FILE

    def read(self) -> tuple[Settings, list[str]]:
        """Return the shared choices, and one sentence for each thing that is wrong with them.

        Never raises for what a file holds, and writes nothing.
        """
        with self._guard:
            stored, messages = self._stored()
            settings, more = _settings_from({**(stored or {}), **self.unsaved})
            return settings, messages + more

    def change(self, **changes: object) -> tuple[Settings, list[str]]:
        """Change some of the choices; leave what other windows wrote to the others.

        Parameters
        ----------
        **changes : fields of ``Settings``

        Returns
        -------
        Settings, list of str
            What holds now, and what the learner should know: empty when all is saved.

        Raises
        ------
        ValueError
            One sentence, for a value that may not be; nothing is changed then.
        """
        for name, value in changes.items():
            _require(name, value)
        with self._guard:
            try:
                messages = self._write(changes)
                self.unsaved.clear()  # what was waiting was written with it
            except LockBusy:
                self.unsaved.update(changes)
                messages = [say("home.settings.busy")]
            except FileTrouble as trouble:
                self.unsaved.update(changes)
                messages = [say("home.settings.unsaved", folder=self.folder, reason=trouble.reason)]
            settings, _ = self.read()
            return settings, messages

    def _stored(self) -> tuple[dict | None, list[str]]:
        """Return what the settings file holds; None if it is there but cannot be understood."""
        try:
            text = read_small_file(self.settings_file, SETTINGS_BYTES)
        except FileNotFoundError:
            return {}, []
        except FileTrouble as trouble:
            return None, [self._torn(trouble.reason)]
        try:
            stored = json.loads(text.decode("utf-8"))
        except (ValueError, RecursionError):
            stored = None
        if not isinstance(stored, dict) or not _shallow(stored):
            return None, [self._torn(say("home.reason.not_settings"))]
        version = stored.get("version", SETTINGS_VERSION)
        newer = isinstance(version, int | float) and version > SETTINGS_VERSION
        return stored, [say("home.settings.newer")] if newer else []

    def _torn(self, reason: str) -> str:
        return say("home.settings.torn", file=SETTINGS_FILE, reason=reason)

    def _write(self, changes: dict) -> list[str]:
        """Write the changed fields over what the file holds at this moment."""
        with locked(self.folder / "settings.lock"):
            stored, _ = self._stored()
            messages = []
            if stored is None:
                aside = _free_name(self.folder, "settings.kept", ".json")
                try:
                    os.replace(self.settings_file, aside)
                except OSError as error:
                    raise FileTrouble.of(error) from error
                messages = [say("home.settings.kept_aside", file=aside.name)]
                stored = {}
            stored.setdefault("version", SETTINGS_VERSION)
            stored.update(self.unsaved)
            stored.update(changes)
            text = json.dumps(stored, indent=1, sort_keys=True, ensure_ascii=True) + "\n"
            write_file(self.settings_file, text.encode("ascii"))
        return messages


def home_folder() -> Path:
    """Return the learner's folder: LESSONKIT_HOME, else the platform's user-data folder."""
    chosen = os.environ.get("LESSONKIT_HOME", "").strip()
    if chosen:
        return Path(chosen).expanduser().absolute()
    # Imported here: a lesson that is told its folder need not load it.
    from platformdirs import user_data_dir

    return Path(user_data_dir("lessonkit", appauthor=False))


_open: dict[Path, Home] = {}
_open_guard = threading.Lock()


def open_home() -> Home:
    """Return the learner's folder; one object per folder, so unsaved choices are shared."""
    folder = home_folder()
    with _open_guard:
        return _open.setdefault(folder, Home(folder))


def tidy_label(text: str) -> str:
    """Return a label as it is stored: one line, no control characters.

    Raises
    ------
    ValueError
        One sentence, for a label that is too long.

    Examples
    --------
    >>> tidy_label("  student   3 ")
    'student 3'
    """
    from lessonkit.words.escape import plain

    label = " ".join(plain(text).split())
    if len(label) > LONGEST_LABEL:
        raise ValueError(say("home.settings.label_long", longest=LONGEST_LABEL))
    return label


def _free_name(folder: Path, stem: str, ending: str) -> Path:
    number = 1
    while (folder / f"{stem}-{number}{ending}").exists():
        number += 1
    return folder / f"{stem}-{number}{ending}"


def _shallow(stored: dict) -> bool:
    """Tell whether nothing is nested deeper than a newer kit would nest it."""
    level: list = [stored]
    for _ in range(DEEPEST):
        level = [
            inner
            for outer in level
            for inner in (outer.values() if isinstance(outer, dict) else outer)
            if isinstance(inner, dict | list)
        ]
    return not level


def _settings_from(stored: dict) -> tuple[Settings, list[str]]:
    """Take over each field that holds; say which did not."""
    good, messages = {}, []
    for name in FIELDS:
        if name not in stored:
            continue
        try:
            _require(name, stored[name])
        except (ValueError, TypeError):
            messages.append(say("home.settings.field", name=name, file=SETTINGS_FILE))
        else:
            good[name] = stored[name]
    return Settings(**good), messages


def _require(name: str, value: object) -> None:
    if name not in FIELDS:
        raise TypeError(f"no setting {name}")
    if name == "presentation":
        if not isinstance(value, bool):
            raise ValueError(f"{name} is on or off")
        return
    if not isinstance(value, str):
        raise ValueError(f"{name} is a text")
    if name in _PREFERENCES:
        Preferences(**{name: value})  # its own sentence for a value that may not be
    elif name == "label" and tidy_label(value) != value:
        raise ValueError(f"{name} is one line of plain text")
    elif name == "card" and not _card_key(value):
        raise ValueError(f"{name} names a card")


def _card_key(key: str) -> bool:
    """Tell whether a text can name a card: never a path."""
    kind, _, slug = key.partition(":")
    if not key:
        return True
    letters = set("abcdefghijklmnopqrstuvwxyz0123456789-_")
    return kind in ("built_in", "own") and 0 < len(slug) <= 60 and set(slug) <= letters
