"""The learner's prediction: asked first, recorded, and shown again beside the result."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets

from lessonkit.panels.text import set_text, text_block
from lessonkit.words import NumberError, Preferences, read_number, say, show, unit_of


@dataclass(frozen=True)
class Prediction:
    """One question before the panel moves.

    Parameters
    ----------
    question : str
        What will happen?
    choices : sequence of (str, str), optional
        Key and text of two to four answers; without them a number is asked.
    kind : str
        Kind of quantity of the number asked.
    low, high : float, optional
        Range of the number asked. [SI]
    outcome : callable, optional
        ``outcome(result)`` gives, in a few words, what was computed; shown beside the answer.
        None while the settings do not answer the question.
    """

    question: str
    choices: Sequence[tuple[str, str]] = ()
    kind: str = ""
    low: float | None = None
    high: float | None = None
    outcome: Callable[[Any], str | None] | None = None

    def __post_init__(self) -> None:
        if bool(self.choices) == bool(self.kind):
            raise ValueError("a prediction asks for a choice or for a number, one of the two")
        if self.choices and not 2 <= len(self.choices) <= 4:
            raise ValueError("a prediction has two to four choices")


class PredictionGate:
    """The question's box; calls back once it is answered or skipped.

    Attributes
    ----------
    widget : ipywidgets.VBox
        Question, answers and the two buttons; hidden once given.
    shown_again : ipywidgets.HTML
        The line beside the result.
    status : {"open", "given", "skipped"}
    answer : str or float or None
        Key of the choice, or the number. [SI]
    """

    def __init__(self, prediction: Prediction, preferences: Preferences) -> None:
        self.prediction = prediction
        self.preferences = preferences
        self.status = "open"
        self.answer: str | float | None = None
        self.answer_text = ""
        self.text = ""
        self.error = ""
        self._callbacks: list[Callable[[], None]] = []
        if prediction.choices:
            options = [(text, key) for key, text in prediction.choices]
            self.picker = ipywidgets.RadioButtons(options=options, value=None)
        else:
            self.picker = ipywidgets.Text(
                value="",
                placeholder=unit_of(prediction.kind, preferences),
                continuous_update=False,
                layout={"width": "auto"},  # no wider than the box
            )
        self.picker.add_class("lk-c-prediction")
        self.record_button = ipywidgets.Button(description=self._say("record"))
        self.record_button.add_class("lk-primary")
        self.skip_button = ipywidgets.Button(description=self._say("skip"))
        self._error_line = text_block(css="lk-error", alert=True)
        self.shown_again = text_block(css="lk-given")
        buttons = ipywidgets.HBox([self.record_button, self.skip_button])
        buttons.add_class("lk-buttons")
        self.widget = ipywidgets.VBox(
            [
                text_block(self._say("heading"), css="lk-control-label"),
                text_block(prediction.question, css="lk-question"),
                self.picker,
                self._error_line,
                buttons,
            ]
        )
        self.widget.add_class("lk-prediction")

    def on_done(self, callback: Callable[[], None]) -> None:
        """Call back when the prediction is given or skipped."""
        self._callbacks.append(callback)

    def record(self) -> None:
        """Take what is chosen or typed as the prediction."""
        if self.status != "open":
            return
        try:
            self.answer, self.answer_text = self._read()
        except NumberError as error:
            self._complain(str(error))
            return
        self._finish("given")

    def give(self, answer: str) -> None:
        """Choose or type an answer and record it, as the page would: for tests."""
        self.picker.value = answer
        self.record()

    def skip(self) -> None:
        """Go on without a prediction."""
        if self.status == "open":
            self._finish("skipped")

    def compare(self, result: Any) -> None:
        """Show the prediction again beside what was computed."""
        if self.status == "skipped":
            self.text = self._say("skipped")
        elif self.status == "given":
            outcome = self.prediction.outcome(result) if self.prediction.outcome else None
            self.text = (
                self._say("given_outcome", answer=self.answer_text, outcome=outcome)
                if outcome
                else self._say("given", answer=self.answer_text)
            )
        set_text(self.shown_again, self.text)

    def _read(self) -> tuple[str | float, str]:
        typed = self.picker.value
        if self.prediction.choices:
            if typed is None:
                raise NumberError(self._say("choose"))
            return typed, dict(self.prediction.choices)[typed]
        question = self.prediction
        value = read_number(
            typed, question.kind, self.preferences, question.low, question.high, self._say("answer")
        )
        return value, show(value, question.kind, self.preferences)

    def _finish(self, status: str) -> None:
        self._complain("")
        self.status = status
        self.widget.layout.display = "none"
        for callback in self._callbacks:
            callback()

    def _complain(self, sentence: str) -> None:
        self.error = sentence
        set_text(self._error_line, sentence)

    def _say(self, key: str, **values: str) -> str:
        return say(f"panels.prediction.{key}", preferences=self.preferences, **values)
