"""One exercise on the page: question, input, feedback, hints, solution, other numbers.

Drivable without a browser: set ``panel.answer``, call ``panel.check()``, read ``panel.text``.
"""

from typing import Any

import ipywidgets

from lessonkit.exercises import Item, Question, Result, check, fingerprint, vary
from lessonkit.exercises.result import NOT_ATTEMPTED, STATUSES
from lessonkit.panels.answer_inputs import INPUTS
from lessonkit.panels.context import LessonContext
from lessonkit.panels.errors import ErrorLine
from lessonkit.panels.text import set_text, text_block
from lessonkit.records import RecordError
from lessonkit.words import say


class QuestionPanel:
    """Asks one question and keeps what the learner does in the record.

    Nothing is written until the learner answers, asks for a hint or for the solution.

    Parameters
    ----------
    context : LessonContext
        Lesson, airplane, preferences, record.
    question : Question
        What is asked.
    seed : int
        Set of numbers to begin with.

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

    def __init__(self, context: LessonContext, question: Question, seed: int = 1) -> None:
        self.context = context
        self.question = question
        self.seed = seed
        self.item: Item | None = None
        self.result: Result | None = None
        self.hints_shown = 0
        self.solution_shown = False
        self._errors = ErrorLine(context.preferences)
        self._lay_out()
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

    def save_again(self) -> None:
        """Write what could not be saved before."""
        with self._errors.guard():
            reason = ""
            try:
                self.context.record.save()
            except RecordError as error:
                reason = str(error)
            self._show_unsaved(reason or self._say("saved"), bool(reason))

    # What the learner sees -------------------------------------------------------------------

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

    def __repr__(self) -> str:
        return f"Exercise {self.question.key}"  # constant: a stored text must hold no address

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

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
            self._input = INPUTS[self.question.kind](self.item, self.check)
            self._input_box.children = (self._input.widget,)
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
        return result

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

    # Laying out ------------------------------------------------------------------------------

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
        self.check_button = self._button("check", self.check)
        self.check_button.add_class("lk-primary")
        self.hint_button = self._button("hint", self.hint)
        self.not_known_button = self._button("not_known", self.not_known)
        self.solution_button = self._button("solution", self.show_solution)
        self.new_button = self._button("new_numbers", self.new_numbers)
        self.save_button = self._button("save_again", self.save_again)
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
        parts = [blocks["prompt"], self._input_box, buttons, self._result_box, blocks["hints"]]
        parts += [blocks["solution"], unsaved, self._errors.widget, blocks["numbers"]]
        self.widget = ipywidgets.VBox(parts)
        for name in ("lk-panel", "lk-x"):
            self.widget.add_class(name)
        if self.context.presentation:
            self.widget.add_class("lk-large")

    def _button(self, name: str, act: Any) -> ipywidgets.Button:
        button = ipywidgets.Button(description=self._say(name))
        button.on_click(lambda _: act())
        return button


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
_STATUS_CLASSES = tuple(f"lk-x-{status}" for status in STATUSES)
