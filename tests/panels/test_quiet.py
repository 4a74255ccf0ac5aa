"""The wait for quiet, on a clock that the test moves."""

import asyncio

from lessonkit.panels.quiet import QUIET_S, QuietTimer


class Clock:
    """As much of an event loop as the timer uses."""

    def __init__(self):
        self.now = 0.0
        self.waiting = []

    def is_closed(self):
        return False

    def call_soon_threadsafe(self, callback):
        callback()

    def call_later(self, delay, callback):
        handle = asyncio.TimerHandle(self.now + delay, callback, (), self)
        self.waiting.append(handle)
        return handle

    def _timer_handle_cancelled(self, handle):
        self.waiting.remove(handle)

    def get_debug(self):
        return False

    def advance(self, seconds):
        self.now += seconds
        due = [handle for handle in self.waiting if handle.when() <= self.now]
        self.waiting = [handle for handle in self.waiting if handle not in due]
        for handle in due:
            handle._run()


def timer():
    calls, clock = [], Clock()
    made = QuietTimer(lambda: calls.append(clock.now))
    made._loop = clock
    return made, calls, clock


def test_it_waits_until_nothing_has_moved_for_a_moment():
    made, calls, clock = timer()
    for _ in range(10):
        made.start()
        clock.advance(QUIET_S * 0.6)
    assert calls == [], "still moving"
    clock.advance(QUIET_S)
    clock.advance(QUIET_S)
    assert len(calls) == 1


def test_what_was_done_early_is_not_done_again():
    made, calls, clock = timer()
    made.start()
    made.run_now()
    clock.advance(2 * QUIET_S)
    made.run_now()
    assert len(calls) == 1


def test_what_was_cancelled_is_not_done():
    made, calls, clock = timer()
    made.start()
    made.cancel()
    clock.advance(2 * QUIET_S)
    assert calls == []


def test_without_a_loop_it_is_done_only_when_asked():
    calls = []
    made = QuietTimer(lambda: calls.append(1))
    made.start()
    assert made.pending and calls == []
    made.run_now()
    assert calls == [1]
