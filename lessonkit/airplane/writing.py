"""From a card back to TOML: reading the result gives the same card again."""

import os

from lessonkit.airplane.card import Card, CardError, Figure
from lessonkit.airplane.plain_files import PlainFileError, shown_name, write_plain_text
from lessonkit.airplane.schema import (
    CHOICE,
    CORRECTION,
    FIELDS,
    FIGURE,
    FORMAT,
    TEXT,
    fields_of,
    sections,
)
from lessonkit.words import say


def card_to_tables(card: Card) -> dict:
    """Return the typed entries of a card by section and name.

    Parameters
    ----------
    card : Card

    Returns
    -------
    dict of dict
        What `reading.card_from_tables` takes, and what the form shows.

    Examples
    --------
    >>> card_to_tables(Card({"airplane.name": "Two-seat"}))
    {'airplane': {'name': 'Two-seat'}}
    """
    return tables_of(card.entries, FIELDS, card.text("airplane.origin"), card.text("airspeed.kind"))


def tables_of(entries, fields, origin, airspeed=""):
    """Return typed entries by section and name, for the given lines of a table.

    Parameters
    ----------
    entries : mapping of str to entry
        By path.
    fields : sequence of Field
        The lines, in the order in which they are written.
    origin, airspeed : str
        What the file states once for all of its figures.

    Returns
    -------
    dict of dict
    """
    tables = {}
    for field in fields:
        if field.path in entries:
            typed = _typed(field, entries[field.path], origin, airspeed)
            tables.setdefault(field.section, {})[field.name] = typed
    return tables


def _typed(field, entry, origin, airspeed):
    if field.form in (TEXT, CHOICE):
        return entry
    if field.form == FIGURE:
        return _typed_figure(entry, field.origin or origin, airspeed)
    if field.form == CORRECTION:
        return [[ias.typed, cas.typed] for ias, cas in entry]
    return ["" if one is None else _typed_figure(one, origin, airspeed) for one in entry]


def _typed_figure(figure: Figure, origin, airspeed):
    parts = {"value": figure.typed}
    if figure.airspeed and figure.airspeed != airspeed:
        parts["airspeed"] = figure.airspeed
    if figure.mass is not None:
        parts["weight"] = figure.mass.typed
    if figure.origin != origin:
        parts["origin"] = figure.origin
    return figure.typed if len(parts) == 1 else parts


def card_to_toml(card: Card) -> str:
    """Return the TOML text of a card; reading it gives an equal card.

    Parameters
    ----------
    card : Card

    Returns
    -------
    str
        UTF-8 text with the labels of the lines as comments.

    Examples
    --------
    >>> 'name = "Two-seat"' in card_to_toml(Card({"airplane.name": "Two-seat"}))
    True
    """
    return toml_text(card_to_tables(card), say("card.file.title"), sections(), fields_of)


def toml_text(tables, title, section_names, fields_in):
    """Return tables as TOML with a comment per section and line.

    Parameters
    ----------
    tables : dict of dict
        Typed entries.
    title : str
        First comment of the file.
    section_names : list of str
        Order of the sections.
    fields_in : callable
        Gives the lines of a section.

    Returns
    -------
    str
    """
    # Only who saves a card pays for loading the writer.
    import tomlkit

    document = tomlkit.document()
    document.add(tomlkit.comment(title))
    document.add("format", tomlkit.item(FORMAT))
    for section in section_names:
        if section not in tables:
            continue
        table = tomlkit.table()
        for field in fields_in(section):
            if field.name in tables[section]:
                item = _item(tomlkit, tables[section][field.name])
                table.add(field.name, item.comment(say(field.label_key)))
        document.add(section, table)
    return document.as_string()


def _item(tomlkit, typed):
    if isinstance(typed, dict):
        table = tomlkit.inline_table()
        table.update(typed)
        return table
    return tomlkit.item(typed)


def write_card(card: Card, path: str | os.PathLike) -> None:
    """Save a card in place of the old file, whole or not at all.

    Parameters
    ----------
    card : Card
    path : path
        In a folder that exists.

    Raises
    ------
    CardError
        One sentence; the old file is untouched then.
    """
    try:
        write_plain_text(path, card_to_toml(card))
    except PlainFileError as error:
        what = str(error).rstrip(".")
        raise CardError(say("card.error.sentence", file=shown_name(path), what=what)) from None
