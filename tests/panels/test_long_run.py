"""A full computation in steps: beside the page, given up when a control moves, errors shown."""

import asyncio
import threading
from types import SimpleNamespace

import pytest

from lessonkit.panels import LessonContext, NumberControl, Panel
from lessonkit.panels.quiet import QUIET_S

WAIT = 10.0  # s; only ever waited for if something is wrong


class Steps:
    """A full computation of three steps, each of which waits for a sign."""

    def __init__(self, fails=False):
        self.begun, self.may_go_on = threading.Event(), threading.Semaphore(0)
        self.threads, self.fails, self.given = [], fails, []

    def panel(self):
        steps = self

        def full(values):
            for part in (1, 2, 3):
                steps.threads.append(threading.current_thread())
                steps.begun.set()
                if not steps.may_go_on.acquire(timeout=WAIT):
                    raise AssertionError("nobody let the step go on")
                if steps.fails:
                    raise ValueError("The third wheel is missing: fit one.")
                steps.given.append((values["place"], part))
                yield SimpleNamespace(place=values["place"], part=part)

        return Panel(
            LessonContext("test"),
            "test",
            controls=[
                NumberControl("place", "Place", "number", value=1.0, low=0.0, high=9.0, step=1.0)
            ],
            compute=lambda values: SimpleNamespace(place=values["place"], part=0),
            draw=lambda scene, result, values: f"{result.place:.0f}/{result.part}",
            full=full,
        )

    def let_go(self, count=1):
        for _ in range(count):
            self.may_go_on.release()


@pytest.fixture(autouse=True)
def lenient(monkeypatch):
    monkeypatch.delenv("LESSONKIT_STRICT", raising=False)


async def until(true):
    for _ in range(int(WAIT / 0.01)):
        if true():
            return
        await asyncio.sleep(0.01)
    raise AssertionError("it did not happen")


def test_settle_takes_all_steps_at_once():
    steps = Steps()
    panel = steps.panel()
    assert panel.sentence == "1/0"
    steps.let_go(3)
    panel.settle()
    assert panel.sentence == "1/3" and steps.given == [(1.0, 1), (1.0, 2), (1.0, 3)]
    panel.settle()  # nothing is due any more
    assert len(steps.given) == 3


def test_steps_run_beside_the_page_and_each_is_shown():
    async def run():
        steps = Steps()
        panel = steps.panel()
        await until(steps.begun.is_set)
        assert steps.threads[0] is not threading.current_thread()
        assert panel.sentence == "1/0"  # the loop is free while the first step computes
        steps.let_go()
        await until(lambda: panel.sentence == "1/1")
        steps.let_go(2)
        await until(lambda: panel.sentence == "1/3")

    asyncio.run(run())


def test_a_control_can_move_while_a_step_computes_and_the_run_is_given_up():
    async def run():
        steps = Steps()
        panel = steps.panel()
        await until(steps.begun.is_set)
        steps.begun.clear()
        panel.control("place").slide(2.0)  # would wait here if the step held the panel's lock
        assert panel.sentence == "2/0"
        steps.let_go()  # the step of the old run ends, and is not shown
        await until(lambda: (1.0, 1) in steps.given)
        await until(lambda: sum(thread.is_alive() for thread in steps.threads[:1]) == 0)
        assert panel.sentence == "2/0"
        await until(steps.begun.is_set)  # a quarter of a second later the new run begins
        steps.let_go(3)
        await until(lambda: panel.sentence == "2/3")
        assert steps.given == [(1.0, 1), (2.0, 1), (2.0, 2), (2.0, 3)]

    asyncio.run(run())


def test_a_step_that_was_handed_over_before_the_move_is_not_shown_after_it():
    async def run():
        steps = Steps()
        panel = steps.panel()
        await until(steps.begun.is_set)
        steps.let_go()
        while (1.0, 1) not in steps.given:  # the loop is kept busy: the result waits in its queue
            pass
        while len(steps.threads) < 2:  # the step was handed over once the next one begins
            pass
        panel.control("place").slide(3.0)
        await asyncio.sleep(0.0)
        assert panel.sentence == "3/0"
        steps.let_go(4)
        await until(lambda: panel.sentence == "3/3")

    asyncio.run(run())


def test_an_error_in_a_step_is_one_sentence_and_the_next_move_clears_it():
    async def run():
        steps = Steps(fails=True)
        panel = steps.panel()
        await until(steps.begun.is_set)
        steps.let_go()
        await until(lambda: panel.error)
        assert panel.error == "The third wheel is missing: fit one."
        steps.fails = False
        panel.control("place").slide(2.0)
        assert panel.error == ""
        steps.let_go(3)
        await until(lambda: panel.sentence == "2/3")

    asyncio.run(run())


def test_settle_while_a_run_is_under_way_ends_with_the_whole_count():
    async def run():
        steps = Steps()
        panel = steps.panel()
        await until(steps.begun.is_set)
        steps.let_go(4)  # one for the run that is given up, three for the one that settles
        panel.settle()
        assert panel.sentence == "1/3"
        await asyncio.sleep(2.0 * QUIET_S)
        assert panel.sentence == "1/3"

    asyncio.run(run())
