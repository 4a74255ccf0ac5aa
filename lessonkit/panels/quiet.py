"""Runs something once things have been quiet for a moment.

ipywidgets may call back on a thread with another event loop (its subshells), so the loop of the
notebook is taken when the timer is made, and only reached through ``call_soon_threadsafe``.
"""

import asyncio
from collections.abc import Callable

QUIET_S = 0.25


class QuietTimer:
    """Calls back after ``QUIET_S`` seconds without another ``start``.

    Without a running loop (plain tests) nothing runs by itself: ``run_now`` does it.
    """

    def __init__(self, callback: Callable[[], None]) -> None:
        self.callback = callback
        self.pending = False
        self._handle: asyncio.TimerHandle | None = None
        try:
            self._loop: asyncio.AbstractEventLoop | None = asyncio.get_running_loop()
        except RuntimeError:
            self._loop = None

    def start(self) -> None:
        """Begin the wait, or begin it again."""
        self.pending = True
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._restart)

    def run_now(self) -> None:
        """Do it now if it is still due."""
        if self.pending:
            self.pending = False
            self.callback()

    def cancel(self) -> None:
        """Forget what is due."""
        self.pending = False

    def _restart(self) -> None:
        if self._handle is not None:
            self._handle.cancel()
        self._handle = self._loop.call_later(QUIET_S, self.run_now)
