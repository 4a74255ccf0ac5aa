"""The airplane card: what was typed, with unit, origin, kind of airspeed and weight."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from lessonkit.airplane.schema import FIELD_AT
from lessonkit.words import Preferences


class CardError(Exception):
    """A card that cannot be used; the message is one sentence that names the thing and the cure."""


@dataclass(frozen=True)
class Figure:
    """One number of a card.

    Parameters
    ----------
    value : float
        The number. [SI; degrees for angles]
    kind : str
        Kind of quantity of the number formatter.
    typed : float, int or str
        The number as it was typed; a text may carry its own unit. [unit of the card]
    origin : str
        One of `lessonkit.airplane.schema.ORIGINS`.
    airspeed : str
        "CAS" or "IAS"; empty where the figure is no airspeed.
    mass : Figure or None
        Weight that the figure belongs to; None: the greatest weight. [kg]
    """

    value: float
    kind: str
    typed: float | int | str
    origin: str
    airspeed: str = ""
    mass: "Figure | None" = None


Pair = tuple[Figure, Figure]
Entry = str | Figure | tuple[Figure | None, ...] | tuple[Pair, ...]


@dataclass(frozen=True)
class Card:
    """All entries of one airplane card, by their path in `schema.FIELDS`.

    Parameters
    ----------
    entries : mapping of str to entry
        Only what was typed: words, figures, lists of figures, pairs of figures.
    file : str
        Where it was read, for sentences; two cards that differ only here are equal.

    Examples
    --------
    >>> Card({"airplane.name": "Two-seat"}).name
    'Two-seat'
    """

    entries: Mapping[str, Entry]
    file: str = field(default="", compare=False)

    def __post_init__(self):
        """Keep an own copy that nobody can change."""
        object.__setattr__(self, "entries", MappingProxyType(dict(self.entries)))

    def __hash__(self):
        return hash(tuple(sorted(self.entries.items(), key=lambda item: item[0])))

    def __reduce__(self):
        return Card, (dict(self.entries), self.file)

    def __getitem__(self, path):
        """Return the entry at a path, or None when the card leaves it out."""
        if path not in FIELD_AT:
            raise KeyError(f"no line {path} on the card")
        return self.entries.get(path)

    def __contains__(self, path):
        return path in self.entries

    @property
    def name(self) -> str:
        """Name of the airplane, plain text (escape it before it meets HTML)."""
        return self.text("airplane.name")

    def text(self, path: str) -> str:
        """Return a word or a choice; the default of the table when the card leaves it out."""
        found = self[path]
        return FIELD_AT[path].default if found is None else found

    def figure(self, path: str) -> Figure | None:
        """Return a figure, or None when the card leaves it out."""
        return self[path]

    def value(self, path: str) -> float | None:
        """Return the value of a figure in SI (degrees for angles), or None."""
        found = self[path]
        return None if found is None else found.value

    def mass_of(self, figure: Figure) -> float:
        """Return the mass in kg that a figure belongs to."""
        return figure.mass.value if figure.mass else self.entries["weights.max"].value

    def per_flap(self, path: str) -> tuple[Figure | None, ...]:
        """Return a list with one entry per flap setting; None where nothing is printed."""
        found = self[path]
        return (None,) * len(self.flap_deg) if found is None else found

    @property
    def flap_deg(self) -> tuple[float, ...]:
        """Flap settings in degrees, ascending, the first is flaps up."""
        return tuple(setting.value for setting in self.entries["flaps.settings"])

    def preferences(self, base: Preferences | None = None) -> Preferences:
        """Return preferences with the units in which this card is typed."""
        base = base or Preferences()
        return Preferences(
            speed_unit=self.text("units.speed"),
            mass_unit=self.text("units.mass"),
            decimal_mark=base.decimal_mark,
            language=base.language,
        )
