"""The record: nothing lost, whatever happens; one sentence for each trouble."""

import errno
import json
import os
import stat
import subprocess
import sys
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import lessonkit.records.files as record_files
import lessonkit.records.store as store_module
from lessonkit.records import EventStore, RecordError, merge, parse, summarise
from lessonkit.records.events import LARGEST_RECORD, LONGEST_LINE
from tests.bench.record_kills import Count, kill_rounds, look

WRITER = """
import sys
from lessonkit.records import EventStore
store = EventStore(sys.argv[1], "Student 1")
for number in range(int(sys.argv[3])):
    store.append("attempt", {"exercise": sys.argv[2], "number": number, "status": "close"})
    print(number, flush=True)
"""


def writer(folder, name, count):
    command = [sys.executable, "-c", WRITER, str(folder), name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


def one_sentence(text):
    return text.endswith(".") and text.count(". ") == 0 and "\n" not in text


@pytest.fixture
def store(tmp_path):
    return EventStore(tmp_path / "records", "Student 1")


def attempts(store):
    return [event.data for event in store.read().events if event.kind == "attempt"]


def test_nothing_is_written_before_an_event(store):
    assert store.read().events == ()
    assert not store.folder.exists()


def test_label_is_inside_and_never_in_the_file_name(tmp_path):
    label = "../../escape/Student: 1\\<b>"
    store = EventStore(tmp_path / "records", label)
    store.append("hint", {"exercise": "glide"})
    assert store.read().label == label
    assert [path.parent for path in tmp_path.rglob("*.jsonl")] == [store.folder]
    assert "escape" not in store.path.name and "Student" not in store.path.name


def test_same_learner_with_other_case_and_spaces_is_the_same_record(tmp_path):
    EventStore(tmp_path, "Student 1").append("hint", {})
    assert len(EventStore(tmp_path, " student  1").read().events) == 2
    assert EventStore(tmp_path, "Student 2").read().events == ()


@pytest.mark.skipif(os.name != "posix", reason="file modes are a POSIX matter")
def test_readable_by_the_owner_only(store):
    previous = os.umask(0)
    try:
        store.append("hint", {})
        store.path.chmod(0o644)
        store.append("hint", {})
    finally:
        os.umask(previous)
    assert stat.S_IMODE(store.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(store.path.with_suffix(".lock").stat().st_mode) == 0o600
    assert stat.S_IMODE(store.folder.stat().st_mode) == 0o700


def test_two_processes_append_at_once(store):
    both = [writer(store.folder, name, 25) for name in ("left", "right")]
    for process in both:
        process.communicate(timeout=60)
        assert process.returncode == 0
    reading = store.read()
    assert reading.messages == ()
    for name in ("left", "right"):
        numbers = [data["number"] for data in attempts(store) if data["exercise"] == name]
        assert numbers == list(range(25))
    assert [event.kind for event in reading.events].count("learner") == 1


def test_killed_while_writing_loses_nothing_that_was_acknowledged(store):
    count = kill_rounds(store.folder, 10)
    assert (count.kills, count.lost, count.wrong) == (10, 0, ())
    assert count.acknowledged >= 10


def test_such_kills_find_a_store_that_acknowledges_too_early(store, monkeypatch):
    """The count itself: what was told and is not there is lost, a torn line that stays is wrong."""
    count = Count()
    store.append("attempt", {"exercise": "round 0", "number": 0, "status": "close"})
    look(EventStore(store.folder, store.label), "round 0", 2, {}, count)
    assert (count.lost, count.wrong) == (1, ())
    monkeypatch.setattr(EventStore, "_sound_end", lambda self, file, size: (size, b""))
    monkeypatch.setattr(EventStore, "_set_aside", lambda self, file, torn, sound: None)
    store.path.write_bytes(store.path.read_bytes() + b'{"id": "torn')
    look(EventStore(store.folder, store.label), "round 0", 1, {}, count)
    assert len(count.wrong) == 2


@pytest.mark.parametrize("act", ["read", "append"])
def test_torn_last_line_is_set_aside(store, act):
    for number in range(3):
        store.append("attempt", {"exercise": "glide", "number": number})
    whole = store.path.read_bytes()
    torn = whole.splitlines()[-1][:40]
    store.path.write_bytes(whole + torn)
    if act == "read":
        (message,) = store.read().messages
        assert one_sentence(message) and store.aside.name in message
    store.append("attempt", {"exercise": "glide", "number": 3})
    reading = store.read()
    assert [data["number"] for data in attempts(store)] == [0, 1, 2, 3]
    assert reading.messages == ()
    assert store.aside.read_bytes() == torn + b"\n"


@pytest.mark.parametrize("cut", range(1, 12))
def test_cut_at_any_byte_keeps_all_earlier_events(store, cut):
    store.append("attempt", {"number": 0, "answer": "1,5 nm – “so”"})
    before = store.path.read_bytes()
    store.append("attempt", {"number": 1})
    line = store.path.read_bytes()[len(before) :]
    store.path.write_bytes(before + line[: len(line) * cut // 12])
    store.append("attempt", {"number": 2})
    assert [data["number"] for data in attempts(store)] == [0, 2]


def test_complete_last_line_without_its_end_is_kept(store):
    store.append("attempt", {"number": 0})
    store.path.write_bytes(store.path.read_bytes().rstrip(b"\n"))
    assert len(attempts(store)) == 1
    store.append("attempt", {"number": 1})
    assert [data["number"] for data in attempts(store)] == [0, 1]
    assert store.read().messages == ()


def test_newer_events_are_kept_and_said(store, tmp_path):
    store.append("attempt", {"number": 0})
    newer = '{"id":"n1","version":9,"when":"later","kind":"flight","data":[1,2],"more":{"a":1}}'
    unknown = '{"id":"n2","version":1,"time":"2031-01-01T00:00:00+00:00","kind":"flight","data":{}}'
    with store.path.open("a") as file:
        file.write(newer + "\n" + unknown + "\n")
    reading = store.read()
    assert {"n1", "n2"} <= {event.id for event in reading.events}
    (message,) = reading.messages
    assert one_sentence(message) and "2" in message
    # On its way through another machine a newer event loses nothing, not even unknown parts.
    other = EventStore(tmp_path / "other", "Student 1")
    other.merge([store.path])
    assert newer in other.path.read_text().splitlines()


HOSTILE = [
    b"not json",
    b"[1, 2, 3]",
    b"null",
    b'{"id": 5, "version": 1, "time": "2026-01-01", "kind": "x", "data": {}}',
    b'{"id": "a", "version": true, "time": "2026-01-01", "kind": "x", "data": {}}',
    b'{"id": "a", "version": 1, "time": "yesterday", "kind": "x", "data": {}}',
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": []}',
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": {"v": NaN}}',
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": {"v": 1e999}}',
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": {"v": -Infinity}}',
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": {"v":'
    + b"[" * 25
    + b"]" * 25
    + b"}}",
    b"[" * 60_000,
    b'{"a":' * 10_000,
    b'{"id": "a", "version": 1' + b"0" * 5000 + b"}",
    b"\xff\xfe\x00{",
    b"\x00" * 50,
    b'{"id": "a", "version": 1, "time": "2026-01-01", "kind": "x", "data": {"v": "'
    + b"x" * LONGEST_LINE
    + b'"}}',
]


@pytest.mark.parametrize("line", HOSTILE)
def test_hostile_line_harms_no_other_and_stays_in_the_file(store, line):
    store.append("attempt", {"number": 0})
    store.path.write_bytes(store.path.read_bytes() + line + b"\n")
    store.append("attempt", {"number": 1})
    reading = store.read()
    assert [data["number"] for data in attempts(store)] == [0, 1]
    (message,) = reading.messages
    assert one_sentence(message) and "1" in message
    assert line in store.path.read_bytes()


@pytest.mark.parametrize(
    "data",
    [
        {"v": float("nan")},
        {"v": float("inf")},
        {"v": object()},
        {"v": "x" * LONGEST_LINE},
        {"v": {"a": 1}, "w": json.loads("[" * 30 + "]" * 30)},
    ],
)
def test_what_could_never_be_stored_is_refused_at_once(store, data):
    with pytest.raises(RecordError) as error:
        store.append("attempt", data)
    assert one_sentence(str(error.value))
    assert store.unsaved == [] and not store.folder.exists()


def test_record_over_the_limit_is_refused_unread(store):
    store.append("attempt", {"number": 0})
    with store.path.open("r+b") as file:
        file.truncate(LARGEST_RECORD + 1)
    for act in (store.read, lambda: store.append("attempt", {"number": 1})):
        with pytest.raises(RecordError) as error:
            act()
        assert one_sentence(str(error.value))
    assert len(store.unsaved) == 1


def test_file_where_the_folder_should_be_keeps_the_answer(tmp_path):
    place = tmp_path / "records"
    place.write_text("in the way")
    store = EventStore(place, "Student 1")
    for act in (lambda: store.append("attempt", {"number": 7}), store.read, store.reset):
        with pytest.raises(RecordError) as error:
            act()
        assert one_sentence(str(error.value)) and str(place) in str(error.value)
    assert [event.data["number"] for event in store.unsaved] == [7]
    place.unlink()
    store.save()
    assert store.unsaved == [] and [data["number"] for data in attempts(store)] == [7]


@pytest.mark.parametrize(
    ("number", "word"),
    [
        (errno.EACCES, "may not be written"),
        (errno.EROFS, "may not be written"),
        (errno.ENOSPC, "full"),
        (errno.EIO, "could not be reached"),
    ],
)
def test_trouble_of_the_disk_is_one_sentence_and_nothing_is_half_written(
    store, monkeypatch, number, word
):
    store.append("attempt", {"number": 0})
    before = store.path.read_bytes()
    real = record_files.os.write

    def half(file, data):
        if os.path.samestat(os.fstat(file), os.stat(store.path)) and len(data) > 10:
            real(file, data[:10])
            raise OSError(number, os.strerror(number))
        return real(file, data)

    monkeypatch.setattr(record_files.os, "write", half)
    with pytest.raises(RecordError) as error:
        store.append("attempt", {"number": 1})
    monkeypatch.undo()
    assert one_sentence(str(error.value)) and word in str(error.value)
    assert store.path.read_bytes() == before
    store.append("attempt", {"number": 2})
    assert [data["number"] for data in attempts(store)] == [0, 1, 2]


def test_a_torn_line_and_then_a_full_disk_leave_the_sound_part(store, monkeypatch):
    store.append("attempt", {"number": 0})
    before = store.path.read_bytes()
    store.path.write_bytes(before + b'{"id": "torn')
    real = record_files.os.write

    def full(file, data):
        if os.path.samestat(os.fstat(file), os.stat(store.path)):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return real(file, data)

    monkeypatch.setattr(record_files.os, "write", full)
    with pytest.raises(RecordError, match="full"):
        store.append("attempt", {"number": 1})
    monkeypatch.undo()
    assert store.path.read_bytes() == before
    store.save()
    assert [data["number"] for data in attempts(store)] == [0, 1]


def test_record_in_a_read_only_folder_can_still_be_read(store, monkeypatch):
    store.append("attempt", {"number": 0})
    store.path.write_bytes(store.path.read_bytes() + b'{"torn')

    class NoLock:
        def __init__(self, *args, **settings):
            pass

        def __enter__(self):
            raise PermissionError(errno.EACCES, "Permission denied")

        def __exit__(self, *error):
            raise AssertionError("never entered")

    monkeypatch.setattr(store_module, "FileLock", NoLock)
    reading = store.read()
    assert len(reading.events) == 2
    (message,) = reading.messages
    assert one_sentence(message)
    assert not store.aside.exists()


def test_record_held_by_another_window(store, monkeypatch):
    monkeypatch.setattr(store_module, "_PATIENCE", 0.05)
    store.append("attempt", {"number": 0})
    with store._locked(), pytest.raises(RecordError, match="another window"):
        EventStore(store.folder, store.label).append("attempt", {})


@pytest.mark.skipif(os.name != "posix", reason="links and pipes are a POSIX matter")
@pytest.mark.parametrize("trap", ["link", "pipe", "folder"])
def test_only_an_ordinary_file_is_a_record(store, trap, tmp_path):
    store.folder.mkdir()
    target = tmp_path / "target"
    target.write_text("precious")
    if trap == "link":
        store.path.symlink_to(target)
    elif trap == "pipe":
        os.mkfifo(store.path)
    else:
        store.path.mkdir()
    for act in (store.read, lambda: store.append("attempt", {})):
        with pytest.raises(RecordError, match="not an ordinary file") as error:
            act()
        assert one_sentence(str(error.value))
    assert target.read_text() == "precious"


def test_merge_of_two_machines_is_the_union(tmp_path):
    here, there = (EventStore(tmp_path / name, "Student 1") for name in ("here", "there"))
    here.append("attempt", {"number": 0})
    there.merge([here.path])
    here.append("attempt", {"number": 1})
    there.append("attempt", {"number": 2})
    added, messages = here.merge([there.path])
    assert (added, messages) == (1, ())
    assert there.merge([here.path]) == (1, ())
    assert here.merge([there.path, here.path]) == (0, ())
    assert [data["number"] for data in attempts(here)] == [0, 1, 2]
    assert here.read().events == there.read().events


def test_merge_refuses_another_learner_and_other_files(tmp_path, store):
    store.append("attempt", {"number": 0})
    other = EventStore(tmp_path, "Student 2")
    other.append("attempt", {"number": 9})
    strange = tmp_path / "strange.csv"
    strange.write_text("a;b;c\n1;2;3\n")
    before = store.path.read_bytes()
    for files in ([other.path], [strange], [tmp_path / "missing.jsonl"]):
        with pytest.raises(RecordError) as error:
            store.merge(files)
        assert one_sentence(str(error.value))
    assert store.path.read_bytes() == before


def test_merge_of_a_torn_record_leaves_the_source_alone(tmp_path, store):
    other = EventStore(tmp_path, "Student 1")
    other.append("attempt", {"number": 0})
    other.path.write_bytes(other.path.read_bytes() + b'{"id": "x"')
    source = other.path.read_bytes()
    added, messages = store.merge([other.path])
    assert added == 2 and len(messages) == 1 and one_sentence(messages[0])
    assert other.path.read_bytes() == source


def test_reset_keeps_a_copy(store):
    assert store.reset() is None
    store.append("attempt", {"number": 0})
    before = store.path.read_bytes()
    kept = store.reset()
    assert kept.read_bytes() == before
    assert store.read().events == ()
    store.append("attempt", {"number": 1})
    assert [data["number"] for data in attempts(store)] == [1]
    assert store.merge([kept]) == (2, ())


def test_reset_takes_what_was_unsaved_into_the_copy(tmp_path):
    place = tmp_path / "records"
    place.write_text("in the way")
    store = EventStore(place, "Student 1")
    for act in (lambda: store.append("attempt", {"number": 7}), store.reset):
        with pytest.raises(RecordError):
            act()
    place.unlink()
    kept = store.reset()
    assert store.unsaved == [] and b'"number":7' in kept.read_bytes()
    assert store.read().events == ()


def test_export_is_a_record_that_can_be_merged(store, tmp_path):
    assert store.export() == b""
    store.append("attempt", {"number": 0})
    other = EventStore(tmp_path / "other", "student 1")
    assert other.merge_contents([("download", store.export())])[0] == 2


LEAVES = st.none() | st.booleans() | st.integers() | st.text(max_size=20)
FINITE = st.floats(allow_nan=False, allow_infinity=False)
DATA = st.dictionaries(st.text(max_size=8), LEAVES | FINITE | st.lists(LEAVES | FINITE, max_size=3))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(rows=st.lists(DATA, max_size=4), label=st.text(max_size=20))
def test_whatever_goes_in_comes_out(tmp_path_factory, rows, label):
    store = EventStore(tmp_path_factory.mktemp("records"), label)
    made = [store.append("attempt", row) for row in rows]
    reading = store.read()
    assert reading.messages == ()
    assert [dict(event.data) for event in reading.events if event.kind == "attempt"] == rows
    assert [event for event in reading.events if event.kind == "attempt"] == made
    if rows:
        assert reading.label == label


@settings(max_examples=40, deadline=None, derandomize=True)
@given(content=st.binary(max_size=300))
def test_any_bytes_are_read_without_an_exception(content):
    reading, torn = parse(content)
    assert len(reading.messages) <= 2 and content.endswith(torn)


def test_merge_of_readings_counts_each_event_once(store):
    for number in range(3):
        store.append("attempt", {"number": number})
    reading = store.read()
    assert merge([reading, reading]) == reading


def test_append_is_quick_enough_for_a_click(store):
    store.append("attempt", {})
    begin = time.perf_counter()
    for _ in range(10):
        store.append("attempt", {})
    assert (time.perf_counter() - begin) / 10 < 0.5


def test_summary(store):
    glide = {"exercise": "power_off_approach.glide", "seed": 4, "answer": "2 nm"}
    store.append("hint", {**glide, "number": 1})
    for status in ("incorrect", "correct", "close", "correct", "from a newer kit"):
        store.append("attempt", {**glide, "status": status})
    store.append("help", glide)
    store.append("solution", glide)
    store.append("attempt", {"exercise": ["hostile"], "status": {}})
    store.append("attempt", {"exercise": "other", "status": 5})
    found = summarise(store.read().events)
    summary = found["power_off_approach.glide"]
    assert (summary.attempts, summary.hints, summary.helps, summary.solutions) == (5, 1, 1, 1)
    assert (summary.best_status, summary.last_status) == ("correct", "from a newer kit")
    assert summary.first_time < summary.last_time
    assert summary.correct_seeds == (4,)
    assert found["other"].attempts == 0 and found["other"].best_status is None
