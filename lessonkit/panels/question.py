"""One exercise on the page: question, input, feedback, hints, solution, other numbers.

Drivable without a browser: set ``panel.answer``, call ``panel.check()``, read ``panel.text``.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from lessonkit.exercises import Item, Question, Result, check, fingerprint, vary
from lessonkit.exercises.result import CORRECT, NOT_ATTEMPTED, STATUSES
from lessonkit.panels.answer_inputs import INPUTS
from lessonkit.panels.closing import close_tree
from lessonkit.panels.context import LessonContext
from lessonkit.panels.history import next_seed
from lessonkit.panels.question_layout import QuestionLayout
from lessonkit.records import RecordError
from lessonkit.words import say


@dataclass(frozen=True)
class Begun:
    """How far a learner is with one question, to go on with it later."""

    seed: int
    answer: Any
    hints_shown: int
    solution_shown: bool
    result: Result | None


class QuestionPanel(QuestionLayout):
    """Asks one question and keeps what the learner does in the record.

    Nothing is written until the learner answers, asks for a hint or for the solution.

    Parameters
    ----------
    context : LessonContext
        Lesson, airplane, preferences, record.
    question : Question
        What is asked.
    seed : int, optional
        Set of numbers to begin with; without it the next one that the learner's record does not
        have for this question.
    told : callable, optional
        Called with each result.

    Attributes
    ----------
    item : Item or None
        The question with its numbers; None where this airplane gives none, and the error line
        says why.
    result : Result or None
        Of the last check.
    hints_shown : int
        Hints that were opened for these numbers.
    """

    def __init__(
        self,
        context: LessonContext,
        question: Question,
        seed: int | None = None,
        told: Callable[[Result], None] | None = None,
    ) -> None:
        self.question = question
        self._told = told
        self.item: Item | None = None
        self.result: Result | None = None
        self.hints_shown = 0
        self.solution_shown = False
        acts = {
            "check": self.check,
            "hint": self.hint,
            "not_known": self.not_known,
            "solution": self.show_solution,
            "new_numbers": self.new_numbers,
            "save_again": self.save_again,
        }
        super().__init__(context, acts)
        self.seed = seed if seed is not None else self._next_seed()
        self._ask()

    # What a learner does ---------------------------------------------------------------------

    @property
    def answer(self) -> Any:
        """What is typed, chosen or put in order at this moment."""
        return self._input.answer

    @answer.setter
    def answer(self, answer: Any) -> None:
        self._input.answer = answer

    def check(self) -> Result | None:
        """Judge the answer, say why, record it."""
        if self.item is None:
            return None
        with self._errors.guard():
            return self._judge(self.answer)
        return None

    def give(self, answer: Any) -> Result | None:
        """Type, choose or order an answer and check it, as the page would: for self-checks."""
        self.answer = answer
        return self.check()

    def not_known(self) -> Result | None:
        """Take "I do not know" for an answer and open the first hint that is left."""
        if self.item is None:
            return None
        with self._errors.guard():
            self._save("help")
            known = self.hints_shown
            self.hint()
            spoken = say("exercises.not_known.message", preferences=self.context.preferences)
            step = self.item.hint(self.hints_shown) if known < self.hints_shown else self._step()
            self._show_result(Result(NOT_ATTEMPTED, spoken, step, "not_known"))
            return self.result
        return None

    def hint(self) -> str:
        """Open the next hint; return it, or an empty text when none is left."""
        if self.item is None or self.hints_shown >= len(self.question.hints):
            return ""
        with self._errors.guard():
            self.hints_shown += 1
            self._show_hints()
            self._save("hint", number=self.hints_shown)
            return self.item.hint(self.hints_shown)
        return ""

    def show_solution(self) -> str:
        """Open the worked solution with its source; return it."""
        if self.item is None:
            return ""
        with self._errors.guard():
            if not self.solution_shown:
                self.solution_shown = True
                self._save("solution")
            self._show_solution()
            return self.item.solution
        return ""

    def new_numbers(self) -> None:
        """Ask the same with the next set of numbers."""
        self.seed += 1
        self._ask()

    @property
    def begun(self) -> Begun:
        """How far the learner is, to go on with it in another panel of the same question."""
        answer = self.answer if self.item else None
        return Begun(self.seed, answer, self.hints_shown, self.solution_shown, self.result)

    def go_on(self, begun: Begun) -> None:
        """Go on where another panel of the same question was left; nothing is recorded."""
        self.seed = begun.seed
        self._ask()
        if self.item is None:
            return
        with self._errors.guard():
            if begun.answer:
                self.answer = begun.answer
            self.hints_shown, self.solution_shown = begun.hints_shown, begun.solution_shown
            self._show_hints()
            if begun.solution_shown:
                self._show_solution()
            if begun.result is not None:
                self._show_result(begun.result)

    def close(self) -> None:
        """Take the panel off the page for good."""
        close_tree(self.widget)

    def save_again(self) -> None:
        """Write what could not be saved before."""
        with self._errors.guard():
            reason = ""
            try:
                self.context.record.save()
            except RecordError as error:
                reason = str(error)
            self._show_unsaved(reason or self._say("saved"), bool(reason))

    def __repr__(self) -> str:
        return f"Exercise {self.question.key}"  # constant: a stored text must hold no address

    # Asking and judging ----------------------------------------------------------------------

    def _ask(self) -> None:
        self._errors.clear()
        self.item, self.result, self.hints_shown, self.solution_shown = None, None, 0, False
        for name in self._lines:
            if name != "unsaved":
                self._tell(name, "")
        with self._errors.guard():
            context = self.context
            self.item = vary(self.question, context.airplane, self.seed, context.preferences)
            left = self._input_box.children
            self._input = INPUTS[self.question.kind](self.item, self.check)
            self._input_box.children = (self._input.widget,)
            for widget in left:
                close_tree(widget)
            if self._input.scene is not None:
                self._input.scene.tell(large=self.context.presentation)
            self._tell("prompt", self.item.prompt)
            name = context.airplane.card.name
            self._tell("numbers", self._say("numbers_of", seed=self.seed, airplane=name))
            self._show_hints()
        for button in (self.check_button, self.hint_button, self.not_known_button):
            button.disabled = self.item is None
        self.solution_button.disabled = self.item is None

    def _judge(self, answer: Any) -> Result:
        result = check(self.item, answer)
        if result.reply == "not_known":
            return self.not_known()
        # Neither a blank nor an unreadable line is an attempt.
        if result.status != NOT_ATTEMPTED and result.reply != "unreadable":
            self._save(
                "attempt",
                answer=result.answer,
                status=result.status,
                reply=result.reply,
                hints=self.hints_shown,
                solution_seen=self.solution_shown,
            )
        self._show_result(result)
        if self._told:
            self._told(result)
        return result

    def _next_seed(self) -> int:
        try:
            return next_seed(self.context.record, self.question.record_key)
        except RecordError as error:
            self._tell("unsaved", str(error))
            return 1

    def _step(self) -> str:
        return self.item.say("next")

    def _save(self, kind: str, **data: object) -> None:
        record = self.context.record
        if record is None:
            return
        event = {
            "exercise": self.question.record_key,
            "lesson": self.context.lesson,
            "kind": self.question.kind,
            "seed": self.seed,
            "airplane": self.context.airplane.card.name,
            "airplane_hash": fingerprint(self.context.airplane),
            **data,
        }
        try:
            record.append(kind, event)
        except RecordError as error:
            self._show_unsaved(str(error), True)
        else:
            self._show_unsaved("", False)

    # Showing ---------------------------------------------------------------------------------

    def _show_result(self, result: Result) -> None:
        self.result = result
        for status in _STATUS_CLASSES:
            self._result_box.remove_class(status)
        self._result_box.add_class(f"lk-x-{result.status}")
        self._result_box.layout.display = None
        preferences = self.context.preferences
        self._tell("status", say(f"exercises.status.{result.status}", preferences=preferences))
        self._tell("message", result.message)
        self._tell("next", self._say("next_step", step=result.next_step))
        if result.status == CORRECT:
            self._input.reveal()

    def _show_hints(self) -> None:
        total = len(self.question.hints)
        hints = [
            self._say("hint_number", number=number, all=total, hint=self.item.hint(number))
            for number in range(1, self.hints_shown + 1)
        ]
        self._tell("hints", "\n".join(hints))
        left = total - self.hints_shown
        self.hint_button.description = (
            self._say("hint_left", left=left) if left else self._say("no_hint")
        )
        self.hint_button.disabled = not left

    def _show_solution(self) -> None:
        source = self._say("source", source=self.item.say("source"))
        lines = [self._say("solution_title"), self.item.solution, source]
        self._tell("solution", "\n".join(lines))
        self._input.reveal()


_STATUS_CLASSES = tuple(f"lk-x-{status}" for status in STATUSES)
