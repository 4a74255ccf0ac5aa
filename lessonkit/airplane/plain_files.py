"""Small text files: read once and whole, written whole or not at all."""

import contextlib
import os
import tempfile
from pathlib import Path

from lessonkit.plain_files import NotPlainFile, read_plain
from lessonkit.words import say
from lessonkit.words.escape import plain

LONGEST = 256 * 1024  # bytes; a full card has about 5,000. The shelf of cards has the same limit


class PlainFileError(Exception):
    """A file that cannot be read or written; the message is half a sentence with the cure."""


def shown_name(path: str | os.PathLike) -> str:
    """Return the name of a file as it may stand in a sentence: short, one line, no markup.

    Examples
    --------
    >>> shown_name("cards/trainer.toml")
    'trainer.toml'
    """
    # Path cannot take every text apart on every system; a backslash is a separator only on one.
    name = Path(os.fspath(path)).name or os.fspath(path)
    return shortened(name, 60) or say("card.file.unnamed")


def shortened(text: object, longest: int = 40) -> str:
    """Return a text in one line without control characters, cut to a length.

    Examples
    --------
    >>> shortened("a  long" + chr(10) + "name", 9)
    'a long na…'
    """
    line = " ".join(plain(text).split())
    return line if len(line) <= longest else line[:longest] + "…"


def read_plain_text(path: str | os.PathLike, longest: int = LONGEST) -> str:
    """Return the text of a regular file, opened once, in UTF-8.

    Parameters
    ----------
    path : path
        A regular file; a folder, pipe or device is refused without waiting for it.
    longest : int
        Greatest size. [bytes]

    Returns
    -------
    str
        The text without its byte-order mark.

    Raises
    ------
    PlainFileError
        With half a sentence: what is wrong and the cure.
    """
    return text_of(_read_bytes(path, longest), longest)


def text_of(data: bytes, longest: int = LONGEST) -> str:
    """Return the text of bytes that were read or uploaded, in UTF-8.

    Parameters
    ----------
    data : bytes
    longest : int
        Greatest size. [bytes]

    Returns
    -------
    str
        The text without its byte-order mark.

    Raises
    ------
    PlainFileError
        With half a sentence: what is wrong and the cure.

    Examples
    --------
    >>> text_of(b"name = 'Two-seat'")
    "name = 'Two-seat'"
    """
    if len(data) > longest:
        raise PlainFileError(say("card.file.large", longest=longest // 1024))
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise PlainFileError(say("card.file.utf16"))
    if not data.strip():
        raise PlainFileError(say("card.file.empty"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise PlainFileError(say("card.file.binary")) from None
    if "\x00" in text:
        raise PlainFileError(say("card.file.binary"))
    return text


def _read_bytes(path, longest):
    try:
        return read_plain(path, longest)
    except (FileNotFoundError, NotADirectoryError):
        raise PlainFileError(say("card.file.missing")) from None
    except NotPlainFile:
        raise PlainFileError(say("card.file.not_a_file")) from None
    except OSError:
        raise PlainFileError(say("card.file.closed")) from None


def write_plain_text(path: str | os.PathLike, text: str) -> None:
    """Put a text file in place whole: a reader sees the old one or the new one.

    Parameters
    ----------
    path : path
        Where it shall be; its folder must exist.
    text : str
        What it shall hold.

    Raises
    ------
    PlainFileError
        With half a sentence; the old file is untouched then.
    """
    path = Path(path)
    temporary = None
    try:
        # mkstemp makes the file readable by its owner only.
        handle, temporary = tempfile.mkstemp(prefix=".card-", suffix=".tmp", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except (OSError, ValueError):
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        key = "is_folder" if path.is_dir() else "not_written"
        raise PlainFileError(say(f"card.file.{key}")) from None
