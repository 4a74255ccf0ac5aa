"""A panel that can also be flown by hand: hands and loop beside the picture, set-and-play left.

The lesson gives a `DrillTask`; the panel wires it. Set and play goes through ``compute`` like any
panel's controls; a run by hand ends with a result of the same kind, which stays on the page until
a control other than the moment is moved::

    DrillPanel(context, "rolls_by_hand", task=task, scene=scene, controls=[...],
               compute=task.compute, draw=task.draw)

In tests and self-checks: ``panel.fly(each)`` flies the whole run at once; ``each(t)`` may press
keys through ``panel.hands``.
"""

from collections.abc import Callable, Mapping
from typing import Any, Protocol

import ipywidgets

from lessonkit.drills.inputs import Hands, HandsNow
from lessonkit.drills.loop import RealTimeLoop
from lessonkit.panels.panel import Panel, Values
from lessonkit.words import say

MOMENT = "moment"  # key of the control that only moves along a finished run


class DrillTask(Protocol):
    """What a lesson gives: one run after another, its pictures, its judgement.

    ``begin`` takes the controls' values and returns the names of the controls that the learner
    moves; ``seconds`` is the length of a run. ``step`` is called 50 times a second, ``show`` 24
    times and returns the live sentence of the moment; ``kit_places`` says where the kit holds the
    other controls, ``broken_off`` ends a run before its time. ``end`` returns the result, or
    raises a ValueError with one sentence for a run too short to judge. ``replay`` draws a moment
    of a result and returns its sentence; ``noted`` is what the record keeps.
    """

    seconds: float
    broken_off: bool

    def begin(self, values: Values) -> tuple[str, ...]:
        """Make ready for a run."""

    def step(self, t: float, hands: HandsNow) -> None:
        """Fly one step."""

    def show(self) -> str:
        """Draw the moment."""

    def kit_places(self) -> Mapping[str, float]:
        """Where the kit holds what the learner does not move."""

    def end(self, delay_s: float) -> Any:
        """Judge the run; `delay_s` is the measured delay of the page."""

    def replay(self, result: Any, t: float) -> str:
        """Draw a moment of a result."""

    def noted(self, result: Any) -> dict[str, Any]:
        """Return what the record keeps of a run by hand."""


class DrillPanel(Panel):
    """A panel with hands.

    Parameters
    ----------
    context, key, **panel
        As for `Panel`; one of the controls may be the moment, with the key ``MOMENT``.
    task : DrillTask
        What is flown.
    hands : Hands
        With the controls of all levels.
    """

    def __init__(self, context, key: str, *, task: DrillTask, hands: Hands, **panel: Any) -> None:
        self.task, self.hands = task, hands
        self._flown: Any = None
        self._flown_at: Values = {}
        compute: Callable[[Values], Any] = panel.pop("compute")
        name = f"{context.lesson}.{key}"
        self._loop = RealTimeLoop(self._step, self._show, name=name, hands=hands,
                                  seconds=task.seconds)  # fmt: skip
        self._replayed = RealTimeLoop(self._replay_step, self._replay_show,
                                      name=name, seconds=task.seconds)  # fmt: skip
        super().__init__(context, key, compute=lambda v: self._shown_or(compute, v), **panel)
        self._loop.on_stop(self._ended)
        self._replayed.on_stop(lambda _stop: self._replay_ended())

    # ------------------------------------------------------------------ acting

    @property
    def flying(self) -> bool:
        """True while a run by hand goes on."""
        return self._loop.running

    def start(self) -> None:
        """Begin a run by hand, as its button does."""
        if self._begin():
            self._loop.start()

    def stop(self) -> None:
        """End the run or the replay, as its button does."""
        self._loop.stop()
        self._replayed.stop()

    def fly(self, each: Callable[[float], None] | None = None, seconds: float = 0.0) -> None:
        """Fly a run at once, without waiting: for tests and self-checks."""
        if self._begin():
            self._loop.run_for(seconds or self.task.seconds, each)

    def update(self) -> None:
        """Compute and draw; a control that is moved ends what runs."""
        if hasattr(self, "_stop_button"):
            self.stop()
            self.hands.tell("")
        super().update()

    def reset(self) -> None:
        """Put every control back, and the run by hand away."""
        self._flown = None
        super().reset()
        self.update()

    # ------------------------------------------------------------------ the run

    def _begin(self) -> bool:
        self._replayed.stop()
        with self._errors.guard():
            self._flown = None
            self.hands.fly(*self.task.begin(self.values))
            self._buttons(running=True)
            return True
        return False

    def _step(self, t: float, now: HandsNow) -> None:
        self.task.step(t, now)
        if self.task.broken_off:
            self._loop.stop()

    def _show(self) -> None:
        self.hands.show(**self.task.kit_places())
        with self._batch():
            self._live.show(self.task.show())

    def _ended(self, stop: Any) -> None:
        self._buttons(running=False)
        told = ""
        with self._errors.guard():
            if stop.error is not None:
                raise stop.error
            try:
                self._flown = self.task.end(self._loop.input_delay_s or 0.0)
            except ValueError as short:  # said where the run's end is said; the picture goes back
                told = str(short)
            self._flown_at = self._settings()
            self._note()
            super().update()
        if told:
            self.hands.tell(f"{stop.sentence} {told}", stop.alarm)
        elif self._flown is not None:
            # Where the eyes are after a run; the picture's own sentence may be below the window.
            said = f"{stop.sentence} {self.sentence}" if stop.alarm else self.sentence
            self.hands.tell(said, stop.alarm)

    def _note(self) -> None:
        """Keep a run by hand in the record, if there is one."""
        if self._flown is not None and self.context.record is not None:
            about = {"lesson": self.context.lesson, "panel": self.key}
            self.context.record.append("drill", {**about, **self.task.noted(self._flown)})

    def _settings(self) -> Values:
        return {key: value for key, value in self.values.items() if key != MOMENT}

    def _shown_or(self, compute: Callable[[Values], Any], values: Values) -> Any:
        """Return the run by hand while nothing else is set, else what is set."""
        if self._flown is not None:
            if self._flown_at == self._settings():
                return self._flown
            self._flown = None
        return compute(values)

    # ------------------------------------------------------------------ the replay

    def replay(self) -> None:
        """Play what is shown in real time, as its button does."""
        self._loop.stop()
        self.hands.tell("")
        self._replay_t = 0.0
        self._buttons(running=True)
        self._replayed.start()

    def _replay_step(self, t: float, _now: Any) -> None:
        self._replay_t = t

    def _replay_show(self) -> None:
        with self._batch():
            self._live.show(self.task.replay(self.result, self._replay_t))

    def _replay_ended(self) -> None:
        self._buttons(running=False)
        super().update()

    # ------------------------------------------------------------------ laying out

    def _buttons(self, running: bool) -> None:
        self._fly_button.disabled = self._play_button.disabled = running
        self._stop_button.disabled = not running

    def _laid_out(self) -> ipywidgets.VBox:
        panel = super()._laid_out()
        self._fly_button, self._play_button, self._stop_button = (
            ipywidgets.Button(
                description=say(f"hands_on.button.{key}", preferences=self.context.preferences),
                tooltip=say(f"hands_on.tip.{key}", preferences=self.context.preferences),
            )
            for key in ("fly", "play", "stop")
        )
        self._fly_button.add_class("lk-primary")
        self._fly_button.on_click(lambda _: self.start())
        self._play_button.on_click(lambda _: self.replay())
        self._stop_button.on_click(lambda _: self.stop())
        self._buttons(running=False)
        row = ipywidgets.HBox([self._fly_button, self._play_button, self._stop_button])
        row.add_class("lk-buttons")
        self._hands_box = ipywidgets.VBox([row, self.hands.view])
        right = panel.children[1].children[1]
        # Above the picture: with the keyboard there, the view outside is still in sight.
        right.children = (self._hands_box, *right.children)
        if self._gate:
            self._hands_box.layout.display = "none"
        return panel

    def _on_prediction(self) -> None:
        self._hands_box.layout.display = None
        super()._on_prediction()
