"""How record files are opened: for the owner only, regular files only, written all or nothing."""

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from lessonkit.plain_files import NotPlainFile, open_plain, read_plain
from lessonkit.records.events import LARGEST_RECORD, RecordError
from lessonkit.words import say

OWNER_ONLY = 0o600


@contextlib.contextmanager
def opened(path: Path) -> Iterator[int]:
    """Open for adding; readable by the owner only; no link, pipe or device."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT
    with _plain(path):
        file = open_plain(path, flags, mode=OWNER_ONLY, follow_links=False)
    try:
        if os.name == "posix" and stat.S_IMODE(os.fstat(file).st_mode) != OWNER_ONLY:
            os.fchmod(file, OWNER_ONLY)
        yield file
    finally:
        os.close(file)


def content_of(path: Path) -> bytes:
    """Return the bytes of a regular file, one more than the largest record at most."""
    with _plain(path):
        return read_plain(path, LARGEST_RECORD, follow_links=False)


@contextlib.contextmanager
def _plain(path: Path) -> Iterator[None]:
    try:
        yield
    except NotPlainFile as error:
        raise RecordError(say("records.file.not_a_file", name=path.name)) from error


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
