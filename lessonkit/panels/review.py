"""The review: a short mixed set of questions that are due, one at a time, each with new numbers.

Drivable without a browser: ``panel.begin()``, answer ``panel.question``, ``panel.next()``, read
``panel.text``.
"""

import dataclasses
import math
from collections.abc import Callable, Iterable
from datetime import UTC, datetime, timedelta
from typing import Any

import ipywidgets

from lessonkit.exercises.review import Due, LessonQuestions, Review, review
from lessonkit.panels.context import LessonContext
from lessonkit.panels.forms import FormErrors, TextBlock, guarded, style_block
from lessonkit.panels.history import attempts_of, events_of, lessons_begun
from lessonkit.panels.question import QuestionPanel
from lessonkit.records import RecordError
from lessonkit.words import Preferences, say

_NOTHING = Review((), 0, None)


def _now() -> datetime:
    return datetime.now(UTC)


class ReviewPanel:
    """Asks what is due, over all lessons.

    Nothing is loaded but the list of what is due until the learner begins.

    Parameters
    ----------
    context : callable
        Returns the `LessonContext` of this moment: another airplane or label may be chosen
        while the panel stands on the page.
    lessons : iterable of LessonQuestions
        All lessons.
    clock : callable
        Returns the time, with its time zone.

    Attributes
    ----------
    found : Review
        What was due at the last look.
    question : QuestionPanel or None
        The one that is asked at this moment.
    """

    def __init__(
        self,
        context: Callable[[], LessonContext],
        lessons: Iterable[LessonQuestions],
        clock: Callable[[], datetime] = _now,
    ) -> None:
        self._context, self._lessons, self._clock = context, tuple(lessons), clock
        self._record = context().record
        self._asked: list[QuestionPanel] = []
        self._set: tuple[Due, ...] = ()
        self.found = _NOTHING
        self.question: QuestionPanel | None = None
        self.errors = FormErrors(context().preferences)
        self._lay_out()
        self.look()
        desk = context().desk
        if desk is not None:
            desk.on_change(self._follow)

    # What a learner does ---------------------------------------------------------------------

    def look(self) -> None:
        """Look what is due now."""
        self._clear()
        with self.errors.guard():
            self._read()
            self.line.tell(self._due_lines())
        self._show_buttons()

    def begin(self) -> None:
        """Ask the first question of what is due at this moment."""
        self.look()
        if self.found.chosen:
            self._set = self.found.chosen
            self._ask()

    def next(self) -> None:
        """Go on to the next question, answered or not; after the last one, say how it went."""
        if len(self._asked) < len(self._set):
            self._ask()
        else:
            self._finish()

    # What the learner sees -------------------------------------------------------------------

    @property
    def text(self) -> str:
        """All that is shown beside the question itself, as plain lines."""
        return "\n".join(
            block.text for block in (self.line, self.place, self.trouble) if block.text
        )

    def __repr__(self) -> str:
        return "Review"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    # Reading and asking ----------------------------------------------------------------------

    def _read(self) -> None:
        self._record = self._context().record
        self.found = _NOTHING
        if self._record is None:
            return
        try:
            events, messages = events_of(self._record)
        except RecordError as error:
            self.trouble.tell(str(error), "bad")
            return
        self.trouble.tell(messages, "note")
        questions = [question for lesson in self._lessons for question in lesson.questions]
        self.found = review(questions, attempts_of(events), lessons_begun(events), self._clock())

    def _ask(self) -> None:
        due = self._set[len(self._asked)]
        lesson = next(one for one in self._lessons if one.name == due.question.lesson)
        # The answer belongs to the lesson of the question, wherever the review stands.
        context = dataclasses.replace(self._context(), lesson=lesson.key)
        self.question = QuestionPanel(context, due.question, seed=due.seed)
        self._asked.append(self.question)
        self._question_box.children = (self.question.widget,)
        number, count = len(self._asked), len(self._set)
        self.line.tell("")
        self.place.tell(self._say("place", number=number, count=count, lesson=lesson.title))
        self._show_buttons()

    def _finish(self) -> None:
        answered = [panel.result for panel in self._asked if panel.result is not None]
        correct = sum(result.status == "correct" for result in answered)
        count = len(self._asked)
        self._clear()
        with self.errors.guard():
            self._read()
            done = self._say("done", answered=len(answered), count=count, correct=correct)
            self.line.tell([done, *self._due_lines()])
        self._show_buttons()

    def _follow(self) -> None:
        """Begin anew when another learner's record is chosen."""
        if self._context().record is not self._record:
            self.look()

    def _due_lines(self) -> list[str]:
        found = self.found
        asked = len(found.chosen)
        if found.count == 1:
            return [self._say("due_one")]
        if found.count > asked:
            return [self._say("due_some", count=found.count, asked=asked)]
        if found.count:
            return [self._say("due_all", count=found.count)]
        if self.trouble.kind == "bad" and self.trouble.text:
            return []  # the record could not be read: what is due is not known
        if found.next_due is None:
            return [self._say("nothing_met")]
        wait = waiting_time(found.next_due - self._clock(), self._context().preferences)
        return [self._say("nothing_due", wait=wait)]

    # Showing ---------------------------------------------------------------------------------

    def _clear(self) -> None:
        self.question, self._set, self._asked = None, (), []
        self._question_box.children = ()
        self.place.tell("")
        self.trouble.tell("")

    def _show_buttons(self) -> None:
        asking = self.question is not None
        last = len(self._asked) >= len(self._set)
        self.next_button.description = self._say("finish" if last else "next")
        shown = {
            self.begin_button: not asking and bool(self.found.chosen),
            self.look_button: not asking,
            self.next_button: asking,
        }
        for button, there in shown.items():
            button.layout.display = None if there else "none"

    def _say(self, key: str, **values: object) -> str:
        return say(f"review.panel.{key}", preferences=self._context().preferences, **values)

    def _lay_out(self) -> None:
        self.line, self.place = TextBlock("plain"), TextBlock("plain")
        self.trouble = TextBlock("note")
        self._question_box = ipywidgets.VBox()
        self.begin_button = self._button("begin", self.begin)
        self.begin_button.add_class("lk-primary")
        self.look_button = self._button("look", self.look)
        self.next_button = self._button("next", self.next)
        buttons = ipywidgets.HBox([self.begin_button, self.look_button, self.next_button])
        buttons.add_class("lk-buttons")
        top = ipywidgets.VBox([self.line.widget, self.trouble.widget, self.place.widget])
        bottom = ipywidgets.VBox([self.errors.widget, buttons])
        for box in (top, bottom):
            box.add_class("lk-form")
        self.widget = ipywidgets.VBox([style_block(), top, self._question_box, bottom])
        for name in ("lk-block", *(("lk-large",) if self._context().presentation else ())):
            self.widget.add_class(name)

    def _button(self, name: str, act: Callable[[], None]) -> ipywidgets.Button:
        button = ipywidgets.Button(description=self._say(name))
        button.on_click(guarded(self.errors, lambda _: act()))
        return button


def waiting_time(wait: timedelta, preferences: Preferences | None = None) -> str:
    """Return how long something still takes, in words, rounded up.

    Examples
    --------
    >>> waiting_time(timedelta(minutes=9.2)), waiting_time(timedelta(days=2.5))
    ('10 minutes', '3 days')
    """
    minutes = max(math.ceil(wait / timedelta(minutes=1)), 1)
    hours, days = math.ceil(wait / timedelta(hours=1)), math.ceil(wait / timedelta(days=1))
    if minutes < 60:
        unit, count = "minute", minutes
    elif hours < 36:
        unit, count = "hour", hours
    else:
        unit, count = "day", days
    number = "one" if count == 1 else "many"
    return say(f"review.wait.{unit}_{number}", preferences=preferences, count=count)
