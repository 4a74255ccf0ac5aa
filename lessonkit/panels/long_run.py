"""A long computation in steps, off the page's thread, given up as soon as it is out of date.

The steps run in a thread of their own, so that controls stay alive; what each step found is
handed to the notebook's loop, which alone draws. Without a running loop (plain tests) nothing
runs by itself: ``run_here`` does it.
"""

import asyncio
import threading
from collections.abc import Callable, Iterator
from typing import Any


class LongRun:
    """Runs one sequence of steps at a time.

    Parameters
    ----------
    lock : threading.RLock
        Held while a result is shown, never while a step computes; whoever changes what the steps
        depend on holds it too while calling ``abandon``.
    show : callable
        ``show(part)`` is called with what each step found.
    fail : callable
        ``fail(error)`` is called if a step raises.
    """

    def __init__(
        self,
        lock: Any,
        show: Callable[[Any], None],
        fail: Callable[[Exception], None],
    ) -> None:
        self._lock, self._show, self._fail = lock, show, fail
        self._serial = 0  # of the run that is wanted; any other gives up
        self.running = False
        try:
            self._loop: asyncio.AbstractEventLoop | None = asyncio.get_running_loop()
        except RuntimeError:
            self._loop = None

    def start(self, steps: Iterator[Any]) -> None:
        """Begin to run steps; without a loop they wait for ``run_here``."""
        serial = self._begin()
        if self._loop is not None and not self._loop.is_closed():
            run = threading.Thread(
                target=self._work, args=(steps, serial, self._to_the_loop), daemon=True
            )
            run.start()

    def run_here(self, steps: Iterator[Any]) -> None:
        """Run steps to their end now, unless they are abandoned meanwhile."""
        self._work(steps, self._begin(), self._if_wanted)

    def abandon(self) -> None:
        """Give up what runs: after the step it is in, and nothing more of it is shown."""
        with self._lock:
            self._serial += 1
            self.running = False

    def _begin(self) -> int:
        with self._lock:
            self.abandon()
            self.running = True
            return self._serial

    def _work(self, steps: Iterator[Any], serial: int, call: Callable[..., None]) -> None:
        try:
            for part in steps:
                if serial != self._serial:
                    return
                call(serial, self._show, part)
        except Exception as error:  # the panel shows it
            call(serial, self._fail, error)
        call(serial, self._end)

    def _to_the_loop(self, serial: int, function: Callable[..., None], *arguments: Any) -> None:
        if not self._loop.is_closed():  # the notebook may have been shut down meanwhile
            self._loop.call_soon_threadsafe(self._if_wanted, serial, function, *arguments)

    def _if_wanted(self, serial: int, function: Callable[..., None], *arguments: Any) -> None:
        with self._lock:
            if serial == self._serial:
                function(*arguments)

    def _end(self) -> None:
        self.running = False
