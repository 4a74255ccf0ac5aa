"""The airfield of a lesson: one runway, its elevation and its traffic side."""

import os
from dataclasses import dataclass

from lessonkit.airplane.card import CardError, Figure
from lessonkit.airplane.entries import EntryError
from lessonkit.airplane.plain_files import PlainFileError, read_plain_text, shown_name
from lessonkit.airplane.reading import card_error, entries_of, parse_toml
from lessonkit.airplane.schema import CHOICE, FIGURE, HANDBOOK, TEXT, TYPED_ORIGINS, Field
from lessonkit.airplane.writing import tables_of, toml_text
from lessonkit.units import m_from_ft
from lessonkit.words import say, show

LEFT, RIGHT = "left", "right"
NARROWEST = 5.0  # length of a runway over its width; common practice, no source

AIRFIELD_FIELDS: tuple[Field, ...] = (
    Field("airfield.name", TEXT, required=True, low=1, high=60),
    Field("airfield.origin", CHOICE, choices=TYPED_ORIGINS, default=HANDBOOK),
    Field("airfield.note", TEXT, low=0, high=400),
    Field(
        "airfield.elevation",
        FIGURE,
        "height",
        required=True,
        low=m_from_ft(-1000),
        high=m_from_ft(9000),
        reason="elevation",
    ),
    Field(
        "runway.length",
        FIGURE,
        "runway_length",
        required=True,
        low=m_from_ft(800),
        high=m_from_ft(16000),
        reason="runway_length",
    ),
    Field(
        "runway.width",
        FIGURE,
        "runway_length",
        required=True,
        low=m_from_ft(20),
        high=m_from_ft(300),
        reason="runway_width",
    ),
    Field(
        "runway.heading",
        FIGURE,
        "heading_deg",
        required=True,
        low=0,
        high=360,
        reason="heading",
    ),
    Field("runway.traffic", CHOICE, choices=(LEFT, RIGHT), default=LEFT),
)


@dataclass(frozen=True)
class Airfield:
    """An airfield without obstacles.

    Parameters
    ----------
    name : str
        Plain text; escape it before it meets HTML.
    elevation : float
        Above mean sea level. [m]
    runway_length, runway_width : float
        [m]
    heading_deg : float
        Landing direction, magnetic. [deg]
    traffic : str
        "left" or "right": the side of the runway on which the pattern is flown.
    origin : str
        Where the figures come from.
    note : str
        Plain text.
    """

    name: str
    elevation: float
    runway_length: float
    runway_width: float
    heading_deg: float
    traffic: str = LEFT
    origin: str = HANDBOOK
    note: str = ""

    @property
    def side(self) -> float:
        """+1 for left traffic, -1 for right traffic, as the models take it."""
        return 1.0 if self.traffic == LEFT else -1.0


def read_airfield(path: str | os.PathLike) -> Airfield:
    """Read, validate and return the airfield in a file.

    Parameters
    ----------
    path : path
        A regular TOML file in UTF-8.

    Returns
    -------
    Airfield

    Raises
    ------
    CardError
        One sentence that names the file, the line and the cure.
    """
    file = shown_name(path)
    try:
        text = read_plain_text(path)
    except PlainFileError as error:
        raise card_error(file, error) from None
    return airfield_from_text(text, file)


def airfield_from_text(text: str, file: str = "") -> Airfield:
    """Validate a TOML text and return its airfield.

    Parameters
    ----------
    text : str
        What the file holds.
    file : str
        Name for the sentences.

    Returns
    -------
    Airfield

    Raises
    ------
    CardError
        One sentence that names the file, the line and the cure.
    """
    field_at = {field.path: field for field in AIRFIELD_FIELDS}
    try:
        tables = parse_toml(text)
        entries = entries_of(tables, field_at, "airfield.origin")
        return _airfield(entries)
    except EntryError as error:
        raise card_error(file, error) from None


def _airfield(entries):
    length, width = entries["runway.length"].value, entries["runway.width"].value
    if length < NARROWEST * width:
        words = {"length": show(length, "runway_length"), "width": show(width, "runway_length")}
        raise EntryError(say("card.contradiction.runway", **words))
    return Airfield(
        name=entries["airfield.name"],
        elevation=entries["airfield.elevation"].value,
        runway_length=length,
        runway_width=width,
        heading_deg=entries["runway.heading"].value % 360.0,
        traffic=entries.get("runway.traffic", LEFT),
        origin=entries.get("airfield.origin", HANDBOOK),
        note=entries.get("airfield.note", ""),
    )


def airfield_to_toml(airfield: Airfield) -> str:
    """Return the TOML text of an airfield; reading it gives an equal airfield.

    Parameters
    ----------
    airfield : Airfield

    Returns
    -------
    str
        Lengths in metres, as texts with their unit, so that no digit is lost.
    """

    def metres(value, kind):
        return Figure(value, kind, f"{value!r} m", airfield.origin)

    entries = {
        "airfield.name": airfield.name,
        "airfield.origin": airfield.origin,
        "airfield.elevation": metres(airfield.elevation, "height"),
        "runway.length": metres(airfield.runway_length, "runway_length"),
        "runway.width": metres(airfield.runway_width, "runway_length"),
        "runway.heading": Figure(
            airfield.heading_deg, "heading_deg", airfield.heading_deg, airfield.origin
        ),
        "runway.traffic": airfield.traffic,
    }
    if airfield.note:
        entries["airfield.note"] = airfield.note
    tables = tables_of(entries, AIRFIELD_FIELDS, airfield.origin)
    return toml_text(
        tables,
        say("card.file.airfield_title"),
        ["airfield", "runway"],
        lambda section: [field for field in AIRFIELD_FIELDS if field.section == section],
    )


__all__ = ["Airfield", "CardError", "airfield_from_text", "airfield_to_toml", "read_airfield"]
