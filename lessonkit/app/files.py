"""Small files of the learner: a crash or a second window loses nothing."""

import contextlib
import errno
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from lessonkit.plain_files import NotPlainFile, read_plain
from lessonkit.words import say

LOCK_SECONDS = 5.0


class FileTrouble(Exception):
    """A file that cannot be read or written; `reason` is half a sentence for the learner."""

    def __init__(self, reason: str):
        super().__init__(reason)
        self.reason = reason

    @classmethod
    def of(cls, error: OSError) -> "FileTrouble":
        """Return the trouble in plain words."""
        keys = {
            errno.EACCES: "not_written",
            errno.EPERM: "not_written",
            errno.EROFS: "not_written",
            errno.ENOSPC: "no_room",
            getattr(errno, "EDQUOT", None): "no_room",  # not on every system
            errno.EISDIR: "not_a_file",
            errno.ENOTDIR: "not_a_file",
            errno.ELOOP: "not_a_file",
            errno.ENXIO: "not_a_file",
        }
        return cls(say(f"home.reason.{keys.get(error.errno, 'other')}"))


class LockBusy(Exception):
    """Another window held the lock for longer than anybody should wait."""


def read_small_file(path: Path, longest: int) -> bytes:
    """Return the bytes of a plain file that is not too large.

    Raises
    ------
    FileNotFoundError
        If there is none.
    FileTrouble
        If it is a folder, a pipe, a device, too large, or may not be read.
    """
    try:
        data = read_plain(path, longest)
    except FileNotFoundError:
        raise
    except NotADirectoryError as error:
        raise FileNotFoundError(str(error)) from error
    except NotPlainFile as error:
        raise FileTrouble(say("home.reason.not_a_file")) from error
    except OSError as error:
        raise FileTrouble.of(error) from error
    if len(data) > longest:
        raise FileTrouble(say("home.reason.too_large"))
    return data


def private_folder(folder: Path) -> None:
    """Make a folder that only its owner may read, with those above it.

    Raises
    ------
    FileTrouble
        If it cannot be made.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        raise FileTrouble.of(error) from error


def write_file(path: Path, data: bytes) -> None:
    """Put a file in place whole: a reader sees the old one or the new one, never half of one.

    Raises
    ------
    FileTrouble
        If it cannot be written; the old file is untouched then.
    """
    private_folder(path.parent)
    temporary = None
    try:
        # mkstemp makes the file readable by its owner only.
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
        _sync_folder(path.parent)
    except OSError as error:
        if temporary is not None:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        raise FileTrouble.of(error) from error


def _sync_folder(folder: Path) -> None:
    """Bring the new name itself to the disk, where the system lets a folder be opened."""
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextlib.contextmanager
def locked(path: Path, seconds: float = LOCK_SECONDS) -> Iterator[None]:
    """Hold a lock that other windows respect; the system frees it when a process is killed.

    Raises
    ------
    LockBusy
        If another window holds it for longer than `seconds`.
    FileTrouble
        If the folder cannot be written.
    """
    from filelock import FileLock, Timeout

    private_folder(path.parent)
    lock = FileLock(str(path), timeout=seconds, mode=0o600)
    try:
        lock.acquire()
    except Timeout as error:
        raise LockBusy from error
    except OSError as error:
        raise FileTrouble.of(error) from error
    except NotImplementedError as error:  # a file system without locks
        raise FileTrouble(say("home.reason.other")) from error
    try:
        yield
    finally:
        lock.release()
