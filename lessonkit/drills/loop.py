"""The real-time loop: fixed steps of the model, pictures in between, and every reason to stop.

It runs as one task of the notebook's own event loop, in turns too short to notice, so that
controls and other cells stay alive. Without a running event loop (plain tests) nothing runs by
itself: ``run_for`` flies on a clock of its own.

>>> seen = []
>>> loop = RealTimeLoop(lambda t, now: seen.append(t), lambda: None, name="example")
>>> loop.run_for(0.1)
>>> [round(t, 2) for t in seen]
[0.0, 0.02, 0.04, 0.06, 0.08]
"""

import asyncio
import contextlib
import logging
import time
import weakref
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from lessonkit.drills.clock import VirtualClock
from lessonkit.drills.inputs import Hands
from lessonkit.words import Preferences, say, show
from lessonkit.words.preferences import STANDARD

DROP_AFTER_S = 0.25  # later than this, time is left out: a busy machine must not play catch-up
LONGEST_TURN_S = 0.010  # then the page's own messages get their turn
PAGE_SILENT_S = 5.0  # without a picture acknowledged
ASTRAY_S = 3.0  # keys that do not reach the airplane
ALARMS = ("keys", "pad", "hidden", "closed", "error")
LATENESS_KEPT = 5000
_LOG = logging.getLogger("lessonkit.drills")
# The one loop that runs: there is one pair of hands.
_RUNNING: dict[str, "RealTimeLoop"] = {}
# Of each name the hands flown last: a loop without hands, such as a replay, clears what they say.
_HANDS: weakref.WeakValueDictionary[str, Hands] = weakref.WeakValueDictionary()


@dataclass(frozen=True)
class Stop:
    """Why a run ended.

    Parameters
    ----------
    key : str
        finished, stopped, rerun, other, closed, hidden, idle, keys, pad or error.
    sentence : str
        For the learner.
    error : Exception or None
        What went wrong in a step or a picture.
    """

    key: str
    sentence: str
    error: Exception | None = None

    @property
    def alarm(self) -> bool:
        """Whether it names trouble, and no end that the learner wanted."""
        return self.key in ALARMS


class RealTimeLoop:
    """Steps a model in real time and draws it.

    Parameters
    ----------
    step : callable
        ``step(t, now)`` moves the model on by one step. `t` is the time since the start, in whole
        steps [s]; `now` is the ``HandsNow`` of that moment, None without hands.
    draw : callable
        ``draw()`` shows where the model is; put everything into one ``scene.batch()``.
    name : str
        A new loop of this name stops the old one, as when its cell is run again.
    hz : float
        Steps a second.
    pictures_per_second : float
        Pictures a second, at most; fewer where the page cannot show so many.
    seconds : float, optional
        The run is over after this long. [s]
    idle_limit_s : float
        It stops when nobody touched a control for so long. [s]
    hands : Hands, optional
        What the learner moves; also tells whether the page is still there.
    preferences : Preferences
        Language and numbers of the sentences.
    clock : callable
        Time. [s]

    Attributes
    ----------
    running : bool
        Whether it runs.
    t : float
        Time flown. [s]
    pictures, skipped : int
        Pictures drawn, and left out because the page had not shown the ones before.
    dropped_s : float
        Time left out because the machine was busy. [s]
    last : Stop or None
        Why it ended.
    """

    def __init__(
        self,
        step: Callable[[float, Any], Any],
        draw: Callable[[], Any],
        *,
        name: str = "run",
        hz: float = 50.0,
        pictures_per_second: float = 24.0,
        seconds: float | None = None,
        idle_limit_s: float = 60.0,
        hands: Hands | None = None,
        preferences: Preferences = STANDARD,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        self.name, self.hands, self.preferences, self.clock = name, hands, preferences, clock
        self.seconds, self.idle_limit_s = seconds, idle_limit_s
        self.step_s, self.picture_s = 1.0 / hz, 1.0 / pictures_per_second
        self.running = False
        self.last: Stop | None = None
        self._step, self._draw = step, draw
        self._handlers: list[Callable[[Stop], Any]] = []
        self._lateness: deque[float] = deque(maxlen=LATENESS_KEPT)
        self._serial = 0
        self._task: asyncio.Task | None = None
        self._watch_page = True
        self._clear()
        try:
            self._loop: asyncio.AbstractEventLoop | None = asyncio.get_running_loop()
        except RuntimeError:
            self._loop = None
        if hands:
            _HANDS[name] = hands
        if name in _RUNNING:
            _RUNNING[name].stop("rerun")

    # ------------------------------------------------------------------ reading

    @property
    def lateness(self) -> list[float]:
        """How late each of the last turns began [s]."""
        return list(self._lateness)

    @property
    def input_delay_s(self) -> float | None:
        """Measured delay from what is seen to what is flown, None without a page [s].

        The median way of a picture there and of the answer back, and half the time for which a
        picture stands.
        """
        delay = self.hands.delay_s if self.hands else None
        return None if delay is None else delay + 0.5 * self.picture_s

    def on_stop(self, handler: Callable[[Stop], Any]) -> None:
        """Call a handler with the ``Stop`` whenever a run ends."""
        self._handlers.append(handler)

    # ------------------------------------------------------------------ acting

    def start(self) -> None:
        """Begin a run at time zero, also in place of one that is under way."""
        self._clear()
        self.resume()

    def resume(self) -> None:
        """Go on from where the run was stopped."""
        for other in list(_RUNNING.values()):
            if other is not self:
                other.stop("rerun" if other.name == self.name else "other")
        _RUNNING[self.name] = self
        self._serial += 1
        self.running, self.last = True, None
        self._due = self._picture_due = self.clock()
        self._heard_t = self._touched_t = self._near_t = self.t
        if self.hands:
            self.hands.begin()
        elif self.name in _HANDS:
            _HANDS[self.name].tell("")
        if self._loop is not None and not self._loop.is_closed():
            # Callbacks of the page may come on another thread with another event loop.
            self._loop.call_soon_threadsafe(self._spawn, self._serial)

    def stop(self, reason: str = "stopped", error: Exception | None = None) -> None:
        """End the run, if one is under way.

        Parameters
        ----------
        reason : str
            Key of the reason, as in ``Stop``; "finished" from a step that has reached its end.
        error : Exception, optional
            What went wrong.
        """
        if not self.running:
            return
        self.running = False
        self._serial += 1
        if _RUNNING.get(self.name) is self:
            del _RUNNING[self.name]
        self.last = Stop(reason, self._sentence(reason, error), error)
        if self.hands:
            self.hands.end(self.last.sentence, self.last.alarm)
        for handler in self._handlers:
            handler(self.last)

    def run_for(self, seconds: float, each: Callable[[float], Any] | None = None) -> None:
        """Fly for some time at once, on a clock of its own: for tests and self-checks.

        Parameters
        ----------
        seconds : float
            How long; the run goes on from where it is. It stays under way afterwards, unless
            something stopped it. [s]
        each : callable, optional
            ``each(t)`` is called before every turn and may move the hands.

        Raises
        ------
        Exception
            Whatever a step or a picture raised; in real time it is in ``last.error``.
        """
        clock = VirtualClock(self.clock())
        with self._on(clock):
            if not self.running:
                self.start()
            self._serial += 1  # a task that flies in real time gives up
            self._due = self._picture_due = clock.now
            end = self.t + seconds
            while self.running and self.t < end - 0.5 * self.step_s:
                if each:
                    each(self.t)
                clock.now = max(clock.now, self.turn(clock.now))
        if self.last is not None and self.last.error is not None:
            raise self.last.error

    def turn(self, now: float) -> float:
        """Do what is due at a time and return when the next turn is due [s]."""
        try:
            self._turn(now)
        except Exception as error:  # shown by whoever listens to the end of the run
            _LOG.error("run %s", self.name, exc_info=error)
            self.stop("error", error)
        return min(self._due, self._picture_due)

    # ------------------------------------------------------------------ inside

    def _turn(self, now: float) -> None:
        late = now - self._due
        if late >= 0.0:
            self._lateness.append(late)
        if late > DROP_AFTER_S:
            self.dropped_s += late
            self._due = now
        begun = self.clock()
        while self.running and self._due <= now + 1e-9:
            self._step(self.t, self.hands.read(self._due) if self.hands else None)
            self.steps += 1
            self._due += self.step_s
            if self.seconds is not None and self.t >= self.seconds - 0.5 * self.step_s:
                self._show(now)
                self.stop("finished")
            if self.clock() - begun > LONGEST_TURN_S:
                break
        if self.running:
            self._supervise()
        if self.running and now >= self._picture_due - 1e-9:
            self._show(now)

    def _show(self, now: float) -> None:
        self._picture_due += self.picture_s
        if self._picture_due <= now:  # late pictures are not made up for
            self._picture_due = now + self.picture_s
        if self.hands and self.hands.delay.crowded and self._watch_page:
            self.skipped += 1
            return
        self._draw()
        self.pictures += 1
        if self.hands:
            self.hands.picture(now)

    def _supervise(self) -> None:
        """Stop for anything by which nobody flies any more; time left out does not count."""
        hands = self.hands
        if hands is None:
            return
        if hands.delay.acknowledged != self._heard:
            self._heard, self._heard_t = hands.delay.acknowledged, self.t
        if hands.touches != self._touched:
            self._touched, self._touched_t = hands.touches, self.t
        if not hands.astray:
            self._near_t = self.t
        if hands.lost is not None:
            self.stop("pad")
        elif hands.hidden:
            self.stop("hidden")
        elif hands.closed or (self._watch_page and self.t - self._heard_t > PAGE_SILENT_S):
            self.stop("closed")
        elif self._watch_page and self.t - self._near_t > ASTRAY_S:
            self.stop("keys")
        elif self.t - self._touched_t > self.idle_limit_s:
            self.stop("idle")

    @property
    def t(self) -> float:
        """Time flown [s]."""
        return self.steps * self.step_s

    def _clear(self) -> None:
        self.steps = self.pictures = self.skipped = 0
        self.dropped_s = 0.0
        self._due = self._picture_due = self._heard_t = self._touched_t = self._near_t = 0.0
        self._heard = self._touched = -1
        self._lateness.clear()

    def _sentence(self, reason: str, error: Exception | None) -> str:
        message = str(error).strip()
        # Errors that are meant for people are whole sentences; others get one.
        if isinstance(error, ValueError) and message.endswith("."):
            return message
        return say(
            f"drill_inputs.stop.{reason}",
            preferences=self.preferences,
            seconds=show(self.idle_limit_s, "time_s", self.preferences),
            device=(self.hands.lost if self.hands else None) or "",
        )

    @contextlib.contextmanager
    def _on(self, clock: VirtualClock) -> Iterator[None]:
        """Use another clock, and do without a page."""
        before, self.clock, self._watch_page = self.clock, clock, False
        hands = self.hands.on_clock(clock) if self.hands else contextlib.nullcontext()
        try:
            with hands:
                yield
        finally:
            self.clock, self._watch_page = before, True

    def _spawn(self, serial: int) -> None:
        # The task is kept: the event loop itself holds it only weakly.
        self._task = self._loop.create_task(self._fly(serial))

    async def _fly(self, serial: int) -> None:
        while serial == self._serial:
            due = self.turn(self.clock())
            # At least once round the event loop, however late: other work gets its turn.
            await asyncio.sleep(max(0.0, due - self.clock()))
