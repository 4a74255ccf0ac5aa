"""From a recording to its CSV form, harmless to a spreadsheet that opens it."""

import contextlib
import csv
import io
import math
import os
import re
import tempfile
from pathlib import Path

from lessonkit.flights.recording import Recording
from lessonkit.flights.schema import NUMBER_COLUMNS, TEXT_COLUMNS
from lessonkit.flights.validation import refuse, validate
from lessonkit.words.escape import plain

# A spreadsheet computes a cell that begins so, also behind a separator of another country.
_FORMULA = re.compile(r"(^|[,;])([\s\"]*)(?=[=+\-@\uff1d\uff0b\uff0d\uff20])")
_PLAIN_NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?", re.IGNORECASE | re.ASCII)


def write_recording(recording: Recording, path: str | os.PathLike) -> None:
    """Put a CSV file in place whole: a reader sees the old one or the new one.

    Parameters
    ----------
    recording : Recording
        Is validated before it is written.
    path : path
        Its folder must exist.

    Raises
    ------
    RecordingError
        One sentence; an older file of that name is untouched then.
    """
    path = Path(path)
    text = recording_text(recording, path.name)
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=".recording-", suffix=".tmp", dir=path.parent)
        with os.fdopen(handle, "wb") as stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(temporary, path)
    except (OSError, ValueError):
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        raise refuse(path.name, "not_written") from None


def recording_text(recording: Recording, file: str = "") -> str:
    """Return the CSV form of a recording.

    Parameters
    ----------
    recording : Recording
        In SI.
    file : str
        Name for the sentence of an error.

    Returns
    -------
    str
        Numbers in full, so that they read back unchanged; missing values empty. Texts in one
        line, with an apostrophe before whatever a spreadsheet would compute.

    Raises
    ------
    RecordingError
        If the recording cannot be used.
    """
    validate(recording, file)
    out = io.StringIO()
    for key, value in recording.header.items():
        # Quotes would open a cell of their own behind a comma of the value.
        out.write(f"#{harmless(key)}: {harmless(value)}\n".replace('"', "'"))
    numbers = [name for name in NUMBER_COLUMNS if name in recording.columns]
    known = [name for name in TEXT_COLUMNS if name in recording.texts]
    others = [name for name in recording.texts if name not in TEXT_COLUMNS]
    columns = [[_cell(value) for value in recording[name]] for name in numbers]
    columns += [[harmless(cell) for cell in recording.texts[name]] for name in (*known, *others)]
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([*numbers, *known, *(harmless(name) for name in others)])
    writer.writerows(zip(*columns, strict=True))
    return out.getvalue()


def harmless(text: object) -> str:
    """Return text in one line that no spreadsheet computes.

    Examples
    --------
    >>> harmless("=1+1"), harmless("-5.5"), harmless("late; @SUM(A1)")
    ("'=1+1", '-5.5', "late; '@SUM(A1)")
    """
    line = " ".join(plain(text).split())
    if _PLAIN_NUMBER.fullmatch(line):
        return line
    return _FORMULA.sub(r"\1\2'", line)


def _cell(value):
    return "" if math.isnan(value) else repr(float(value))
