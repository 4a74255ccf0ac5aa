"""Labelled controls: slider with typed value, choice, check. Values are SI inside.

Each control has ``value``, ``set(value)``, ``reset()`` and ``on_change(callback)``. The test
helpers ``slide`` and ``type`` go through the same handlers as the page.
"""

import math
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets

from lessonkit.panels.text import set_text, text_block
from lessonkit.words import (
    NumberError,
    Preferences,
    from_shown,
    read_number,
    say,
    show,
    to_shown,
)
from lessonkit.words.preferences import STANDARD

_WIDE = {"width": "auto", "margin": "0 8px"}
LONGEST_ROW = 30  # letters of all choices together that still fit beside each other


class Control:
    """What every control has: key, label, value, start value, callbacks."""

    def __init__(self, key: str, label: str, value: Any) -> None:
        self.key = key
        self.label = label
        self.start = value
        self.value = value
        self.error = ""
        self.widget: ipywidgets.Widget
        self._callbacks: list[Callable[[], None]] = []
        self._syncing = False

    @property
    def css(self) -> str:
        """Class of its widget, by which the page finds it to give it its name."""
        return "lk-c-" + self.key.replace("_", "-")

    def accessible_names(self) -> dict[str, str]:
        """Return what a screen reader calls its parts, by CSS class."""
        return {self.css: self.label}

    def on_change(self, callback: Callable[[], None]) -> None:
        """Call back after each change of the value, by hand or by ``set``."""
        self._callbacks.append(callback)

    def set(self, value: Any) -> None:
        """Change the value and what is shown, as if moved by hand."""
        value = self._allowed(value)
        changed = value != self.value
        self.value = value
        self._show()
        if changed:
            for callback in self._callbacks:
                callback()

    def reset(self) -> None:
        """Go back to the start value."""
        self.set(self.start)

    def _allowed(self, value: Any) -> Any:
        return value

    def _show(self) -> None:
        self._syncing = True
        try:
            self._write()
        finally:
            self._syncing = False

    def _write(self) -> None:
        raise NotImplementedError


class NumberControl(Control):
    """Slider with a typed value beside it and its range below.

    Parameters
    ----------
    key : str
        Name under which the panel's computation finds the value.
    label : str
        What it is, in the trade's words.
    kind : str
        Kind of quantity of ``lessonkit.words``, such as "speed" or "distance_nm".
    value, low, high, step : float
        Start value, range and slider step; the step becomes a round number of the unit shown
        and the range ends on whole steps of it. [SI; degrees for angles]
    preferences : Preferences
        Units and decimal mark.
    digits : int, optional
        Decimals shown; as many as the step needs without it.
    name : str, optional
        How a sentence about a bad typed value begins; without it the label up to its colon:
        "Aileron" of "Aileron: left −, right +".
    """

    def __init__(
        self,
        key: str,
        label: str,
        kind: str,
        *,
        value: float,
        low: float,
        high: float,
        step: float,
        preferences: Preferences = STANDARD,
        digits: int | None = None,
        name: str | None = None,
    ) -> None:
        if not low <= value <= high or step <= 0.0:
            raise ValueError(f"control {key!r}: needs low <= value <= high and a step above zero")
        super().__init__(key, label, float(value))
        self.kind, self.preferences = kind, preferences
        self.name = label.partition(": ")[0] if name is None else name
        shown_step = _round_step(abs(self._shown(low + step) - self._shown(low)))
        # Ends on whole steps of the unit shown, inside the range: 58 to 103 mph, not 57.5.
        first = min(_ceil(self._shown(low), shown_step), self._shown(value))
        last = max(_floor(self._shown(high), shown_step), self._shown(value))
        self.low, self.high = self._si(first), self._si(last)
        self.digits = _digits(shown_step) if digits is None else digits
        self.slider = ipywidgets.FloatSlider(
            value=self._slider_place(first, last, shown_step),
            min=first,
            max=last,
            step=shown_step,
            readout=False,
            continuous_update=True,
            layout=_WIDE,
        )
        self.field = ipywidgets.Text(value=self.text, continuous_update=False)
        self._error_line = text_block(css="lk-error", alert=True)
        self.slider.add_class(self.css)
        self.field.add_class(self.css + "-typed")
        self.field.add_class("lk-typed")
        self.widget = self._laid_out()
        self.slider.observe(self._slid, names="value")
        self.field.observe(self._typed, names="value")

    @property
    def text(self) -> str:
        """The value with its unit, as shown."""
        return show(self.value, self.kind, self.preferences, digits=self.digits)

    @property
    def range_text(self) -> str:
        """The range with its unit, as shown."""
        low, high = (
            show(v, self.kind, self.preferences, digits=self.digits) for v in (self.low, self.high)
        )
        return say("panels.control.range", low=low, high=high, preferences=self.preferences)

    def accessible_names(self) -> dict[str, str]:
        """Return the names of slider and typed field, by CSS class."""
        typed = say("panels.control.typed_name", name=self.label, preferences=self.preferences)
        return {self.css: f"{self.label}, {self.range_text}", self.css + "-typed": typed}

    def slide(self, value: float) -> None:
        """Move the slider to a value [SI], as the page would: for tests and self-checks."""
        self.slider.value = self._shown(value)

    def type(self, text: str) -> None:
        """Type a text into the field, as the page would: for tests and self-checks."""
        self.field.value = text

    def _laid_out(self) -> ipywidgets.Widget:
        label = text_block(self.label, css="lk-control-label")
        top = ipywidgets.HBox([label, self.field])
        top.add_class("lk-control-top")
        ends = text_block(self.range_text, css="lk-ends")
        box = ipywidgets.VBox([top, self.slider, ends, self._error_line])
        box.add_class("lk-control")
        return box

    def _shown(self, value: float) -> float:
        return round(float(to_shown(value, self.kind, self.preferences)), 9)

    def _slider_place(self, first: float, last: float, step: float) -> float:
        # The page moves a slider to its nearest step and would send that back as a new value:
        # the slider is put on a step at once, while the control keeps the exact value.
        steps = round((self._shown(self.value) - first) / step)
        return min(round(first + steps * step, 9), last)

    def _si(self, shown: float) -> float:
        return float(from_shown(shown, self.kind, self.preferences))

    def _allowed(self, value: float) -> float:
        value = float(value)
        if not math.isfinite(value):
            raise ValueError(f"control {self.key!r}: {value} is no number")
        return min(max(value, self.low), self.high)

    def _slid(self, change: dict[str, Any]) -> None:
        place = self._slider_place(self.slider.min, self.slider.max, self.slider.step)
        if not self._syncing and abs(change["new"] - place) > 1e-6 * self.slider.step:
            self.set(self._si(float(change["new"])))

    def _typed(self, change: dict[str, Any]) -> None:
        if self._syncing:
            return
        try:
            value = read_number(
                change["new"],
                self.kind,
                self.preferences,
                self.low,
                self.high,
                name=self.name,
                digits=self.digits,
            )
        except NumberError as error:
            self._complain(str(error))
            return
        self.set(value)

    def _complain(self, sentence: str) -> None:
        self.error = sentence
        set_text(self._error_line, sentence)

    def _write(self) -> None:
        self._complain("")
        self.slider.value = self._slider_place(self.slider.min, self.slider.max, self.slider.step)
        self.field.value = self.text


class Choice(Control):
    """One of a few named settings.

    Parameters
    ----------
    key, label : str
        As for ``NumberControl``.
    options : sequence of (str, value)
        What is shown, and the value it stands for.
    value : object
        The start value, one of the options' values.
    """

    def __init__(
        self, key: str, label: str, options: Sequence[tuple[str, Any]], value: Any
    ) -> None:
        super().__init__(key, label, value)
        self.options = list(options)
        self._allowed(value)
        row = sum(len(text) + 4 for text, _ in self.options) <= LONGEST_ROW
        make = ipywidgets.ToggleButtons if row else ipywidgets.Dropdown
        indices = [(text, index) for index, (text, _) in enumerate(self.options)]
        self.picker = make(options=indices, value=self._index(value))
        self.picker.add_class(self.css)
        self.picker.observe(self._picked, names="value")
        self.widget = ipywidgets.VBox([text_block(label, css="lk-control-label"), self.picker])
        self.widget.add_class("lk-control")

    @property
    def text(self) -> str:
        """The chosen setting, as shown."""
        return self.options[self._index(self.value)][0]

    def pick(self, value: Any) -> None:
        """Choose a value as the page would: for tests and self-checks."""
        self.picker.value = self._index(value)

    def _index(self, value: Any) -> int:
        for index, (_, candidate) in enumerate(self.options):
            if candidate == value:
                return index
        raise ValueError(f"control {self.key!r} has no option {value!r}")

    def _allowed(self, value: Any) -> Any:
        return self.options[self._index(value)][1]

    def _picked(self, change: dict[str, Any]) -> None:
        if not self._syncing and change["new"] is not None:
            self.set(self.options[change["new"]][1])

    def _write(self) -> None:
        self.picker.value = self._index(self.value)


class Check(Control):
    """A setting that is on or off."""

    def __init__(self, key: str, label: str, value: bool = False) -> None:
        super().__init__(key, label, bool(value))
        self.box = ipywidgets.Checkbox(value=self.value, description=label, indent=False)
        self.box.add_class(self.css)
        self.box.observe(self._ticked, names="value")
        self.widget = ipywidgets.VBox([self.box])
        self.widget.add_class("lk-control")

    @property
    def text(self) -> str:
        """The label while it is on, else nothing."""
        return self.label if self.value else ""

    def tick(self, value: bool) -> None:
        """Switch as the page would: for tests and self-checks."""
        self.box.value = value

    def _allowed(self, value: Any) -> bool:
        return bool(value)

    def _ticked(self, change: dict[str, Any]) -> None:
        if not self._syncing:
            self.set(change["new"])

    def _write(self) -> None:
        self.box.value = self.value


def _round_step(step: float) -> float:
    """Return the round number (1, 2, 2.5 or 5 times a power of ten) nearest to a step.

    >>> _round_step(1.1508), _round_step(0.01), _round_step(65.6)
    (1.0, 0.01, 50.0)
    """
    power = 10.0 ** math.floor(math.log10(step))
    rounds = [round(digit * power, 9) for digit in (1.0, 2.0, 2.5, 5.0, 10.0)]
    return min(rounds, key=lambda candidate: abs(math.log(candidate / step)))


def _ceil(value: float, step: float) -> float:
    return round(math.ceil(round(value / step, 6)) * step, 9)


def _floor(value: float, step: float) -> float:
    return round(math.floor(round(value / step, 6)) * step, 9)


def _digits(step: float) -> int:
    """Return how many decimals a slider step needs, at most four."""
    return next((n for n in range(4) if abs(round(step, n) - step) < 1e-6), 4)
