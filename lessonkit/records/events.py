"""One line of a record is one event; here lines become events and records become one.

A record is a text file with one JSON object per line. Lines are only ever added, so that two
windows, two machines and a power cut are the same case: what is there is there, and the union
of the events by their id is the whole record.
"""

import json
import math
import uuid
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime

from lessonkit.words import say

VERSION = 1
LONGEST_LINE = 64 * 1024  # bytes; an answer takes about 400
LARGEST_RECORD = 20 * 1024 * 1024  # bytes; about fifty thousand answers
_DEEPEST = 20  # levels of lists and tables inside an event

# What the kinds of event say. A record may hold others, from a newer kit: they are kept.
EVENT_KINDS = {
    "learner": "label under which the record was begun",
    "attempt": "an answer that was checked: exercise, seed, airplane, answer, status",
    "help": "the learner said: I do not know",
    "hint": "a hint was opened",
    "solution": "the worked solution was opened",
    "prediction": "a prediction before a panel showed the result",
    "drill": "a drill was flown by hand: panel, level, points, what to change next",
    "setting": "a choice that the learner made",
}


class RecordError(ValueError):
    """A record that cannot be read or saved; the message is one sentence with its cure.

    A value error, because panels show the sentence of those as it is.
    """


@dataclass(frozen=True)
class Event:
    """One thing the learner did.

    Parameters
    ----------
    id : str
        Unique in the world; the same event in two files counts once.
    version : int
        Form in which it was written.
    time : str
        ISO 8601, in UTC.
    kind : str
        One of ``EVENT_KINDS``, or a newer one.
    data : mapping
        What happened, as JSON holds it.
    line : str
        The line as it stands in the file, kept so that nothing of a newer form gets lost.
    """

    id: str
    version: int
    time: str
    kind: str
    data: Mapping[str, object]
    line: str = field(default="", compare=False, repr=False)


@dataclass(frozen=True)
class Reading:
    """What a record holds, oldest event first, and one sentence for each oddity in it."""

    events: tuple[Event, ...]
    messages: tuple[str, ...] = ()

    @property
    def label(self) -> str | None:
        """Label under which the record was begun, or None when it does not say."""
        for event in self.events:
            label = event.data.get("label")
            if event.kind == "learner" and isinstance(label, str):
                return label
        return None


def new_event(kind: str, data: Mapping[str, object], time: str | None = None) -> Event:
    """Return an event of now, or of the given time, with its line.

    Raises
    ------
    RecordError
        If the data cannot be kept as JSON: not a number, too deep, too long.
    """
    parts = {
        "id": str(uuid.uuid4()),
        "version": VERSION,
        "time": time or datetime.now(UTC).isoformat(timespec="microseconds"),
        "kind": kind,
        "data": dict(data),
    }
    try:
        line = json.dumps(parts, allow_nan=False, separators=(",", ":"))
        event = _event(line)
    except (TypeError, ValueError, RecursionError):
        event = None
    if event is None or len(line) >= LONGEST_LINE:
        raise RecordError(say("records.event.not_storable", kind=kind))
    return event


def parse(content: bytes, name: str = "record") -> tuple[Reading, bytes]:
    """Return the events of a record's content and its torn last line.

    Parameters
    ----------
    content : bytes
        The whole file.
    name : str
        What the sentences call it.

    Returns
    -------
    Reading
        Lines that hold no event are left out and counted in one sentence. Each id counts once.
    bytes
        A last line that was cut off while it was written; empty when there is none.

    Raises
    ------
    RecordError
        If the content is larger than any record of this kit.
    """
    if len(content) > LARGEST_RECORD:
        raise RecordError(say("records.file.too_large", name=name, megabytes=_megabytes()))
    *whole, last = content.split(b"\n")
    torn = b""
    if last.strip():
        # A complete event that only lacks its end of line is an event.
        if _event_of_bytes(last) is None:
            torn = last
        else:
            whole.append(last)
    events, unreadable = [], 0
    for line in whole:
        if not line.strip():
            continue
        event = _event_of_bytes(line)
        if event is None:
            unreadable += 1
        else:
            events.append(event)
    return Reading(_union(events), _oddities(name, events, unreadable)), torn


def merge(readings: Iterable[Reading]) -> Reading:
    """Return the union of several records by event id, oldest first, with all their messages."""
    readings = list(readings)
    events = [event for reading in readings for event in reading.events]
    messages = [message for reading in readings for message in reading.messages]
    return Reading(_union(events), tuple(dict.fromkeys(messages)))


def _union(events: list[Event]) -> tuple[Event, ...]:
    first: dict[str, Event] = {}
    for event in events:
        first.setdefault(event.id, event)
    return tuple(sorted(first.values(), key=_place))


def _place(event: Event) -> tuple:
    """Sort by time; the rest makes records that were merged in another order read the same."""
    return _moment(event.time), event.kind != "learner", event.id


def _moment(time: str) -> float:
    """Seconds since 1970; the beginning of time for a newer form that has no readable one."""
    try:
        moment = datetime.fromisoformat(time)
        return moment.replace(tzinfo=moment.tzinfo or UTC).timestamp()
    except (ValueError, OverflowError):
        return -math.inf


def _oddities(name: str, events: list[Event], unreadable: int) -> tuple[str, ...]:
    newer = sum(event.version > VERSION or event.kind not in EVENT_KINDS for event in events)
    messages = []
    if unreadable:
        messages.append(say("records.file.unreadable_lines", name=name, count=unreadable))
    if newer:
        messages.append(say("records.file.newer_events", name=name, count=newer))
    return tuple(messages)


def _event_of_bytes(line: bytes) -> Event | None:
    if len(line) > LONGEST_LINE:
        return None
    try:
        return _event(line.decode("utf-8"))
    except (ValueError, RecursionError):
        return None


def _event(line: str) -> Event | None:
    parts = json.loads(line, parse_constant=_refuse)
    if not isinstance(parts, dict) or not _tame(parts):
        return None
    key, version = parts.get("id"), parts.get("version")
    if not (isinstance(key, str) and 1 <= len(key) <= 64):
        return None
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        return None
    time, kind, data = parts.get("time"), parts.get("kind"), parts.get("data")
    sound = (
        isinstance(time, str)
        and isinstance(kind, str)
        and isinstance(data, dict)
        and _moment(time) > -math.inf
    )
    if not sound:
        if version <= VERSION:
            return None
        # A newer form may have moved things; the id is enough to keep it.
        time = time if isinstance(time, str) else ""
        kind = kind if isinstance(kind, str) else ""
        data = data if isinstance(data, dict) else {}
    return Event(key, version, time, kind, data, line.strip())


def _refuse(constant: str) -> float:
    raise ValueError(f"{constant} is not a number that a record holds")


def _tame(value: object) -> bool:
    """Tell whether all numbers are finite and nothing is nested too deep."""
    level = [value]
    for _ in range(_DEEPEST):
        below: list[object] = []
        for part in level:
            if isinstance(part, float) and not math.isfinite(part):
                return False
            if isinstance(part, dict):
                below.extend(part.values())
            elif isinstance(part, list):
                below.extend(part)
        if not below:
            return True
        level = below
    return False


def _megabytes() -> int:
    return LARGEST_RECORD // (1024 * 1024)
