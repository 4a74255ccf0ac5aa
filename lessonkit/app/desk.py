"""What the panels of a lesson may do with the learner's folder: choose, save, keep a draft."""

import json
import weakref
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from lessonkit.airplane import Card, CardError, card_to_toml
from lessonkit.app.catalogue import questions_of
from lessonkit.app.files import FileTrouble, read_small_file, write_file
from lessonkit.app.home import Home, Settings
from lessonkit.app.places import lesson_files, lesson_name, lesson_title
from lessonkit.app.shelf import CardEntry, CardExists, Shelf, slug_of
from lessonkit.exercises.review import LessonQuestions
from lessonkit.records import EventStore
from lessonkit.words import say

DRAFT_FILE = "card_draft.json"
DRAFT_BYTES = 256 * 1024
NO_LABEL = "learner"  # under which the answers of a learner without a label are kept


@dataclass(frozen=True)
class Saved:
    """How saving a card went.

    Parameters
    ----------
    key : str
        The card's key; empty if it was not saved because there is one of that name.
    exists : str
        Then one sentence that asks what to do; else empty.
    unsaved : bool
        True if it could not be written and is used in this window only.
    messages : tuple of str
        What the learner should know.
    """

    key: str = ""
    exists: str = ""
    unsaved: bool = False
    messages: tuple[str, ...] = ()


@dataclass
class Desk:
    """The learner's choices and cards, for the panels that change them.

    Parameters
    ----------
    home : Home
    shelf : Shelf
    """

    home: Home
    shelf: Shelf
    _listeners: list[weakref.WeakMethod] = field(default_factory=list, repr=False)
    _records: dict[Path, EventStore] = field(default_factory=dict, repr=False)

    def __repr__(self) -> str:
        """Return the same text on every machine."""
        return "Desk()"

    @property
    def folder(self) -> str:
        """Where everything is stored, to be shown to the learner."""
        return str(self.home.folder)

    def record(self) -> EventStore:
        """Return the record under the chosen label.

        All panels of a window share it, so that what one of them could not save is seen, and
        saved, by the others.
        """
        record = EventStore(self.home.records, self.settings().label or NO_LABEL)
        return self._records.setdefault(record.path, record)

    def lesson_questions(self) -> list[LessonQuestions]:
        """Return all lessons with their questions, in their order."""
        return [
            LessonQuestions(
                path.stem,
                lesson_name(path.stem),
                lesson_title(path.stem),
                tuple(questions_of(lesson_name(path.stem))),
            )
            for path in lesson_files()
        ]

    def settings(self) -> Settings:
        """Return the choices that all notebooks share."""
        return self.home.read()[0]

    def change(self, **changes: object) -> list[str]:
        """Change some of them and tell the lesson; return what the learner should know.

        Raises
        ------
        ValueError
            One sentence, for a value that may not be.
        """
        _, messages = self.home.change(**changes)
        self._listeners = [listener for listener in self._listeners if listener() is not None]
        for listener in self._listeners:
            call = listener()
            if call is not None:
                call()
        return messages

    def on_change(self, listener: Callable[[], None]) -> None:
        """Call a method after each change that is made through this desk.

        A lesson that was opened anew is forgotten: the desk does not keep its methods alive.
        """
        self._listeners.append(weakref.WeakMethod(listener))

    def entries(self) -> list[CardEntry]:
        """Return all cards that can be chosen."""
        return self.shelf.entries()

    def card(self, key: str) -> Card:
        """Return a card.

        Raises
        ------
        CardError
            One sentence, if it is broken or gone.
        """
        return self.shelf.card(key)

    def chosen(self) -> tuple[Card, str, list[str]]:
        """Return the chosen card, its key, and one sentence if another one had to stand in."""
        settings, messages = self.home.read()
        key = settings.card or self.shelf.default_key
        try:
            return self.shelf.card(key), key, messages
        except CardError as error:
            fallback = self.shelf.card(self.shelf.default_key)
            if key in {entry.key for entry in self.shelf.entries()}:
                reason = str(error).rstrip(".")
                text = say("home.card.broken", reason=reason, fallback=fallback.name)
            else:
                name = key.partition(":")[2]
                text = say("home.card.missing", name=name, fallback=fallback.name)
            return fallback, self.shelf.default_key, [*messages, text]

    def save_card(self, card: Card, replace: bool = False) -> Saved:
        """Save a card under its name and choose it for all lessons."""
        try:
            key, messages = self.shelf.save(card.name, card_to_toml(card), replace)
        except CardExists as question:
            return Saved(exists=str(question))
        messages = [*messages, *self.change(card=key)]
        unsaved = key.partition(":")[2] in self.shelf.unsaved
        return Saved(key=key, unsaved=unsaved, messages=tuple(dict.fromkeys(messages)))

    def file_name(self, name: str) -> str:
        """Return the file name without ending of a card's name: never a path."""
        return slug_of(name)

    def draft(self) -> tuple[dict, str]:
        """Return the card that was begun and not yet saved, and one sentence if it is torn."""
        try:
            found = json.loads(read_small_file(self.home.folder / DRAFT_FILE, DRAFT_BYTES))
        except FileNotFoundError:
            return {}, ""
        except (FileTrouble, ValueError, RecursionError):
            found = None
        if not isinstance(found, dict):
            return {}, say("home.card.draft_torn", file=DRAFT_FILE)
        return found, ""

    def keep_draft(self, draft: Mapping) -> bool:
        """Keep what is typed for the next opening; return False if it cannot be kept."""
        try:
            write_file(self.home.folder / DRAFT_FILE, json.dumps(draft).encode("ascii"))
        except FileTrouble:
            return False
        return True
