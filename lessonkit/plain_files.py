"""Opening files that somebody else may have put there: ordinary files only, and never waiting.

What a sentence says about a file that cannot be read is the caller's business; here it is only
told apart: missing (``FileNotFoundError``), no ordinary file (`NotPlainFile`), refused by the
system (any other ``OSError``).
"""

import errno
import os
import stat

# Not blocking: a pipe put in the file's place must not hold the lesson up.
_NEVER_WAIT = getattr(os, "O_NONBLOCK", 0)
_EXACT = getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)  # not on every system


class NotPlainFile(OSError):
    """A folder, pipe, device, or a link where none may be followed."""


def open_plain(
    path: str | os.PathLike,
    flags: int = os.O_RDONLY,
    *,
    mode: int = 0o600,
    follow_links: bool = True,
) -> int:
    """Open an ordinary file and return its handle; whoever calls closes it.

    Parameters
    ----------
    path : path
        The file.
    flags : int
        As for ``os.open``.
    mode : int
        Who may read and write a file that this makes; the owner only, unless said otherwise.
    follow_links : bool
        False refuses a link, where the system can tell.

    Returns
    -------
    int
        The handle.

    Raises
    ------
    FileNotFoundError, NotADirectoryError
        If there is none; also for a name that no file can have.
    NotPlainFile
        If it is no ordinary file; it was not read then.
    OSError
        Whatever else the system says.
    """
    flags |= _NEVER_WAIT | _EXACT | (0 if follow_links else _NO_LINK)
    try:
        handle = os.open(path, flags, mode)
    except ValueError as error:  # a zero character in the name
        raise FileNotFoundError(errno.ENOENT, str(error)) from error
    except OSError as error:
        # A system that cannot open a folder says only that it may not.
        if error.errno in (errno.EISDIR, errno.ELOOP, errno.ENXIO) or os.path.isdir(path):
            raise NotPlainFile(error.errno, "not an ordinary file") from error
        raise
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise NotPlainFile(errno.EINVAL, "not an ordinary file")
    return handle


def read_plain(path: str | os.PathLike, longest: int, *, follow_links: bool = True) -> bytes:
    """Return the bytes of an ordinary file, opened once.

    Parameters
    ----------
    path : path
        The file.
    longest : int
        Greatest size. [bytes] One byte more is returned of a larger file, and never the whole:
        the caller sees by it that it is too large.
    follow_links : bool
        False refuses a link, where the system can tell.

    Returns
    -------
    bytes
        At most ``longest + 1`` of them.

    Raises
    ------
    OSError
        As `open_plain`.

    Examples
    --------
    >>> read_plain(__file__, 10)[:3], len(read_plain(__file__, 10))
    (b'\"\"\"', 11)
    """
    with os.fdopen(open_plain(path, follow_links=follow_links), "rb") as stream:
        return stream.read(longest + 1)
