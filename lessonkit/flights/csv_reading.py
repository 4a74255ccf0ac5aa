"""From a CSV file to a recording; everything that can be wrong with it gets one sentence."""

import csv
import io
import math
import os
from array import array
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lessonkit.flights.recording import Recording
from lessonkit.flights.schema import NUMBER_COLUMNS, OTHER_NAMES, REQUIRED
from lessonkit.flights.validation import refuse, shortened, validate
from lessonkit.plain_files import NotPlainFile, read_plain
from lessonkit.words.escape import plain

LARGEST = 32 * 1024 * 1024  # bytes; two hours with ten points a second need about a third
MOST_COLUMNS = 200


def read_recording(path: str | os.PathLike) -> Recording:
    """Return the recording in a CSV file.

    Parameters
    ----------
    path : path
        A regular file; it is opened once, and a folder, pipe or device is refused.

    Returns
    -------
    Recording
        Validated, in SI.

    Raises
    ------
    RecordingError
        One sentence that names file, row and cure.
    """
    file = Path(os.fspath(path)).name
    return recording_from_text(_text(_read_bytes(path, file), file), file)


def recording_from_text(text: str, file: str = "") -> Recording:
    """Return the recording in the text of a CSV file.

    Parameters
    ----------
    text : str
        Header lines, column names, rows.
    file : str
        Name for the sentences.

    Returns
    -------
    Recording
        Validated, in SI.

    Raises
    ------
    RecordingError
        One sentence that names file, row and cure.
    """
    header, body, above = _split_header(text, file)
    columns, texts, lines = _columns(body, above, file)
    if "time_utc" in texts and "time_s" not in columns:
        columns["time_s"] = _seconds(texts["time_utc"], file, lines)
    return validate(Recording(columns, texts, header), file, lines)


def _read_bytes(path, file):
    try:
        data = read_plain(path, LARGEST)
    except (FileNotFoundError, NotADirectoryError):
        raise refuse(file, "missing") from None
    except NotPlainFile:
        raise refuse(file, "not_a_file") from None
    except OSError:
        raise refuse(file, "closed") from None
    if len(data) > LARGEST:
        raise refuse(file, "large", megabytes=LARGEST // 1024**2)
    return data


def _text(data, file):
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise refuse(file, "utf16")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise refuse(file, "binary") from None
    if "\x00" in text:
        raise refuse(file, "binary")
    return text


def _split_header(text, file):
    """Return the header's entries, the text below it, and the number of lines above that."""
    header = {}
    start = 0
    for count, line in enumerate(io.StringIO(text, newline="")):
        content = line.strip()
        if content and not content.startswith("#"):
            return header, text[start:], count
        start += len(line)
        if not content:
            continue
        # A spreadsheet that saved the file again fills the line up with commas.
        key, colon, value = content.rstrip(",").lstrip("#").partition(":")
        key = key.strip()
        if not key or not colon:
            raise refuse(file, "header_line", count + 1, text=content)
        if key in header:
            raise refuse(file, "header_twice", count + 1, key=key)
        header[key] = " ".join(plain(value).split())
    raise refuse(file, "empty")


def _columns(body, above, file):
    """Return the columns of numbers and of texts, and the line of the file of each row."""
    reader = csv.reader(io.StringIO(body, newline=""), strict=True)
    lines = array("q")
    try:
        names = [name.strip() for name in next(reader)]
        _check_names(names, file, above + 1)
        columns, texts = {}, {}
        takers = [_taker(name, columns, texts) for name in names]
        for row in reader:
            line = above + reader.line_num
            if not any(cell.strip() for cell in row):
                continue
            if len(row) != len(names):
                raise refuse(file, "fields", line, count=len(row), expected=len(names))
            lines.append(line)
            for name, take, cell in zip(names, takers, row, strict=True):
                try:
                    take(cell)
                except ValueError:
                    raise _no_number(cell, file, line, name) from None
    except csv.Error:
        raise refuse(file, "torn", above + reader.line_num) from None
    return columns, texts, lines


def _taker(name, columns, texts):
    """Return what puts one cell of this column away; it raises ValueError for no number."""
    known, convert = OTHER_NAMES.get(name, (name, None))
    if known not in NUMBER_COLUMNS:
        kept = texts[name] = []
        return lambda cell: kept.append(" ".join(plain(cell).split()))
    numbers = columns[known] = array("d")
    if convert is None:
        return lambda cell: numbers.append(_number(cell))
    return lambda cell: numbers.append(convert(_number(cell)))


def _check_names(names, file, line):
    if len(names) > MOST_COLUMNS:
        raise refuse(file, "wide", line, count=len(names), most=MOST_COLUMNS)
    if not set(REQUIRED) & set(names):
        for separator, key in ((";", "semicolons"), ("\t", "tabs")):
            if any(separator in name for name in names):
                raise refuse(file, key, line)
    if "" in names:
        raise refuse(file, "unnamed", line, count=names.index("") + 1)
    seen = {}
    for name in names:
        known, _ = OTHER_NAMES.get(name, (name, None))
        if known in seen:
            key = "twice" if seen[known] == name else "twice_in_units"
            raise refuse(file, key, line, column=name, other=seen[known])
        seen[known] = name
    missing = [name for name in REQUIRED if name not in seen]
    if "time_utc" in seen:
        missing = [name for name in missing if name != "time_s"]
    if missing:
        raise refuse(file, "columns", line, columns=", ".join(missing))


def _number(cell):
    text = cell.strip()
    if not text:
        return math.nan
    # float() also takes other scripts' digits, underscores and words, which no recorder writes.
    if not text.isascii() or "_" in text or not math.isfinite(value := float(text)):
        raise ValueError(text)
    return value


def _no_number(cell, file, line, name):
    key = "comma" if "," in cell else "not_a_number"
    return refuse(file, key, line, column=name, text=shortened(cell, 20))


def _seconds(times, file, lines):
    """Return seconds since the first row from UTC times."""
    moments = []
    for text, line in zip(times, lines, strict=True):
        try:
            moment = datetime.fromisoformat(text)
        except ValueError:
            raise refuse(file, "utc", line, text=shortened(text, 30)) from None
        if moment.utcoffset() != timedelta(0):
            raise refuse(file, "utc", line, text=shortened(text, 30))
        moments.append(moment.astimezone(UTC))
    return [(moment - moments[0]).total_seconds() for moment in moments]
