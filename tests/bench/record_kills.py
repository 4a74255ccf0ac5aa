"""Kills a process while it writes a record, again and again, and counts what was lost.

A writer appends as fast as it can and acknowledges each event after the store returned. It is
killed at a random moment; then another store reads the record and appends. In every second round
the writer's bytes reach the file in small pieces with pauses between them, as on a slow or nearly
full disk, so that kills fall into the middle of a line too.
"""

import multiprocessing
import random
import time
from dataclasses import dataclass

import lessonkit.records.files as record_files
from lessonkit.records import EventStore

LABEL = "Student 1"
_PIECE, _PAUSE = 40, 0.0003  # bytes, s
_LONGEST = 0.06  # s from the first acknowledged event to the kill


@dataclass
class Count:
    """What some rounds came to.

    Parameters
    ----------
    kills, acknowledged : int
        Processes killed, and events they had acknowledged.
    lost : int
        Acknowledged events that were not there afterwards.
    torn : int
        Rounds that left a cut-off line.
    wrong : tuple of str
        Anything else that must not be: each a line for the reader of the report.
    """

    kills: int = 0
    acknowledged: int = 0
    lost: int = 0
    torn: int = 0
    wrong: tuple[str, ...] = ()


def write_until_killed(folder, name, in_pieces, connection):
    """Append events without end and tell the number of each after it was stored."""
    if in_pieces:
        whole = record_files.os.write

        def write(file, data):
            time.sleep(_PAUSE)
            return whole(file, data[:_PIECE])

        record_files.os.write = write
    store = EventStore(folder, LABEL)
    number = 0
    while True:
        store.append("attempt", {"exercise": name, "number": number, "status": "close"})
        connection.send_bytes(str(number).encode())
        number += 1


def kill_rounds(folder, rounds, seed=1):
    """Kill a writer in each of some rounds and return the count.

    Parameters
    ----------
    folder : path
        Where the record lies; new.
    rounds : int
    seed : int
        Of the moments of the kills.

    Returns
    -------
    Count
    """
    methods = multiprocessing.get_all_start_methods()
    context = multiprocessing.get_context("forkserver" if "forkserver" in methods else "spawn")
    if "forkserver" in methods:
        context.set_forkserver_preload([__name__])
    draw, count, expected = random.Random(seed), Count(), {}
    for round_ in range(rounds):
        name = f"round {round_}"
        acknowledged = _run_and_kill(context, folder, name, round_ % 2 == 1, draw)
        count.kills += 1
        count.acknowledged += acknowledged
        look(EventStore(folder, LABEL), name, acknowledged, expected, count)
    return count


def _run_and_kill(context, folder, name, in_pieces, draw):
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=write_until_killed, args=(folder, name, in_pieces, theirs))
    process.start()
    theirs.close()
    try:
        acknowledged = int(ours.recv_bytes()) + 1  # waits until it is at work
        moment = time.perf_counter() + draw.uniform(0.0, _LONGEST)
        while (left := moment - time.perf_counter()) > 0.0:
            if ours.poll(left):
                acknowledged = int(ours.recv_bytes()) + 1
    finally:
        process.kill()
        process.join()
    try:
        while True:  # what it had told before it was killed
            acknowledged = int(ours.recv_bytes()) + 1
    except EOFError:
        return acknowledged
    finally:
        ours.close()
        process.close()


def look(store, name, acknowledged, expected, count):
    """Read what a kill left, append, and add to the count what is not as it should be."""
    aside = store.aside.read_bytes() if store.aside.exists() else b""
    reading = store.read()
    attempts = [event.data for event in reading.events if event.kind == "attempt"]
    found = [data["number"] for data in attempts if data["exercise"] == name]
    count.lost += len(set(range(acknowledged)) - set(found))
    wrong = []
    if found != list(range(len(found))):
        wrong.append(f"{name}: twice, or not in order")
    if len(found) > acknowledged + 1:
        wrong.append(f"{name}: more than one event that nobody acknowledged")
    grown = (store.aside.read_bytes() if store.aside.exists() else b"")[len(aside) :]
    if len(reading.messages) > 1 or grown.count(b"\n") != len(reading.messages):
        wrong.append(f"{name}: more than one torn line, or one that was not said")
    count.torn += bool(grown)
    expected[name] = len(found)
    store.append("hint", {"exercise": name})
    after = store.read()
    kept = {key: 0 for key in expected}
    for event in after.events:
        if event.kind == "attempt":
            kept[event.data["exercise"]] += 1
    if kept != expected or after.messages or after.events[-1].kind != "hint":
        wrong.append(f"{name}: the record is not as it was after another append")
    count.wrong += tuple(wrong)
