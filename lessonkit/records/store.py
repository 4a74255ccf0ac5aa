"""The record of one learner: a file to which events are added, never changed."""

import contextlib
import errno
import hashlib
import os
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

from filelock import FileLock, Timeout

from lessonkit.records.events import LARGEST_RECORD, Event, Reading, RecordError, new_event, parse
from lessonkit.records.files import OWNER_ONLY, content_of, opened, sync_folder, write_all
from lessonkit.words import say

_PATIENCE = 10.0  # s, how long another window may hold the record


class EventStore:
    """The record of one learner in a folder.

    Making a store touches no disk: the folder and the file appear with the first event. The
    file is named by a hash, so that any label is safe; the label itself stands inside. The hash
    hides nothing: whoever may read the folder may read the record.

    Parameters
    ----------
    folder : path
        Where records lie.
    label : str
        What the learner is called here. Upper and lower case, and spaces around, do not count.

    Attributes
    ----------
    unsaved : list of Event
        What could not be written yet; it goes first with the next event that can.

    Examples
    --------
    >>> import tempfile
    >>> store = EventStore(tempfile.mkdtemp(), "Student 1")
    >>> _ = store.append("attempt", {"exercise": "glide", "status": "close"})
    >>> [event.kind for event in store.read().events]
    ['learner', 'attempt']
    """

    def __init__(self, folder: str | os.PathLike, label: str) -> None:
        self.folder = Path(folder)
        self.label = label
        self.unsaved: list[Event] = []

    @property
    def path(self) -> Path:
        """The file of the record, whether it exists or not."""
        return self.folder / f"record-{_hash_of(self.label)}.jsonl"

    @property
    def aside(self) -> Path:
        """The file that takes a line which was cut off while it was written."""
        return self.path.with_suffix(".torn.txt")

    def append(self, kind: str, data: Mapping[str, object]) -> Event:
        """Add one event and see it through to the disk.

        Parameters
        ----------
        kind : str
            One of ``EVENT_KINDS``.
        data : mapping
            What JSON can hold; no NaN.

        Returns
        -------
        Event

        Raises
        ------
        RecordError
            One sentence with the cure. The event then waits in ``unsaved``, unless it could
            never be stored.
        """
        event = new_event(kind, data)
        self.unsaved.append(event)
        self.save()
        return event

    def save(self) -> None:
        """Write what is unsaved.

        Raises
        ------
        RecordError
            If it still cannot be written; everything stays in ``unsaved``.
        """
        if not self.unsaved:
            return
        with self._trouble(), self._locked():
            self._write(self.unsaved)
        self.unsaved = []

    def read(self) -> Reading:
        """Return the events, oldest first, and a sentence for each oddity.

        A last line that was cut off is moved to the side file. Where the folder may not be
        written, it is left where it is.

        Raises
        ------
        RecordError
            If the file cannot be read at all.
        """
        if not os.path.lexists(self.path):
            # Also says so when the folder is none; but a first start is no error.
            if os.path.lexists(self.folder) and not self.folder.is_dir():
                raise RecordError(say("records.folder.not_a_folder", folder=self.folder))
            return Reading(())
        with self._trouble():
            try:
                with self._locked(create=False):
                    return self._read(may_write=True)
            except PermissionError:
                return self._read(may_write=False)
            except OSError as error:
                if error.errno not in (errno.EROFS, errno.ENOSPC):
                    raise
                return self._read(may_write=False)

    def merge(self, files: Iterable[str | os.PathLike]) -> tuple[int, tuple[str, ...]]:
        """Add the events of other record files that this record lacks.

        Parameters
        ----------
        files : paths
            Records of the same learner from other machines. They are not changed.

        Returns
        -------
        int
            How many events came in.
        tuple of str
            One sentence for each oddity met.

        Raises
        ------
        RecordError
            If a file is no record, or the record of somebody else: then nothing is added.
        """
        with self._trouble():
            contents = [(Path(file).name, content_of(Path(file))) for file in files]
        return self.merge_contents(contents)

    def merge_contents(self, contents: Iterable[tuple[str, bytes]]) -> tuple[int, tuple[str, ...]]:
        """Do the same as `merge` for uploaded files: pairs of a name and the bytes."""
        incoming: dict[str, Event] = {}
        messages: list[str] = []
        for name, content in contents:
            reading, torn = parse(content, name)
            if not reading.events:
                raise RecordError(say("records.merge.no_record", name=name))
            if reading.label is not None and _hash_of(reading.label) != _hash_of(self.label):
                raise RecordError(
                    say("records.merge.other", name=name, label=reading.label, own=self.label)
                )
            messages += reading.messages
            if torn:
                messages.append(say("records.merge.torn", name=name))
            incoming |= {event.id: event for event in reading.events}
        with self._trouble(), self._locked():
            present = self._read(may_write=True) if self.path.exists() else Reading(())
            known = {event.id for event in present.events}
            new = [event for key, event in incoming.items() if key not in known]
            self._write(new)
        return len(new), tuple(dict.fromkeys([*present.messages, *messages]))

    def reset(self) -> Path | None:
        """Begin the record anew and keep the old one under another name.

        The caller asks the learner first. What is unsaved belongs to the old one and is written
        to it before.

        Returns
        -------
        Path or None
            Where the old record lies now; None if there was none.

        Raises
        ------
        RecordError
            If that cannot be done; then the record goes on as it was.
        """
        self.save()
        with self._trouble(), self._locked():
            if not self.path.exists():
                return None
            moment = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
            kept = self.path.with_suffix(f".kept-{moment}.jsonl")
            os.replace(self.path, kept)
            return kept

    def export(self) -> bytes:
        """Return the whole file, to download."""
        with self._trouble():
            return content_of(self.path) if self.path.exists() else b""

    def _read(self, may_write: bool) -> Reading:
        content = content_of(self.path)
        reading, torn = parse(content, say("records.file.own"))
        if not torn:
            return reading
        if not may_write:
            return Reading(reading.events, (*reading.messages, say("records.file.torn_left")))
        with opened(self.path) as file:
            self._set_aside(file, torn, len(content) - len(torn))
        message = say("records.file.torn", file=self.aside.name)
        return Reading(reading.events, (*reading.messages, message))

    def _write(self, events: list[Event]) -> None:
        with opened(self.path) as file:
            size = os.fstat(file).st_size
            lines = [event.line for event in events]
            if size == 0 and not any(event.kind == "learner" for event in events):
                begun = events[0].time if events else None
                lines.insert(0, new_event("learner", {"label": self.label}, begun).line)
            data = ("\n".join(lines) + "\n").encode("utf-8") if lines else b""
            if size + len(data) > LARGEST_RECORD:
                raise RecordError(
                    say("records.file.full", megabytes=LARGEST_RECORD // (1024 * 1024))
                )
            size, joint = self._sound_end(file, size)
            try:
                write_all(file, joint + data)
                os.fsync(file)
            except OSError:
                # Half a line would be a torn one: take it back, all or nothing.
                os.ftruncate(file, size)
                raise
        if size == 0:
            sync_folder(self.folder)

    def _sound_end(self, file: int, size: int) -> tuple[int, bytes]:
        """Make sure that the next line begins on its own: set a torn one aside first."""
        if size == 0:
            return size, b""
        os.lseek(file, size - 1, os.SEEK_SET)
        if os.read(file, 1) == b"\n":
            return size, b""
        content = content_of(self.path)
        _, torn = parse(content)
        if not torn:
            return size, b"\n"
        self._set_aside(file, torn, size - len(torn))
        return size - len(torn), b""

    def _set_aside(self, file: int, torn: bytes, sound: int) -> None:
        with opened(self.aside) as side:
            write_all(side, torn + b"\n")
            os.fsync(side)
        os.ftruncate(file, sound)
        os.fsync(file)

    @contextlib.contextmanager
    def _locked(self, create: bool = True) -> Iterator[None]:
        if create:
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        # A lock of its own each time: two windows of one process exclude each other too.
        lock = FileLock(self.path.with_suffix(".lock"), timeout=_PATIENCE, mode=OWNER_ONLY)
        with lock:
            yield

    @contextlib.contextmanager
    def _trouble(self) -> Iterator[None]:
        """Turn what the machine says into one sentence with its cure."""
        try:
            yield
        except Timeout as error:
            raise RecordError(say("records.file.held")) from error
        except (FileExistsError, NotADirectoryError) as error:
            raise RecordError(say("records.folder.not_a_folder", folder=self.folder)) from error
        except OSError as error:
            if error.errno in (errno.ENOSPC, errno.EDQUOT):
                key = "records.folder.full"
            elif error.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
                key = "records.folder.read_only"
            else:
                key = "records.folder.other"
            reason = error.strerror or type(error).__name__
            raise RecordError(say(key, folder=self.folder, reason=reason)) from error


def _hash_of(label: str) -> str:
    plain = " ".join(unicodedata.normalize("NFKC", label).casefold().split())
    return hashlib.sha256(plain.encode("utf-8", "surrogatepass")).hexdigest()[:20]
