"""A panel: prediction first, controls left, scene right, live sentence below, reset.

How to build one (``tests/panels/test_panel.py`` takes the same steps)::

    from lessonkit.panels import NumberControl, Panel, Prediction
    from lessonkit.scenes import Grab, Scene, SceneAxes, line, points

    def build(context):
        scene = Scene(
            [
                SceneAxes("side", x=(-2000.0, 500.0), y=(0.0, 300.0), y_label="height, ft",
                          y_unit=METRES_PER_FOOT, shared_x=True),
                SceneAxes("plan", x=(-2000.0, 500.0), y=(100.0, -1000.0), equal=True,
                          shared_x=True, x_label="distance, nm", x_unit=1852.0),
            ],
            alt="Side view and plan view of an approach.",
            preferences=context.preferences,
        )
        controls = [
            NumberControl("base_turn", "Base turn past abeam", "distance_nm", value=700.0,
                          low=200.0, high=1500.0, step=0.01 * 1852.0,
                          preferences=context.preferences),
        ]

        def compute(values):                       # models only; no drawing
            return fly(values["base_turn"])

        def draw(scene, result, values):           # items only; returns the live sentence
            scene.put(
                path=line("plan", result.x, result.y),
                turn=points("plan", -values["base_turn"], -900.0, role="reference",
                            grab=Grab("turn", "Base turn", along="x", step=(20.0, 20.0))),
            )
            return say("power_off_approach.bench.touchdown", ...)

        return Panel(
            context, "approach_bench", scene=scene, controls=controls,
            compute=compute, draw=draw,
            full=compute_full,                     # optional: the full count, after a drag
            prediction=Prediction(...),            # optional: asked first
            grabs={"turn": lambda event: {"base_turn": -event.x}},   # item -> control values
        )

In tests and self-checks: ``panel.skip_prediction()`` or ``panel.predict("later")``,
``panel.control("base_turn").slide(800.0)`` or ``.type("0,5 nm")``,
``panel.scene.grab("turn", -800.0, 0.0)``, ``panel.settle()`` (the full count now), then read
``panel.sentence``, ``panel.scene.item("path")``, ``panel.error``, ``panel.last_error``.
"""

import contextlib
import inspect
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

import ipywidgets

from lessonkit.panels.context import LessonContext
from lessonkit.panels.controls import Control
from lessonkit.panels.errors import ErrorLine
from lessonkit.panels.live import LiveSentence
from lessonkit.panels.long_run import LongRun
from lessonkit.panels.prediction import Prediction, PredictionGate
from lessonkit.panels.quiet import QuietTimer
from lessonkit.panels.text import text_block
from lessonkit.scenes import GrabEvent, Scene
from lessonkit.words import say

Values = dict[str, Any]


class Panel:
    """Wires a computation to a scene, controls and a live sentence.

    Parameters
    ----------
    context : LessonContext
        Lesson, airplane, preferences, record.
    key : str
        Name of the panel in its lesson.
    title : str
        Shown above; nothing without it.
    scene : Scene or None
        The picture.
    controls : sequence of Control
        Shown left, in this order.
    more : sequence of Control, optional
        Shown below them once the learner opens "More settings", so that a panel starts quiet.
    compute : callable
        ``compute(values)`` returns a result; `values` holds each control's value by key. [SI]
    draw : callable
        ``draw(scene, result, values)`` puts items and returns the live sentence.
    draw_asked : callable, optional
        The same while the prediction is open, where the picture itself would give the answer.
    full : callable, optional
        ``full(values)`` returns the same kind of result from the full number of cases. It runs
        after a quarter of a second of quiet, and at the end of a drag. Where that takes longer
        than a moment, make it a generator function that yields a result now and then: it runs
        beside the page, each result is shown, and it is given up once a control moves.
    prediction : Prediction, optional
        Asked before the controls appear.
    grabs : mapping, optional
        For each grabbed item's name, ``function(event)`` that returns control values by key.
    """

    def __init__(
        self,
        context: LessonContext,
        key: str,
        *,
        scene: Scene | None = None,
        controls: Sequence[Control] = (),
        more: Sequence[Control] = (),
        compute: Callable[[Values], Any],
        draw: Callable[[Scene | None, Any, Values], str],
        draw_asked: Callable[[Scene | None, Any, Values], str] | None = None,
        full: Callable[[Values], Any] | None = None,
        prediction: Prediction | None = None,
        grabs: Mapping[str, Callable[[GrabEvent], Mapping[str, Any]]] | None = None,
        title: str = "",
    ) -> None:
        self.context, self.key, self.title, self.scene = context, key, title, scene
        self._more = list(more)
        self.controls = {control.key: control for control in [*controls, *more]}
        if len(self.controls) != len(controls) + len(more):
            raise ValueError(f"panel {key!r}: two controls have the same key")
        self.result: Any = None
        self._compute, self._draw, self._full = compute, draw, full
        self._draw_asked = draw_asked
        self._grabs = dict(grabs or {})
        self._lock = threading.RLock()
        self._held = 0
        self._due = self._running = False
        self._timer = QuietTimer(self._run_full)
        self._long = LongRun(self._lock, self._show_part, self._fail)
        self._in_steps = full is not None and inspect.isgeneratorfunction(full)
        self._errors = ErrorLine(context.preferences)
        self._live = LiveSentence(scene)
        self._gate = PredictionGate(prediction, context.preferences) if prediction else None
        self.widget = self._laid_out()
        self._wire()
        self.update()

    # ------------------------------------------------------------------ reading

    @property
    def values(self) -> Values:
        """Each control's value by key, in SI."""
        return {key: control.value for key, control in self.controls.items()}

    @property
    def sentence(self) -> str:
        """The live sentence."""
        return self._live.text

    @property
    def error(self) -> str:
        """The sentence in the error line; empty while nothing is wrong."""
        return self._errors.text

    @property
    def last_error(self) -> BaseException | None:
        """The error behind the error line."""
        return self._errors.last_error

    @property
    def prediction(self) -> PredictionGate | None:
        """The prediction's box, or None."""
        return self._gate

    @property
    def asked(self) -> bool:
        """True while the prediction waits for its answer."""
        return self._gate is not None and self._gate.status == "open"

    def control(self, key: str) -> Any:
        """Return a control by its key.

        Raises
        ------
        KeyError
            Naming the key that the panel lacks.
        """
        if key not in self.controls:
            known = ", ".join(self.controls)
            raise KeyError(f"panel {self.key!r} has no control {key!r}; it has {known}")
        return self.controls[key]

    # ------------------------------------------------------------------ acting

    def update(self) -> None:
        """Compute and draw for the controls' values; one run however many ask meanwhile."""
        with self._lock:
            self._long.abandon()
            self._due = True
            if self._held or self._running:
                return
            self._running = True
            try:
                while self._due:
                    self._due = False
                    self._run(self._compute)
            finally:
                self._running = False
            # While the question is open nothing moves: a page full of panels opens sooner.
            if self._full and not self.asked:
                self._timer.start()

    def settle(self) -> None:
        """Do the full computation now, if one is due: for tests and self-checks."""
        if self._in_steps and (self._timer.pending or self._long.running):
            self._timer.cancel()
            self._long.run_here(self._full(self.values))
        else:
            self._timer.run_now()

    def reset(self) -> None:
        """Put every control back to its start value."""
        with self.hold():
            for control in self.controls.values():
                control.reset()

    @contextlib.contextmanager
    def hold(self) -> Iterator[None]:
        """Change several controls inside, then update once."""
        with self._lock:
            self._held += 1
            try:
                yield
            finally:
                self._held -= 1
                self.update()

    def predict(self, answer: str) -> None:
        """Give a prediction as the page would (it is recorded where there is a record)."""
        self._required_gate().give(answer)

    def skip_prediction(self) -> None:
        """Go on without a prediction; nothing is recorded."""
        if self._gate:
            self._gate.skip()

    # ------------------------------------------------------------------ computing

    def _run(self, compute: Callable[[Values], Any]) -> None:
        stale = True
        with self._errors.guard(), self._batch():
            values = self.values
            self.result = compute(values)
            hidden = self._draw_asked if self.asked else None
            self._live.show((hidden or self._draw)(self.scene, self.result, values))
            if self._gate:
                self._gate.compare(self.result)
            self._errors.clear()
            stale = False
        # After an error the picture shown belongs to other settings: it is dimmed.
        if self.scene:
            self.scene.tell(stale=stale)

    def _run_full(self) -> None:
        with self._lock:
            if self._in_steps:
                self._long.start(self._full(self.values))
            else:
                self._run(self._full)

    def _show_part(self, result: Any) -> None:
        """Show what a step of the full computation found."""
        self._run(lambda values: result)

    def _fail(self, error: Exception) -> None:
        """Show the error of a step; the picture keeps what the steps before it found."""
        with self._errors.guard():
            raise error

    def _batch(self) -> contextlib.AbstractContextManager:
        return self.scene.batch() if self.scene else contextlib.nullcontext()

    def _on_grab(self, event: GrabEvent) -> None:
        with self._lock, self._errors.guard():
            if event.name not in self._grabs:
                raise ValueError(f"panel {self.key!r} does not know the grab {event.name!r}")
            wanted = self._grabs[event.name](event)
            with self.hold():
                for key, value in wanted.items():
                    self.control(key).set(value)
        if event.phase == "end":
            self._timer.run_now()

    def _on_prediction(self) -> None:
        self._controls_box.layout.display = None
        if self.scene:
            self.scene.tell(locked=False)
        if self._gate.status == "given" and self.context.record is not None:
            with self._errors.guard():
                self.context.record.append(
                    "prediction",
                    {
                        "lesson": self.context.lesson,
                        "panel": self.key,
                        "answer": self._gate.answer,
                        "text": self._gate.answer_text,
                    },
                )
        if self._draw_asked:
            self.update()
        self._gate.compare(self.result)
        if self._full:
            self._timer.start()

    # ------------------------------------------------------------------ laying out

    def _required_gate(self) -> PredictionGate:
        if self._gate is None:
            raise ValueError(f"panel {self.key!r} asks for no prediction")
        return self._gate

    def _say(self, key: str) -> str:
        return say(f"panels.panel.{key}", preferences=self.context.preferences)

    def _laid_out(self) -> ipywidgets.VBox:
        self.reset_button = ipywidgets.Button(
            description=self._say("reset"), tooltip=self._say("reset_tip")
        )
        self.reset_button.add_class("lk-reset")
        self.large_button = ipywidgets.ToggleButton(
            description=self._say("large"),
            tooltip=self._say("large_tip"),
            value=self.context.presentation,
        )
        buttons = ipywidgets.HBox([self.large_button])
        buttons.add_class("lk-buttons")
        head = ipywidgets.HBox([text_block(self.title, css="lk-title", tag="h3"), buttons])
        head.add_class("lk-head-row")
        first = [c.widget for c in self.controls.values() if c not in self._more]
        self._controls_box = ipywidgets.VBox([*first, *self._folded(), self.reset_button])
        left = [self._gate.widget] if self._gate else []
        left_box = ipywidgets.VBox([*left, self._controls_box, self._errors.widget])
        left_box.add_class("lk-left")
        right = [self.scene.view if self.scene else self._live.widget]
        if self._gate:
            right.append(self._gate.shown_again)
        right_box = ipywidgets.VBox(right)
        right_box.add_class("lk-right")
        body = ipywidgets.HBox([left_box, right_box])
        body.add_class("lk-body")
        panel = ipywidgets.VBox([head, body])
        panel.add_class("lk-panel")
        return panel

    def _folded(self) -> list[ipywidgets.Widget]:
        """Lay out the controls that stay folded until asked for."""
        if not self._more:
            return []
        box = ipywidgets.VBox([control.widget for control in self._more])
        box.layout.display = "none"
        self.more_button = ipywidgets.ToggleButton(
            description=self._say("more"), tooltip=self._say("more_tip")
        )

        def unfold(change: dict[str, Any]) -> None:
            box.layout.display = None if change["new"] else "none"

        self.more_button.observe(unfold, names="value")
        return [self.more_button, box]

    def _wire(self) -> None:
        for control in self.controls.values():
            control.on_change(self.update)
        self.reset_button.on_click(lambda _: self.reset())
        self.large_button.observe(lambda _: self._resize(), names="value")
        if self._gate:
            self._controls_box.layout.display = "none"
            self._gate.record_button.on_click(lambda _: self._gate.record())
            self._gate.skip_button.on_click(lambda _: self._gate.skip())
            self._gate.on_done(self._on_prediction)
        if self.scene:
            names: dict[str, str] = {}
            for control in self.controls.values():
                names.update(control.accessible_names())
            if self._gate:
                names["lk-c-prediction"] = self._gate.prediction.question
            self.scene.on_grab(self._on_grab)
            self.scene.tell(names=names, locked=self._gate is not None)
        self._resize()

    def _resize(self) -> None:
        large = self.large_button.value
        (self.widget.add_class if large else self.widget.remove_class)("lk-large")
        if self.scene:
            self.scene.tell(large=large)

    def __repr__(self) -> str:
        return f"Panel {self.key}"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)
