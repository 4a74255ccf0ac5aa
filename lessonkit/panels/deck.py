"""All exercises of a lesson, one at a time: a list with what is done, and the one that is shown.

Only the shown exercise has widgets. What was typed and opened in the others is kept until the
deck is built anew. Drivable without a browser: ``deck.show(2)``, then ``deck.question``.
"""

from collections.abc import Sequence
from typing import Any

import ipywidgets

from lessonkit.exercises import Question, Result
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, NOT_ATTEMPTED
from lessonkit.panels.context import LessonContext
from lessonkit.panels.forms import FormErrors, TextBlock, guarded, style_block
from lessonkit.panels.history import events_of
from lessonkit.panels.question import Begun, QuestionPanel
from lessonkit.records import RecordError, summarise
from lessonkit.words import say

_ROWS = 6  # of the list; a longer one is scrolled
_JUDGED = (INCORRECT, CLOSE, CORRECT)


class ExerciseDeck:
    """Shows one exercise of a lesson and the list of all.

    Parameters
    ----------
    context : LessonContext
        Lesson, airplane, preferences, record.
    questions : sequence of Question
        In the order of the list.

    Attributes
    ----------
    place : int
        Place of the exercise that is shown, counted from 0.
    question : QuestionPanel or None
        The exercise that is shown; None in a lesson without any.
    statuses : list of str
        The last status of each exercise, of today or from the record.
    """

    def __init__(self, context: LessonContext, questions: Sequence[Question]) -> None:
        self.context, self.questions = context, tuple(questions)
        self.place = 0
        self.question: QuestionPanel | None = None
        self.errors = FormErrors(context.preferences)
        self.trouble = TextBlock("note")
        self.progress = TextBlock("hint")
        self.statuses = self._from_record()
        self._begun: dict[int, Begun] = {}
        self._writing = False
        self._lay_out()
        if self.questions:
            self.show(self._first())

    # What a learner does ---------------------------------------------------------------------

    def show(self, place: int) -> None:
        """Show the exercise at a place of the list, counted from 0.

        Raises
        ------
        IndexError
            If there is no such place.
        """
        if not 0 <= place < len(self.questions):
            raise IndexError(f"the deck has no exercise {place}")
        if self.question is not None:
            self._begun[self.place] = self.question.begun
            self.question.close()
        self.place = place
        begun = self._begun.get(place)
        self.question = QuestionPanel(
            self.context,
            self.questions[place],
            seed=begun.seed if begun else None,
            told=self._told,
        )
        if begun:
            self.question.go_on(begun)
        self._question_box.children = (self.question.widget,)
        self._show_list()

    def next(self) -> None:
        """Go on to the next exercise, where there is one."""
        if self.place + 1 < len(self.questions):
            self.show(self.place + 1)

    def previous(self) -> None:
        """Go back to the exercise before, where there is one."""
        if self.place > 0:
            self.show(self.place - 1)

    # What the learner sees -------------------------------------------------------------------

    @property
    def lines(self) -> list[str]:
        """The lines of the list."""
        return [text for text, _ in self.picker.options]

    @property
    def text(self) -> str:
        """All that is shown, as plain lines."""
        shown = [*self.lines, self.progress.text, self.trouble.text]
        shown.append(self.question.text if self.question else "")
        return "\n".join(line for line in shown if line)

    def __repr__(self) -> str:
        return f"{len(self.questions)} exercises"

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    # Inside ----------------------------------------------------------------------------------

    def _from_record(self) -> list[str]:
        """Return the last status of each exercise; say so where the record cannot be read."""
        summaries = {}
        if self.context.record is not None:
            try:
                summaries = summarise(events_of(self.context.record)[0])
            except RecordError as error:
                self.trouble.tell(str(error))
        found = (summaries.get(question.record_key) for question in self.questions)
        last = (summary.last_status if summary else None for summary in found)
        return [status if status in _JUDGED else NOT_ATTEMPTED for status in last]

    def _first(self) -> int:
        """Return the first place that is not answered; the first of all when all are."""
        left = [i for i, status in enumerate(self.statuses) if status == NOT_ATTEMPTED]
        return left[0] if left else 0

    def _told(self, result: Result) -> None:
        if result.status in _JUDGED:
            self.statuses[self.place] = result.status
            self._show_list()

    def _show_list(self) -> None:
        preferences = self.context.preferences
        options = []
        for place, (question, status) in enumerate(zip(self.questions, self.statuses, strict=True)):
            title = say(f"{question.text_key}.title", preferences=preferences)
            mark = say(f"exercises.deck.mark.{status}", preferences=preferences)
            line = self._say("line", number=place + 1, title=title, mark=mark)
            options.append((line, place))
        self._writing = True
        try:
            if self.picker.options != tuple(options):
                self.picker.options = options
            self.picker.value = self.place
        finally:
            self._writing = False
        answered = sum(status != NOT_ATTEMPTED for status in self.statuses)
        correct = sum(status == CORRECT for status in self.statuses)
        count = len(self.questions)
        self.progress.tell(self._say("progress", answered=answered, all=count, correct=correct))
        self.previous_button.disabled = self.place == 0
        self.next_button.disabled = self.place + 1 >= count

    def _picked(self, change: dict) -> None:
        if not self._writing and change["new"] is not None:
            with self.errors.guard():
                self.errors.clear()
                self.show(change["new"])

    def _say(self, key: str, **values: object) -> str:
        return say(f"exercises.deck.{key}", preferences=self.context.preferences, **values)

    def _lay_out(self) -> None:
        self.picker = ipywidgets.Select(rows=min(_ROWS, max(len(self.questions), 1)))
        self.picker.add_class("lk-deck-list")
        self.picker.observe(self._picked, names="value")
        self.previous_button = self._button("previous", self.previous)
        self.next_button = self._button("next", self.next)
        buttons = ipywidgets.HBox([self.previous_button, self.next_button, self.progress.widget])
        buttons.add_class("lk-buttons")
        self._question_box = ipywidgets.VBox()
        parts = [self.picker, buttons] if self.questions else [self._empty()]
        top = ipywidgets.VBox([*parts, self.trouble.widget, self.errors.widget])
        top.add_class("lk-form")
        self.widget = ipywidgets.VBox([style_block(), top, self._question_box])
        for name in ("lk-block", "lk-deck", *(("lk-large",) if self.context.presentation else ())):
            self.widget.add_class(name)

    def _empty(self) -> ipywidgets.Widget:
        return TextBlock("plain", self._say("none")).widget

    def _button(self, name: str, act: Any) -> ipywidgets.Button:
        button = ipywidgets.Button(description=self._say(name))
        button.on_click(guarded(self.errors, lambda _: act()))
        return button
