"""Where an answer is given: one input for each kind of answer, all usable by keyboard alone.

An input for another kind registers in `INPUTS`; the question panel needs no change.
"""

from collections.abc import Callable, Sequence

import ipywidgets

from lessonkit.exercises import Item
from lessonkit.exercises.choices import LETTERS
from lessonkit.panels.answer_input import AnswerInput
from lessonkit.panels.picture_inputs import JudgeInput, MarkInput, SetInput
from lessonkit.words import say, unit_of

_WIDE = {"width": "auto"}


class NumberInput(AnswerInput):
    """A line to type a number with its unit.

    Parameters
    ----------
    item : Item
        What is asked.
    submit : callable
        Called when Enter is pressed.
    """

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        unit = unit_of(item.question.quantity, item.preferences)
        self.field = ipywidgets.Text(
            description=say("exercises.panel.answer", preferences=item.preferences),
            placeholder=say("exercises.panel.number_unit", preferences=item.preferences, unit=unit),
            style={"description_width": "initial"},
        )
        self.field.add_class("lk-x-number")
        self.field.on_msg(lambda _, content, __: self._pressed(content, submit))
        self.widget = self.field

    @property
    def answer(self) -> str:
        """What is typed."""
        return self.field.value

    @answer.setter
    def answer(self, text: str) -> None:
        self.field.value = str(text)

    def _pressed(self, content: dict, submit: Callable[[], None]) -> None:
        if content.get("event") == "submit":
            submit()


class ChoiceInput(AnswerInput):
    """Options with a letter each, none of them chosen at first."""

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        options = [
            (f"{letter.upper()}. {text}", key)
            for letter, (key, text) in zip(LETTERS, item.options, strict=False)
        ]
        self.picker = ipywidgets.RadioButtons(options=options, value=None, layout=_WIDE)
        self.picker.add_class("lk-x-choice")
        self.widget = self.picker

    @property
    def answer(self) -> str:
        """Key of the option that is chosen; empty for none."""
        return self.picker.value or ""

    @answer.setter
    def answer(self, key: str) -> None:
        self.picker.value = key or None


class OrderInput(AnswerInput):
    """A list of places: choose a step for a place, or move it up and down.

    The steps always fill all places: a step that is chosen for a place changes places with the
    one that was there. The rows stay where they are, so that the keyboard keeps its place too.
    """

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        self._item = item
        self._texts = dict(item.options)
        self._order = list(item.option_keys)
        self._moved = False
        self._writing = False
        count = len(self._order)
        self.places = [self._place(number) for number in range(1, count + 1)]
        self.up_buttons = [self._mover("up", index, index - 1) for index in range(count)]
        self.down_buttons = [self._mover("down", index, index + 1) for index in range(count)]
        rows = [
            ipywidgets.HBox([place, up, down])
            for place, up, down in zip(self.places, self.up_buttons, self.down_buttons, strict=True)
        ]
        for row in rows:
            row.add_class("lk-x-row")
        self.widget = ipywidgets.VBox(rows)
        self.widget.add_class("lk-x-order")
        self._write()
        for index, place in enumerate(self.places):
            place.observe(lambda change, index=index: self._chosen(index, change), names="value")

    @property
    def answer(self) -> tuple[str, ...]:
        """Keys of the steps from the first place to the last; empty until one was moved."""
        return tuple(self._order) if self._moved else ()

    @answer.setter
    def answer(self, keys: Sequence[str]) -> None:
        if not keys:
            self._order, self._moved = list(self._item.option_keys), False
        elif sorted(keys) == sorted(self._order):
            self._order, self._moved = list(keys), True
        else:
            raise ValueError(f"an order of {sorted(self._order)} is needed, not {list(keys)}")
        self._write()

    def move(self, index: int, other: int) -> None:
        """Let the steps of two places change places."""
        order = self._order
        order[index], order[other] = order[other], order[index]
        self._moved = True
        self._write()

    def _place(self, number: int) -> ipywidgets.Dropdown:
        place = ipywidgets.Dropdown(
            options=[(text, key) for key, text in self._item.options],
            description=f"{number}.",
            style={"description_width": "2em"},
            layout=_WIDE,
        )
        place.add_class("lk-x-place")
        return place

    def _mover(self, name: str, index: int, other: int) -> ipywidgets.Button:
        button = ipywidgets.Button(
            description=say(f"exercises.panel.{name}", preferences=self._item.preferences),
            disabled=not 0 <= other < len(self._order),
        )
        button.on_click(lambda _: self.move(index, other))
        return button

    def _chosen(self, index: int, change: dict) -> None:
        if not self._writing:
            self.move(index, self._order.index(change["new"]))

    def _write(self) -> None:
        self._writing = True
        try:
            for place, key in zip(self.places, self._order, strict=True):
                place.value = key
        finally:
            self._writing = False
        preferences = self._item.preferences
        for name, buttons in (("up_tip", self.up_buttons), ("down_tip", self.down_buttons)):
            for button, key in zip(buttons, self._order, strict=True):
                button.tooltip = say(
                    f"exercises.panel.{name}", preferences=preferences, step=self._texts[key]
                )


INPUTS: dict[str, type[AnswerInput]] = {
    "number": NumberInput,
    "choice": ChoiceInput,
    "order": OrderInput,
    "mark": MarkInput,
    "set": SetInput,
    "judge": JudgeInput,
}
