"""Sentences by key, kept in one TOML file per topic and language.

``say("power_off_approach.bench.touchdown", distance="+120 ft")`` looks in
``words/<language>/power_off_approach.toml`` for ``touchdown`` under ``[bench]`` and puts the
value where the text says ``{distance}``. A language that lacks the file or the key falls back
to English; a key that English lacks is a defect and raises.
"""

import functools
import re
import tomllib
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lessonkit.words.preferences import Preferences

FOLDER = Path(__file__).parent
FALLBACK = "en"
_PLACE = re.compile(r"\{\{|\}\}|\{([a-z][a-z0-9_]*)\}")
_FILE_NAME = re.compile(r"[a-z][a-z0-9_]*")


def say(key: str, /, *, preferences: "Preferences | None" = None, **values: object) -> str:
    """Return the sentence of a key with its values filled in.

    Parameters
    ----------
    key : str
        ``file.section.key``; deeper sections are allowed.
    preferences : Preferences, optional
        Gives the language; English without it.
    **values : str or number
        What replaces ``{name}`` in the text, already formatted. The values are plain text:
        whoever makes HTML of the sentence passes the whole of it through ``escape_html``.

    Returns
    -------
    str
        The sentence.

    Raises
    ------
    KeyError
        Naming the key that no file holds, or the value that the sentence needs.

    Examples
    --------
    >>> say("common.number.not_known")
    'not known'
    """
    text = _find(key, preferences)

    def fill(place: re.Match[str]) -> str:
        if place[1] is None:
            return place[0][0]  # a doubled brace stands for one
        if place[1] not in values:
            raise KeyError(f"{key} needs the value {place[1]}")
        return str(values[place[1]])

    return _PLACE.sub(fill, text)


def say_all(prefix: str, /, *, preferences: "Preferences | None" = None) -> list[str]:
    """Return all sentences below a section, in the order of the English file.

    Parameters
    ----------
    prefix : str
        ``file.section``, for sentences without values.
    preferences : Preferences, optional
        Gives the language; English without it.

    Returns
    -------
    list of str

    Raises
    ------
    KeyError
        Naming the section that does not exist.

    Examples
    --------
    >>> say_all("common.caution")[0]
    'Ground study only.'
    """
    start = prefix + "."
    keys = [key for key in _flat(FALLBACK, _file_of(prefix)) if key.startswith(start)]
    if not keys:
        raise KeyError(f"no sentences below {prefix}")
    return [say(key, preferences=preferences) for key in keys]


def texts(file: str, language: str = FALLBACK) -> "Mapping[str, str]":
    """Return every text of one file by its full key, as written (values not filled in).

    Parameters
    ----------
    file : str
        Name of the TOML file without its ending.
    language : str
        Two small letters.

    Returns
    -------
    mapping of str to str
        Empty when this language has no such file.

    Examples
    --------
    >>> "common.number.not_known" in texts("common")
    True
    """
    return _flat(language, file)


def files(language: str = FALLBACK) -> list[str]:
    """Return the names of all text files of a language, without their ending."""
    return sorted(path.stem for path in (FOLDER / language).glob("*.toml"))


def _find(key: str, preferences: "Preferences | None") -> str:
    file = _file_of(key)
    language = preferences.language if preferences is not None else FALLBACK
    for candidate in dict.fromkeys((language, FALLBACK)):
        text = _flat(candidate, file).get(key)
        if text is not None:
            return text
    raise KeyError(f"no sentence {key}")


def _file_of(key: str) -> str:
    file = key.partition(".")[0]
    if not _FILE_NAME.fullmatch(file):
        raise KeyError(f"no sentence {key}")
    return file


@functools.cache
def _flat(language: str, file: str) -> "Mapping[str, str]":
    path = FOLDER / language / f"{file}.toml"
    if not path.is_file():
        return MappingProxyType({})
    found: dict[str, str] = {}
    _flatten(file, tomllib.loads(path.read_text(encoding="utf-8")), found)
    return MappingProxyType(found)


def _flatten(prefix: str, node: object, found: dict[str, str]) -> None:
    if isinstance(node, dict):
        for key, value in node.items():
            _flatten(f"{prefix}.{key}", value, found)
    elif isinstance(node, list):
        for index, value in enumerate(node, start=1):
            _flatten(f"{prefix}.{index}", value, found)
    else:
        # Numbers (a lesson's minutes) are texts too once they are shown.
        found[prefix] = str(node)
