"""How a question is laid out on the page: its lines of text, its buttons, the line of trouble."""

from collections.abc import Callable
from typing import Any

import ipywidgets

from lessonkit.panels.context import LessonContext
from lessonkit.panels.errors import ErrorLine
from lessonkit.panels.forms import style_block
from lessonkit.panels.text import set_text, text_block
from lessonkit.words import say

# Lines of the panel and the classes of the style sheet that they take besides their own.
_BLOCKS = {
    "prompt": "lk-question",
    "status": "",
    "message": "",
    "next": "",
    "hints": "lk-given",
    "solution": "lk-given",
    "unsaved": "lk-error",
    "numbers": "lk-small",
}
_SPOKEN = ("status", "message", "next", "hints", "unsaved")


class QuestionLayout:
    """Texts and buttons of a question; what they do comes from the class that asks.

    Parameters
    ----------
    context : LessonContext
        Preferences, record, size.
    acts : mapping of str to callable
        What each button does, by the name of its text.
    """

    def __init__(self, context: LessonContext, acts: dict[str, Callable[[], Any]]) -> None:
        self.context = context
        self._errors = ErrorLine(context.preferences)
        self._acts = acts
        self._lay_out()

    @property
    def text(self) -> str:
        """All that is shown, as plain lines: for tests, self-checks and screen readers."""
        return "\n".join(line for line in self._lines.values() if line)

    @property
    def unsaved_text(self) -> str:
        """The line that says what is not saved; empty when all is."""
        return self._lines["unsaved"]

    @property
    def error(self) -> str:
        """Sentence of the last error; empty when nothing is wrong."""
        return self._errors.text

    @property
    def last_error(self) -> BaseException | None:
        """The last error itself, for tests."""
        return self._errors.last_error

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    def _show_unsaved(self, reason: str, failed: bool) -> None:
        count = len(getattr(self.context.record, "unsaved", ())) or 1
        text = self._say("not_saved", count=count, reason=reason) if failed else reason
        self._tell("unsaved", text)
        self.save_button.layout.display = None if failed else "none"

    def _tell(self, name: str, text: str) -> None:
        self._lines[name] = text
        set_text(self._blocks[name], text)
        if name == "status" and not text:
            self._result_box.layout.display = "none"

    def _say(self, key: str, **values: object) -> str:
        return say(f"exercises.panel.{key}", preferences=self.context.preferences, **values)

    def _lay_out(self) -> None:
        self._blocks = {
            name: text_block(
                css=f"lk-x-{name} {more}".strip(), role="status" if name in _SPOKEN else ""
            )
            for name, more in _BLOCKS.items()
        }
        self._lines = dict.fromkeys(_BLOCKS, "")
        self._input_box = ipywidgets.VBox()
        self._result_box = ipywidgets.VBox(
            [self._blocks[name] for name in ("status", "message", "next")]
        )
        self._result_box.add_class("lk-x-result")
        self.check_button = self._button("check")
        self.check_button.add_class("lk-primary")
        self.hint_button = self._button("hint")
        self.not_known_button = self._button("not_known")
        self.solution_button = self._button("solution")
        self.new_button = self._button("new_numbers")
        self.save_button = self._button("save_again")
        self.save_button.layout.display = "none"
        buttons = ipywidgets.HBox(
            [
                self.check_button,
                self.hint_button,
                self.not_known_button,
                self.solution_button,
                self.new_button,
            ]
        )
        buttons.add_class("lk-buttons")
        blocks = self._blocks
        unsaved = ipywidgets.HBox([blocks["unsaved"], self.save_button])
        unsaved.add_class("lk-buttons")
        parts = [style_block(), blocks["prompt"], self._input_box, buttons, self._result_box]
        parts += [blocks["hints"], blocks["solution"], unsaved]
        parts += [self._errors.widget, blocks["numbers"]]
        self.widget = ipywidgets.VBox(parts)
        for name in ("lk-panel", "lk-x"):
            self.widget.add_class(name)
        if self.context.presentation:
            self.widget.add_class("lk-large")

    def _button(self, name: str) -> ipywidgets.Button:
        button = ipywidgets.Button(description=self._say(name))
        button.on_click(lambda _: self._acts[name]())
        return button
