"""What stands in the card form, before it is a card: texts by control, read into entries.

A control is named by the path of its line; a part of a line adds a mark: ``speeds.VS0#airspeed``
is the kind of airspeed of VS0, ``speeds.VS0#weight`` its weight, ``airspeed.flaps_up#ias`` and
``#cas`` are the two rows of a correction table.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from lessonkit.airplane.card import Card, Figure
from lessonkit.airplane.entries import EntryError, EntryReader
from lessonkit.airplane.schema import (
    CHOICE,
    CORRECTION,
    FIELD_AT,
    FIELDS,
    FIGURE,
    FIGURE_LIST,
    FLAP_LIST,
    HANDBOOK,
    IAS,
    INVENTED,
    MEASURED,
    RULE_OF_THUMB,
    TEXT,
    Field,
)
from lessonkit.words import Preferences, say, to_shown

NOT_PRINTED = "-"
_BLANKS = {"-", "\u2013", "\u2014", "\u2212", "\u00b7"}
# A list that holds several origins keeps the least firm one on the form.
_FIRMNESS = (RULE_OF_THUMB, INVENTED, MEASURED, HANDBOOK)
_METRIC_KINDS = ("span", "area", "runway_length")


@dataclass(frozen=True)
class Draft:
    """The texts of all controls, and where the figures that were taken over come from.

    Parameters
    ----------
    texts : mapping of str to str
        By control; a control that is left out is empty.
    origins : mapping of str to (text, origin)
        Figures taken over from another card: they keep their origin until they are changed.
    """

    texts: Mapping[str, str] = field(default_factory=dict)
    origins: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    def text(self, control: str) -> str:
        """Return what stands in a control, without blanks around it."""
        return self.texts.get(control, "").strip()

    @property
    def is_empty(self) -> bool:
        """True while nothing was typed; choices have a setting from the start."""
        return not any(
            self.text(control) and FIELD_AT[control.partition("#")[0]].form != CHOICE
            for control in self.texts
            if control.partition("#")[0] in FIELD_AT and not control.endswith("#airspeed")
        )

    def origin(self, path: str) -> str:
        """Return the origin of a figure as it stands, "" for that of the whole card."""
        text, origin = self.origins.get(path, ("", ""))
        return origin if text and text == self.text(path) else ""


@dataclass(frozen=True)
class DraftReading:
    """A draft that was read.

    Parameters
    ----------
    card : Card or None
        None as long as an error or a missing figure stands in the way.
    errors : mapping of str to str
        One sentence by control, for what was typed and cannot be.
    missing : tuple of str
        Paths of required lines that are still empty.
    """

    card: Card | None
    errors: Mapping[str, str]
    missing: tuple[str, ...]


class FormReader(EntryReader):
    """Reads entries as the card does, but names a line by its label alone, as on the form."""

    def __init__(self, draft: Draft, preferences: Preferences):
        tables: dict[str, dict] = {"airspeed": {"kind": IAS}}
        for path in ("units.speed", "units.mass", "units.length", "airspeed.kind"):
            _put(tables, path, draft.text(path))
        _put(tables, "airplane.origin", draft.text("airplane.origin"))
        flaps = split_list(draft.text("flaps.settings"))
        if flaps:
            tables["flaps"] = {"settings": flaps}
        super().__init__(tables)
        self.preferences = replace(
            self.preferences,
            decimal_mark=preferences.decimal_mark,
            language=preferences.language,
        )

    def label(self, line: Field) -> str:
        """Return the label of a line."""
        return say(line.label_key)


def read_draft(draft: Draft, preferences: Preferences) -> DraftReading:
    """Read every line of a draft.

    Parameters
    ----------
    draft : Draft
    preferences : Preferences
        Decimal mark and language; the units are those of the draft itself.

    Returns
    -------
    DraftReading
    """
    reader = FormReader(draft, preferences)
    entries, errors, missing = {}, {}, []
    for line in FIELDS:
        try:
            typed = _typed(draft, line)
            if typed is None:
                if line.required:
                    missing.append(line.path)
                continue
            entries[line.path] = _tidy(reader.entry(line, typed), reader)
        except EntryError as error:
            errors[_control_of(error, draft, line)] = _sentence(error)
    missing += _missing_glide(draft)
    card = None if errors or missing else Card(entries)
    return DraftReading(card, errors, tuple(missing))


def read_line(draft: Draft, path: str, preferences: Preferences) -> str:
    """Return the error of one line as it stands, "" when it is good or still empty."""
    line = FIELD_AT[path]
    try:
        typed = _typed(draft, line)
        if typed is not None:
            FormReader(draft, preferences).entry(line, typed)
    except EntryError as error:
        return _sentence(error)
    return ""


def draft_of(card: Card, preferences: Preferences) -> Draft:
    """Return the draft that shows a card: what was typed, in the card's own units."""
    texts, origins = {}, {}
    for path, entry in card.entries.items():
        line = FIELD_AT[path]
        if line.form in (TEXT, CHOICE):
            texts[path] = str(entry)
        elif line.form == FIGURE:
            texts[path] = _shown(entry.typed, preferences)
            if line.airspeed and entry.airspeed != card.text("airspeed.kind"):
                texts[f"{path}#airspeed"] = entry.airspeed
            if entry.mass is not None:
                texts[f"{path}#weight"] = _shown(entry.mass.typed, preferences)
            origins[path] = (texts[path], entry.origin)
        elif line.form == CORRECTION:
            for column, name in enumerate(("ias", "cas")):
                row = (_shown(pair[column].typed, preferences) for pair in entry)
                texts[f"{path}#{name}"] = "  ".join(row)
        else:
            texts[path] = "  ".join(
                NOT_PRINTED if one is None else _shown(one.typed, preferences) for one in entry
            )
            if line.form == FIGURE_LIST:
                own = {one.origin for one in entry if one is not None}
                origins[path] = (texts[path], min(own, key=_FIRMNESS.index, default=""))
    return Draft(texts, origins)


def split_list(text: str) -> list[str]:
    """Return the entries of a line of numbers; "" for one that is not printed.

    Blanks, semicolons and a comma followed by a blank separate; a unit stays with its number.

    Examples
    --------
    >>> split_list("0, 10  20 deg; 30")
    ['0', '10', '20 deg', '30']
    >>> split_list("52 - 46,5")
    ['52', '', '46,5']
    """
    found: list[str] = []
    for word in re.split(r"[;\s]+", text.strip()):
        word = word.rstrip(",")
        if word in _BLANKS:
            found.append("")
        elif word.count(",") > 1 and "." not in word:  # "0,10,20,30"
            found += word.split(",")
        elif word and found and found[-1] and not any(letter.isdigit() for letter in word):
            found[-1] += f" {word}"
        elif word:
            found.append(word)
    return found


def _typed(draft: Draft, line: Field):
    """Return a line as the reader of cards wants it; None when nothing was typed."""
    text = draft.text(line.path)
    if line.form == CORRECTION:
        return _pairs(draft, line)
    if not text:
        return None
    if line.form in (FLAP_LIST, FIGURE_LIST):
        return _with_origin(split_list(text), draft.origin(line.path))
    if line.form != FIGURE:
        return text
    parts = {"value": text}
    airspeed, weight = draft.text(f"{line.path}#airspeed"), draft.text(f"{line.path}#weight")
    if line.airspeed and airspeed:
        parts["airspeed"] = airspeed
    if line.weight and weight:
        parts["weight"] = weight
    if draft.origin(line.path):
        parts["origin"] = draft.origin(line.path)
    return parts


def _with_origin(items: list[str], origin: str):
    """Give each printed entry of a list the origin that was taken over with it."""
    return [{"value": one, "origin": origin} if one and origin else one for one in items]


def _pairs(draft: Draft, line: Field):
    ias = split_list(draft.text(f"{line.path}#ias"))
    cas = split_list(draft.text(f"{line.path}#cas"))
    if not ias and not cas:
        return None
    if len(ias) != len(cas):
        raise EntryError(
            say(
                "airplane_card.error.rows",
                label=say(line.label_key),
                ias=len(ias),
                cas=len(cas),
            )
        )
    return [list(pair) for pair in zip(ias, cas, strict=True)]


def _missing_glide(draft: Draft) -> list[str]:
    either = ("glide.ratio", "glide.distance_per_1000_ft")
    return [] if any(draft.text(path) for path in either) else ["glide.ratio"]


def _control_of(error: EntryError, draft: Draft, line: Field) -> str:
    """Return the control at which an error is shown: the weight's own, if it is about that."""
    weight = say("card.error.weight_of", label=say(line.label_key))
    return f"{line.path}#weight" if str(error).startswith(weight) else line.path


def _sentence(error: EntryError) -> str:
    text = str(error).rstrip(".")
    return text[:1].upper() + text[1:] + "."


def _tidy(entry, reader: FormReader):
    """Keep a number that was typed without a unit as a number, whatever its decimal mark."""
    if isinstance(entry, tuple):
        return tuple(_tidy(one, reader) for one in entry)
    if not isinstance(entry, Figure):
        return entry
    mass = None if entry.mass is None else _tidy(entry.mass, reader)
    typed = entry.typed
    if isinstance(typed, str) and re.fullmatch(r"[\d.,'\s+\-\u2212]+", typed):
        metric = reader.length == "m" and entry.kind in _METRIC_KINDS
        number = entry.value if metric else to_shown(entry.value, entry.kind, reader.preferences)
        number = float(f"{number:.10g}")
        typed = int(number) if number.is_integer() else number
    return replace(entry, typed=typed, mass=mass)


def _shown(typed, preferences: Preferences) -> str:
    if isinstance(typed, str):
        return typed
    return f"{typed:.10g}".replace(".", preferences.decimal_mark)


def _put(tables: dict, path: str, text: str) -> None:
    section, _, name = path.partition(".")
    if text:
        tables.setdefault(section, {})[name] = text
