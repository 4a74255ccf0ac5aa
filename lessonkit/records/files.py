"""How record files are opened: for the owner only, regular files only, written all or nothing."""

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from lessonkit.records.events import LARGEST_RECORD, RecordError
from lessonkit.words import say

OWNER_ONLY = 0o600
_NEVER_FOLLOW = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
_EXACT = getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)


@contextlib.contextmanager
def opened(path: Path) -> Iterator[int]:
    """Open for adding; readable by the owner only; no link, pipe or device."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | _NEVER_FOLLOW | _EXACT
    file = _open(path, flags)
    try:
        if os.name == "posix" and stat.S_IMODE(os.fstat(file).st_mode) != OWNER_ONLY:
            os.fchmod(file, OWNER_ONLY)
        yield file
    finally:
        os.close(file)


def content_of(path: Path) -> bytes:
    """Return the bytes of a regular file, one more than the largest record at most."""
    file = _open(path, os.O_RDONLY | _NEVER_FOLLOW | _EXACT)
    with os.fdopen(file, "rb") as stream:
        return stream.read(LARGEST_RECORD + 1)


def _open(path: Path, flags: int) -> int:
    try:
        file = os.open(path, flags, OWNER_ONLY)
    except IsADirectoryError as error:
        raise RecordError(say("records.file.not_a_file", name=path.name)) from error
    except OSError as error:
        if error.errno in (errno.ELOOP, errno.ENXIO):
            raise RecordError(say("records.file.not_a_file", name=path.name)) from error
        raise
    if not stat.S_ISREG(os.fstat(file).st_mode):
        os.close(file)
        raise RecordError(say("records.file.not_a_file", name=path.name))
    return file


def write_all(file: int, data: bytes) -> None:
    """Write all bytes, however many calls the system takes for it."""
    view = memoryview(data)
    while view:
        view = view[os.write(file, view) :]


def sync_folder(folder: Path) -> None:
    """Make the name of a new file outlive a power cut."""
    if os.name != "posix":
        return  # other systems cannot open a folder
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
