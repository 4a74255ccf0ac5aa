"""Records of several machines become one: the union, whatever the order and however often."""

import json
import os
from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lessonkit.records import EventStore, RecordError, parse
from lessonkit.records.events import LARGEST_RECORD, LONGEST_LINE

LABEL = "Student 1"
NEWER = [
    '{"id":"n1","version":9,"when":"later","kind":"flight","data":[1,2],"more":{"a":1.50}}',
    '{ "version" : 2, "id" : "n2",  "data": {"\\u00e9": "\\ud83d\\ude00", "z": 1e3, "a": -0.0} }',
    '{"id":"n3","version":1,"time":"2031-01-01T00:00:00+00:00","kind":"flight","data":{"é":"–"}}',
]


def event(number, time=0):
    parts = {
        "id": f"event-{number}",
        "version": 1,
        "time": f"2026-05-01T{time:02}:00:00+00:00",
        "kind": "attempt",
        "data": {"exercise": "glide", "number": number},
    }
    return json.dumps(parts)


def file_of(lines, label=LABEL):
    begun = {"id": f"begun-{label}", "version": 1, "time": "2026-01-01T00:00:00+00:00"}
    begun |= {"kind": "learner", "data": {"label": label}}
    return "\n".join([json.dumps(begun), *lines, ""]).encode()


def merged(folder, contents, together=False):
    """A new record that took in these contents, one after the other or at once."""
    store = EventStore(folder, LABEL)
    named = [(f"machine {number}", content) for number, content in enumerate(contents)]
    if together:
        store.merge_contents(named)
    else:
        for one in named:
            store.merge_contents([one])
    return store


LINES = st.one_of(
    st.builds(event, st.integers(0, 12), st.just(0)),  # many at the same moment
    st.builds(lambda number: event(number, number % 24), st.integers(100, 140)),
    st.sampled_from(NEWER),
)
MACHINES = st.lists(st.lists(LINES, max_size=6), min_size=2, max_size=3)
TAILS = st.sampled_from([b"", b'{"id": "torn", "ver', b"\xff\xfe", b"[[[["])


@settings(max_examples=12, deadline=None, derandomize=True)
@given(machines=MACHINES, tail=TAILS)
def test_union_in_any_order_and_any_number_of_times(tmp_path_factory, machines, tail):
    folder = tmp_path_factory.mktemp("machines")
    contents = [file_of(lines) for lines in machines]
    contents[0] += tail
    expected = {json.loads(line)["id"]: line for lines in machines for line in lines}
    seen = []
    for number, order in enumerate(permutations(contents)):
        store = merged(folder / str(number), order, together=number % 2 == 1)
        reading = store.read()
        seen.append(reading.events)
        before = store.path.read_bytes()
        for content in order:  # again: nothing more
            assert store.merge_contents([("again", content)])[0] == 0
        assert store.path.read_bytes() == before
        # Byte for byte as the machines wrote it, also what only a newer kit understands.
        begun = file_of([]).decode().strip()
        assert sorted(before.decode().splitlines()) == sorted([begun, *expected.values()])
        assert {found.id for found in reading.events} == {*expected, f"begun-{LABEL}"}
    assert all(events == seen[0] for events in seen)


@settings(max_examples=15, deadline=None, derandomize=True)
@given(machines=MACHINES)
def test_two_machines_that_exchange_their_records_hold_the_same(tmp_path_factory, machines):
    folder = tmp_path_factory.mktemp("exchange")
    here = merged(folder / "here", [file_of(machines[0])])
    there = merged(folder / "there", [file_of(machines[1])])
    here.append("attempt", {"number": 1})
    there.append("hint", {"number": 2})
    one, other = here.export(), there.export()
    here.merge_contents([("there", other)])
    there.merge_contents([("here", one)])
    assert here.read().events == there.read().events
    assert sorted(here.export().splitlines()) == sorted(there.export().splitlines())


def test_newer_events_are_said_once_and_survive_three_machines(tmp_path):
    content = file_of([event(1), *NEWER])
    for number in range(3):
        store = merged(tmp_path / str(number), [content])
        content = store.export()
        (message,) = store.read().messages
        assert message.endswith(".") and "3" in message
    assert [line for line in content.decode().splitlines() if line in NEWER] == NEWER


HOSTILE = {
    "one huge line": b'{"id":"' + b"x" * (2 * LONGEST_LINE) + b'"}\n',
    "no number": event(7).replace('"number": 7', '"number": NaN').encode() + b"\n",
    "too deep": event(7).replace(" 7}", " " + "[" * 40 + "]" * 40 + "}").encode() + b"\n",
    "brackets": b"[" * 60_000 + b"\n",
    "no text": b"\x00\xff" * 40 + b"\n",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_line_stays_outside_and_the_others_come_in(tmp_path, name):
    store = EventStore(tmp_path, LABEL)
    added, (message,) = store.merge_contents([("theirs", file_of([event(1)]) + HOSTILE[name])])
    assert added == 2 and message.startswith("theirs") and message.endswith(".")
    assert store.read().messages == () and len(store.read().events) == 2
    assert max(map(len, store.path.read_bytes().splitlines())) < 500


@pytest.mark.parametrize("name", HOSTILE)
def test_a_file_of_hostile_lines_alone_is_no_record(tmp_path, name):
    store = EventStore(tmp_path / "records", LABEL)
    with pytest.raises(RecordError, match="holds no record") as error:
        store.merge_contents([("theirs", HOSTILE[name])])
    assert str(error.value).count(". ") == 0
    assert not store.folder.exists()


def test_the_record_of_another_learner_never_comes_in_even_beside_a_right_one(tmp_path):
    store = EventStore(tmp_path, LABEL)
    store.append("attempt", {"number": 1})
    before = store.path.read_bytes()
    right, wrong = file_of([event(1)]), file_of([event(2)], "Student 2")
    for order in ([right, wrong], [wrong, right]):
        with pytest.raises(RecordError, match="“Student 2”"):
            store.merge_contents([(str(number), one) for number, one in enumerate(order)])
    assert store.path.read_bytes() == before
    # Other case and spaces are the same learner.
    assert store.merge_contents([("same", file_of([event(3)], " STUDENT  1"))])[0] == 2


def test_a_file_over_the_limit_is_refused(tmp_path):
    content = file_of([event(1)])
    store = EventStore(tmp_path, LABEL)
    with pytest.raises(RecordError, match="larger than"):
        store.merge_contents([("theirs", content + b"\n" * (LARGEST_RECORD + 1))])


@pytest.mark.skipif(os.name != "posix", reason="links and pipes are a POSIX matter")
@pytest.mark.parametrize("trap", ["folder", "pipe", "link", "missing"])
def test_only_an_ordinary_file_is_merged(tmp_path, trap):
    store, path = EventStore(tmp_path / "records", LABEL), tmp_path / "theirs.jsonl"
    if trap == "folder":
        path.mkdir()
    elif trap == "pipe":
        os.mkfifo(path)
    elif trap == "link":
        (tmp_path / "secret").write_bytes(file_of([event(1)]))
        path.symlink_to(tmp_path / "secret")
    with pytest.raises(RecordError) as error:
        store.merge([path])
    assert str(error.value).endswith(".") and str(error.value).count(". ") == 0
    assert not store.folder.exists()


def test_events_of_one_moment_read_in_one_order():
    first = parse(file_of([event(number) for number in range(6)]))[0]
    turned = parse(file_of([event(number) for number in reversed(range(6))]))[0]
    assert first.events == turned.events and first.events[0].kind == "learner"
