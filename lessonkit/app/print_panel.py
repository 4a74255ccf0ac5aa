"""The prints of a lesson on the page: choose one, make it, save it, print it.

Drivable without a browser: set ``panel.what.value`` and the others, call ``panel.make()``, read
``panel.html`` and ``panel.text``.
"""

from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets

from lessonkit.app.print_choice import OF_EXERCISES, PRINTS, PrintChoice
from lessonkit.exercises import Question
from lessonkit.panels.context import LessonContext
from lessonkit.panels.forms import (
    FormErrors,
    TextBlock,
    download_block,
    guarded,
    preview_block,
    style_block,
)
from lessonkit.words import say
from lessonkit.words.preferences import PAPERS

_STYLE = {"description_width": "12em"}
_WIDE = {"width": "34em"}
_HIGHEST_SEED = 999_999_999


class PrintPanel:
    """Makes the prints of a lesson for the chosen airplane.

    Parameters
    ----------
    context : callable
        Returns the lesson's context as it is now: airplane and units may change.
    questions : sequence of Question
        Of the lesson; without any there are no sheet and no key.
    """

    def __init__(self, context: Callable[[], LessonContext], questions: Sequence[Question]):
        self._context, self._questions = context, tuple(questions)
        self.html = ""
        self._lay_out()
        for widget in (self.what, self.paper, self.seed, self.exercises):
            widget.observe(guarded(self.errors, lambda _: self._changed()), names="value")
        self.paper.observe(guarded(self.errors, self._keep_paper), names="value")
        self._changed()

    # What a learner does ---------------------------------------------------------------------

    def make(self) -> None:
        """Make the chosen print and offer it."""
        context = self._context()
        choice = PrintChoice(
            self.what.value,
            context.airplane,
            context.preferences,
            self.paper.value,
            self._questions,
            self.exercises.value,
            self.seed.value,
        )
        self._clear()
        try:
            html = choice.make()
        except ValueError as error:
            self.said.tell(str(error), "bad")
            return
        self.html = html
        self.made.children = (
            download_block(self._say("save", file=choice.file_name), choice.file_name, html),
            preview_block(self._say("preview", what=self._name(self.what.value)), html),
        )
        self.said.tell(self._say("how"), "good")

    # What the learner sees -------------------------------------------------------------------

    @property
    def text(self) -> str:
        """All sentences that are shown, as plain lines."""
        return "\n".join(part.text for part in (self.about, self.said) if part.text)

    def __repr__(self) -> str:
        return "Panel prints"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    # Following -------------------------------------------------------------------------------

    def _changed(self) -> None:
        """Take away a print that no longer is what is chosen."""
        self._clear()
        self.about.tell(self._say(f"about.{self.what.value}"))
        shown = None if self.what.value in OF_EXERCISES else "none"
        self.exercise_box.layout.display = shown

    def _clear(self) -> None:
        self.html, self.made.children = "", ()
        self.said.tell("")

    def _keep_paper(self, change: Any) -> None:
        """Keep the paper for all lessons: a printer rarely changes its own."""
        desk = self._context().desk
        if desk is not None:
            self.said.tell(desk.change(paper=change.new), "bad")

    # Laying out ------------------------------------------------------------------------------

    def _say(self, key: str, **values: object) -> str:
        return say(f"prints.panel.{key}", preferences=self._context().preferences, **values)

    def _name(self, what: str) -> str:
        return say(f"prints.name.{what}", preferences=self._context().preferences)

    def _lay_out(self) -> None:
        context = self._context()
        offered = [what for what in PRINTS if self._questions or what not in OF_EXERCISES]
        self.errors = FormErrors(context.preferences)
        self.about, self.said = TextBlock("plain"), TextBlock("plain")
        self.what = ipywidgets.Dropdown(
            description=self._say("what"),
            options=[(self._name(what), what) for what in offered],
            style=_STYLE,
            layout=_WIDE,
        )
        self.paper = ipywidgets.Dropdown(
            description=self._say("paper"),
            options=[(say(f"prints.paper.{paper}"), paper) for paper in PAPERS],
            value=context.preferences.paper,
            style=_STYLE,
            layout={"width": "22em"},
        )
        self.seed = ipywidgets.BoundedIntText(
            description=self._say("seed"),
            value=1,
            min=0,
            max=_HIGHEST_SEED,
            style=_STYLE,
            layout={"width": "22em"},
        )
        self.exercises = ipywidgets.Text(
            description=self._say("exercises"),
            placeholder=self._say("exercises_all", count=len(self._questions)),
            style=_STYLE,
            layout=_WIDE,
            continuous_update=False,
        )
        self.exercises.add_class("lk-f-words")
        hint = TextBlock("hint", self._say("seed_hint")).widget
        self.exercise_box = ipywidgets.VBox([ipywidgets.HBox([self.seed, hint]), self.exercises])
        self.button = ipywidgets.Button(description=self._say("make"), layout={"width": "auto"})
        self.button.add_class("lk-primary")
        self.button.on_click(guarded(self.errors, lambda _: self.make()))
        self.made = ipywidgets.VBox()
        buttons = ipywidgets.HBox([self.button])
        buttons.add_class("lk-buttons")
        self.widget = ipywidgets.VBox(
            [
                style_block(),
                self.what,
                self.about.widget,
                self.exercise_box,
                self.paper,
                buttons,
                self.said.widget,
                self.made,
                self.errors.widget,
            ]
        )
        for name in ("lk-panel", "lk-form", *(("lk-large",) if context.presentation else ())):
            self.widget.add_class(name)
