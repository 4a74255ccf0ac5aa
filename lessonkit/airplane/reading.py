"""From a TOML text to a card; everything that can be wrong with it gets one sentence."""

import os
import re
import tomllib

from lessonkit.airplane.card import Card, CardError
from lessonkit.airplane.checks import contradictions
from lessonkit.airplane.entries import EntryError, EntryReader
from lessonkit.airplane.plain_files import (
    PlainFileError,
    read_plain_text,
    shortened,
    shown_name,
)
from lessonkit.airplane.schema import FIELD_AT, FORMAT
from lessonkit.words import say

LONGEST_LINE = 1000  # characters; the longest real one, a correction table, has about 500


def read_card(path: str | os.PathLike) -> Card:
    """Read, validate and return the card in a file.

    Parameters
    ----------
    path : path
        A regular TOML file in UTF-8, not above 256 KB.

    Returns
    -------
    Card

    Raises
    ------
    CardError
        One sentence that names the file, the line of the card and the cure.
    """
    file = shown_name(path)
    try:
        text = read_plain_text(path)
    except PlainFileError as error:
        raise card_error(file, error) from None
    return card_from_text(text, file)


def card_from_text(text: str, file: str = "") -> Card:
    """Validate a TOML text and return its card.

    Parameters
    ----------
    text : str
        What the file holds.
    file : str
        Name for the sentences; "The card" without it.

    Returns
    -------
    Card

    Raises
    ------
    CardError
        One sentence that names the file, the line of the card and the cure.
    """
    card = card_without_checks(text, file)
    for sentence in contradictions(card):
        raise card_error(file, sentence)
    return card


def card_without_checks(text: str, file: str = "") -> Card:
    """Return the card of a TOML text without looking for contradictions between its figures.

    The form uses it, which shows all contradictions at once.

    Parameters
    ----------
    text, file : str
        As in `card_from_text`.

    Returns
    -------
    Card

    Raises
    ------
    CardError
        One sentence, for the first line that cannot be read.
    """
    try:
        tables = parse_toml(text)
    except EntryError as error:
        raise card_error(file, error) from None
    return card_from_tables(tables, file)


def card_from_tables(tables: dict, file: str = "") -> Card:
    """Return the card of typed entries, without looking for contradictions.

    Parameters
    ----------
    tables : dict of dict
        Typed entries by section and name, as the form collects them; an empty text is a line
        left out.
    file : str
        Name for the sentences.

    Returns
    -------
    Card

    Raises
    ------
    CardError
        One sentence, for the first line that cannot be read.
    """
    try:
        return Card(_card_entries(tables), file=file)
    except EntryError as error:
        raise card_error(file, error) from None


def parse_toml(text: str) -> dict:
    """Return the tables of a TOML text.

    Raises
    ------
    EntryError
        With half a sentence, whatever the text holds.
    """
    # A key of thousands of parts in one line keeps the TOML reader busy for a minute.
    if any(len(line) > LONGEST_LINE for line in text.splitlines()):
        raise EntryError(say("card.file.long_line", longest=LONGEST_LINE))
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise EntryError(_not_toml(error)) from None
    except RecursionError:
        raise EntryError(say("card.file.deep")) from None
    except (ValueError, OverflowError, TypeError):  # a number with thousands of digits
        raise EntryError(say("card.file.not_toml_number")) from None


def _not_toml(error):
    # The reader's own words are for programmers; the learner needs the line.
    line = re.search(r"at line (\d+)", str(error))
    if line is None:
        return say("card.file.not_toml_end")
    return say("card.file.not_toml", line=line[1])


def card_error(file, what):
    """Return the error whose one sentence names the file and what is wrong with it."""
    file = file or say("card.file.unnamed")
    return CardError(say("card.error.sentence", file=file, what=str(what).rstrip(".")))


def entries_of(tables: dict, field_at: dict, origin_path: str) -> dict:
    """Return the validated entries of typed tables, for any table of lines.

    Parameters
    ----------
    tables : dict of dict
        Typed entries by section and name.
    field_at : dict of str to Field
        The table of lines.
    origin_path : str
        The line that states the origin of all figures.

    Returns
    -------
    dict of str to entry
        By path.

    Raises
    ------
    EntryError
        One sentence without the name of the file.
    """
    tables = dict(tables)
    _check_format(tables.pop("format", FORMAT))
    _check_names(tables, field_at)
    found = {}
    reader = EntryReader(tables, field_at, origin_path)
    for path, field in field_at.items():
        typed = tables.get(field.section, {}).get(field.name)
        if typed is None or (isinstance(typed, str) and not typed.strip()):
            if field.required:
                raise EntryError(say("card.error.missing", label=reader.label(field)))
            continue
        found[path] = reader.entry(field, typed)
    return found


def _card_entries(tables):
    found = entries_of(tables, FIELD_AT, "airplane.origin")
    if "glide.ratio" not in found and "glide.distance_per_1000_ft" not in found:
        raise EntryError(say("card.error.no_glide"))
    return found


def _check_format(number):
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise EntryError(say("card.error.format", expected=FORMAT))
    if number > FORMAT:
        raise EntryError(say("card.error.newer", expected=FORMAT))


def _check_names(tables, field_at):
    known_names = {}
    for field in field_at.values():
        known_names.setdefault(field.section, []).append(field.name)
    for section, table in tables.items():
        if section not in known_names:
            raise EntryError(say("card.error.unknown_section", name=shortened(section)))
        if not isinstance(table, dict):
            raise EntryError(say("card.error.not_a_section", name=section))
        for name in table:
            if name not in known_names[section]:
                words = {"name": shortened(name), "section": section}
                known = ", ".join(known_names[section])
                raise EntryError(say("card.error.unknown_name", known=known, **words))
