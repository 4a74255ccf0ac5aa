"""The shelf of airplane cards: the built-in ones and the learner's own, by key.

A key is ``built_in:<name>`` or ``own:<name>``; it is made here and never taken as a path.
"""

import hashlib
import os
import re
import unicodedata
from dataclasses import dataclass, field
from pathlib import Path

from lessonkit.airplane import Card, CardError, built_in_cards, card_from_text, read_card
from lessonkit.airplane.plain_files import LONGEST
from lessonkit.app.files import FileTrouble, LockBusy, locked, read_small_file, write_file
from lessonkit.app.home import Home
from lessonkit.words import say

CARD_BYTES = LONGEST  # one limit for every way in which a card is read
LONGEST_SLUG = 40
# Names that one system or another keeps for its devices.
_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)")


@dataclass(frozen=True)
class CardEntry:
    """One card that can be chosen.

    Parameters
    ----------
    key : str
        What the settings keep.
    name : str
        The airplane's name as the learner sees it.
    own : bool
        The learner's own card; else an invented one that the kit brings.
    problem : str
        One sentence if the card cannot be used; empty if it can.
    """

    key: str
    name: str
    own: bool
    problem: str = ""


class CardExists(Exception):
    """A card of that name is already saved; the learner has to say whether to replace it."""


@dataclass
class Shelf:
    """All cards that this learner can choose.

    Parameters
    ----------
    home : Home
        Where own cards lie and where the choice is kept.
    unsaved : dict
        Own cards that could not be written, by slug: used in this window only.
    """

    home: Home
    unsaved: dict[str, str] = field(default_factory=dict)

    def __repr__(self) -> str:
        """Return the same text on every machine: no path."""
        return "Shelf()"

    def entries(self) -> list[CardEntry]:
        """Return the built-in cards, then the learner's own, each by name."""
        built_in = [
            CardEntry(f"built_in:{slug}", card.name, False) for slug, card in _built_in().items()
        ]
        own = [self._own_entry(slug) for slug in self._own_slugs()]
        return built_in + sorted(own, key=lambda entry: entry.name.casefold())

    def card(self, key: str) -> Card:
        """Return the card of a key.

        Raises
        ------
        CardError
            One sentence, if the card is broken or gone.
        """
        kind, _, slug = key.partition(":")
        if kind == "built_in" and slug in _built_in():
            return _built_in()[slug]
        if kind == "own" and slug in self.unsaved:
            return card_from_text(self.unsaved[slug], f"{slug}.toml")
        if kind == "own" and slug == slug_of(slug) and (self._path(slug)).exists():
            return read_card(self._path(slug))
        raise CardError(
            say("home.card.missing", name=slug or key, fallback=self.card(self.default_key).name)
        )

    @property
    def default_key(self) -> str:
        """Key of the card that is used when none is chosen."""
        return f"built_in:{next(iter(_built_in()))}"

    def save(self, name: str, text: str, replace: bool = False) -> tuple[str, list[str]]:
        """Save an own card under its name.

        Parameters
        ----------
        name : str
            The airplane's name; only letters and digits of it go into the file name.
        text : str
            The card as TOML.
        replace : bool
            Replace a card of that name, keeping a copy of it.

        Returns
        -------
        str, list of str
            The card's key, and what the learner should know.

        Raises
        ------
        CardExists
            If there is one and `replace` was not said; nothing is written then.
        """
        slug = slug_of(name)
        path = self._path(slug)
        messages = []
        try:
            with locked(self.home.folder / "cards.lock"):
                if path.exists():
                    if not replace:
                        raise CardExists(say("home.card.exists", name=name))
                    kept = self._keep_copy(slug)
                    messages = [say("home.card.copy_kept", file=kept.name)]
                write_file(path, text.encode("utf-8"))
                self.unsaved.pop(slug, None)
        except FileTrouble as trouble:
            self.unsaved[slug] = text
            folder = self.home.cards
            messages = [say("home.card.unsaved", folder=folder, reason=trouble.reason)]
        except LockBusy:
            self.unsaved[slug] = text
            messages = [say("home.card.busy")]
        return f"own:{slug}", messages

    def text(self, key: str) -> str:
        """Return an own card's file as text, for a download.

        Raises
        ------
        FileTrouble, FileNotFoundError
            If it cannot be read.
        """
        slug = key.partition(":")[2]
        if slug in self.unsaved:
            return self.unsaved[slug]
        return read_small_file(self._path(slug_of(slug)), CARD_BYTES).decode("utf-8", "replace")

    def _path(self, slug: str) -> Path:
        return self.home.cards / f"{slug}.toml"

    def _own_slugs(self) -> list[str]:
        found = set(self.unsaved)
        try:
            names = os.listdir(self.home.cards)
        except OSError:  # no folder yet, or one that may not be read: no own cards to offer
            names = []
        stems = (name.removesuffix(".toml") for name in names if name.endswith(".toml"))
        return sorted(found | {stem for stem in stems if stem == slug_of(stem)})

    def _own_entry(self, slug: str) -> CardEntry:
        try:
            return CardEntry(f"own:{slug}", self.card(f"own:{slug}").name, True)
        except CardError as error:
            return CardEntry(f"own:{slug}", slug, True, str(error))

    def _keep_copy(self, slug: str) -> Path:
        """Copy the old card aside; kept copies are not offered as cards."""
        number = 1
        while (kept := self.home.cards / "kept" / f"{slug}-{number}.toml").exists():
            number += 1
        try:
            write_file(kept, self._path(slug).read_bytes())
        except OSError as error:
            raise FileTrouble.of(error) from error
        return kept


def slug_of(name: str) -> str:
    """Return a file name without ending for a card's name: small letters, digits, dashes.

    A name without any Latin letter or digit gets a short code of its own, so that two of them
    do not fall together.

    Examples
    --------
    >>> slug_of("../Trainer No. 2 / club")
    'trainer-no-2-club'
    >>> slug_of("CON")
    'card-con'
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    slug = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:LONGEST_SLUG].strip("-")
    if not slug:
        code = hashlib.sha256(name.encode("utf-8", "replace")).hexdigest()[:8]
        return f"card-{code}"
    return f"card-{slug}" if _DEVICES.fullmatch(slug) else slug


def _built_in() -> dict[str, Card]:
    return built_in_cards()
