"""The one validator behind every reader of recordings."""

from collections.abc import Sequence

import numpy as np

from lessonkit.flights.recording import Recording, RecordingError
from lessonkit.flights.schema import ALTITUDE_DATUMS, HEADER_RANGES, NUMBER_COLUMNS, REQUIRED
from lessonkit.words.escape import plain
from lessonkit.words.sentences import say

FEWEST_POINTS = 10


def refuse(file: str, key: str, row: int | None = None, /, **values: object) -> RecordingError:
    """Return the error whose sentence names file, row and cure."""
    thing = shortened(file) or say("recordings.unnamed")
    if row is not None:
        thing = say("recordings.row", file=thing, row=row)
    shown = {name: shortened(value) for name, value in values.items()}
    return RecordingError(say(f"recordings.error.{key}", thing=thing, **shown))


def shortened(text: object, longest: int = 60) -> str:
    """Return text as it may stand in a sentence: one line, no control characters, not long.

    Examples
    --------
    >>> shortened("a  b" + chr(10) + "c", 3)
    'a b…'
    """
    line = " ".join(plain(text).split())
    return line if len(line) <= longest else line[:longest] + "…"


def validate(recording: Recording, file: str, rows: Sequence[int] | None = None) -> Recording:
    """Return the recording if it can be used.

    Parameters
    ----------
    recording : Recording
        In SI.
    file : str
        Name for the sentence.
    rows : sequence of int, optional
        Line of the file for each point; counted from 1 without it.

    Returns
    -------
    Recording
        The same one.

    Raises
    ------
    RecordingError
        One sentence that names file, row and cure.
    """
    rows = range(1, len(recording) + 1) if rows is None else rows
    missing = [name for name in REQUIRED if name not in recording.columns]
    if missing:
        raise refuse(file, "columns", columns=", ".join(missing))
    if len(recording) < FEWEST_POINTS:
        raise refuse(file, "few", count=len(recording), fewest=FEWEST_POINTS)
    for name, column in recording.columns.items():
        _within_range(name, column, file, rows)
    _rising(recording["time_s"], file, rows)
    _positions(recording, file, rows)
    _header(recording, file)
    return recording


def _within_range(name, column, file, rows):
    low, high = NUMBER_COLUMNS[name]
    # Missing values are NaN here; infinite ones fail the comparison.
    wrong = ~np.isnan(column) & ~((column >= low) & (column <= high))
    if wrong.any():
        at = int(np.argmax(wrong))
        raise refuse(
            file,
            "range",
            rows[at],
            column=name,
            value=f"{column[at]:g}",
            low=f"{low:g}",
            high=f"{high:g}",
        )


def _rising(time, file, rows):
    unknown = np.isnan(time)
    if unknown.any():
        raise refuse(file, "no_time", rows[int(np.argmax(unknown))])
    back = np.diff(time) <= 0.0
    if back.any():
        at = int(np.argmax(back)) + 1
        raise refuse(file, "time", rows[at], value=f"{time[at]:g}", before=f"{time[at - 1]:g}")


def _positions(recording, file, rows):
    latitude, longitude = recording["lat_deg"], recording["lon_deg"]
    half = np.isnan(latitude) != np.isnan(longitude)
    if half.any():
        raise refuse(file, "half_position", rows[int(np.argmax(half))])
    # Receivers write 0/0 when they have no fix; no airfield lies there.
    null = (latitude == 0.0) & (longitude == 0.0)
    if null.any():
        raise refuse(file, "zero_position", rows[int(np.argmax(null))])
    known = int(np.count_nonzero(~np.isnan(latitude) & ~np.isnan(recording["alt_m"])))
    if known < FEWEST_POINTS:
        raise refuse(file, "few", count=known, fewest=FEWEST_POINTS)


def _header(recording, file):
    datum = recording.header.get("alt_datum", "unknown")
    if datum not in ALTITUDE_DATUMS:
        raise refuse(file, "datum", value=datum, choices=", ".join(ALTITUDE_DATUMS))
    for key, (low, high) in HEADER_RANGES.items():
        text = recording.header.get(key, "")
        if text == "":
            continue
        try:
            value = float(text)
        except ValueError:
            value = np.nan
        if not low <= value <= high:
            raise refuse(file, "header", key=key, value=text, low=f"{low:g}", high=f"{high:g}")
