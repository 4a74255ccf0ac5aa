"""An open lesson: its panels and exercises, and the line that says which airplane they use."""

import importlib
from collections.abc import Callable
from typing import Any

import ipywidgets

from lessonkit.airplane import built_in_airfield, fit_airplane
from lessonkit.app.desk import Desk
from lessonkit.panels import LessonContext, caution_block
from lessonkit.panels.forms import TextBlock, style_block
from lessonkit.words import say, show


class UnknownPart(Exception):
    """A lesson, panel or exercise that there is not; the message is one sentence."""

    def _render_traceback_(self) -> list[str]:
        """Show the sentence alone in a notebook, without the program's own lines."""
        return [str(self)]


class Slot:
    """The place of one panel on the page: keeps its place when the airplane changes.

    Whatever is asked of it, the panel that stands in it at this moment answers.

    Parameters
    ----------
    build : callable
        Makes the panel for the lesson's context.
    """

    def __init__(self, build: Callable[[], Any]):
        self._build = build
        self._box = ipywidgets.VBox()
        self.rebuild()

    def rebuild(self) -> None:
        """Make the panel anew."""
        self.shown = self._build()
        self._box.children = (self.shown.widget,)

    def __getattr__(self, name: str) -> Any:
        if name == "shown":  # not built: its building failed
            raise AttributeError(name)
        return getattr(self.shown, name)

    def __repr__(self) -> str:
        return repr(self.shown)

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self._box._repr_mimebundle_(**options)


class Lesson:
    """One open lesson.

    Parameters
    ----------
    key : str
        Name of its notebook without the ending.
    package : str
        Full name of its package, such as "lessonkit.lessons.power_off_approach".
    desk : Desk
        The learner's choices and cards.
    """

    def __init__(self, key: str, package: str, desk: Desk):
        self.key = key
        self._package = package
        self._desk = desk
        self._slots: list[Slot] = []
        self._following: list[Slot] = []
        self._airplane_line = TextBlock("plain")
        self._news = TextBlock("note")
        self.context = self._read()
        desk.on_change(self._chosen_here)

    def __repr__(self) -> str:
        return f"Lesson {self.key}"  # constant: a stored text must not hold an address

    @property
    def airplane_line(self) -> str:
        """Which airplane the lesson uses, in one line."""
        return self._airplane_line.text

    @property
    def news(self) -> str:
        """What the learner should know about settings and cards; empty if nothing."""
        return self._news.text

    def caution(self) -> "Header":
        """Return the top of the lesson: the caution, and the airplane in use with a refresh."""
        return Header(self, self._airplane_line, self._news)

    def panel(self, key: str) -> Slot:
        """Return a panel of this lesson.

        Raises
        ------
        UnknownPart
            One sentence with the known panels.
        """
        panels = self._module("panels").PANELS
        if key not in panels:
            raise UnknownPart(self._unknown("unknown_panel", key, panels))
        follows = getattr(panels[key], "follows_card", False)
        return self._slot(lambda: panels[key](self.context), follows)

    def exercise(self, key: str) -> Slot:
        """Return one exercise of this lesson.

        Raises
        ------
        UnknownPart
            One sentence with the known exercises.
        """
        questions = {question.key: question for question in self._questions()}
        if key not in questions:
            raise UnknownPart(self._unknown("unknown_exercise", key, questions))
        return self._slot(lambda: self._question_panel(questions[key]), follows=True)

    def exercises(self) -> Slot:
        """Return the exercises of this lesson: one at a time, with a list of all."""
        from lessonkit.panels.deck import ExerciseDeck

        return self._slot(lambda: ExerciseDeck(self.context, self._questions()), follows=True)

    def review(self) -> Slot:
        """Return the review: what is due of all lessons, whichever of them is open."""
        from lessonkit.panels.review import ReviewPanel

        lessons = self._desk.lesson_questions()
        return self._slot(lambda: ReviewPanel(lambda: self.context, lessons))

    def prints(self) -> Slot:
        """Return the prints: numbers page, kneeboard card, exercise sheet and key."""
        from lessonkit.app.print_panel import PrintPanel

        return self._slot(lambda: PrintPanel(lambda: self.context, self._questions()))

    def refresh(self) -> bool:
        """Take over what another notebook has chosen; return whether anything changed."""
        before = self.context
        self.context = self._read()
        if _same(before, self.context):
            return False
        for slot in self._slots:
            slot.rebuild()
        return True

    def _slot(self, build, follows=False):
        """Make the place of a panel; `follows`: built anew when this page chooses an airplane."""
        slot = Slot(build)
        self._slots.append(slot)
        if follows:
            self._following.append(slot)
        return slot

    def _module(self, name):
        return importlib.import_module(f"{self._package}.{name}")

    def _questions(self):
        return self._module("exercises").QUESTIONS

    def _question_panel(self, question):
        from lessonkit.panels.question import QuestionPanel

        return QuestionPanel(self.context, question)

    def _unknown(self, sentence, key, known):
        names = ", ".join(known) or say("home.lesson.none")
        return say(f"home.lesson.{sentence}", lesson=self.key, key=key, known=names)

    def _read(self) -> LessonContext:
        """Read choices and card anew; say on top what is wrong with them."""
        settings = self._desk.settings()
        card, key, messages = self._desk.chosen()
        airplane = fit_airplane(card)
        self._news.tell(messages)
        label = say("home.lesson.label", label=settings.label) if settings.label else ""
        self._airplane_line.tell(
            say(
                "home.lesson.airplane",
                name=card.name,
                kind=say(f"home.lesson.{'own' if key.startswith('own:') else 'invented'}"),
                mass=show(airplane.mass_today, "mass", settings.preferences),
                label=label,
            )
        )
        return LessonContext(
            lesson=self.key,
            airplane=airplane,
            airfield=built_in_airfield(),
            preferences=settings.preferences,
            record=self._desk.record(),
            presentation=settings.presentation,
            desk=self._desk,
        )

    def _chosen_here(self):
        """Follow a choice that was made on this page; forms and predictions keep what is typed."""
        before = self.context
        self.context = self._read()
        if not _same(before, self.context):
            for slot in self._following:
                # A panel that is saving the card itself knows it already.
                if not getattr(slot.shown, "saving", False):
                    slot.rebuild()


class Header:
    """The top of a lesson.

    Parameters
    ----------
    lesson : Lesson
    airplane_line, news : TextBlock
        Of the lesson, which keeps them up to date.
    """

    def __init__(self, lesson: Lesson, airplane_line: TextBlock, news: TextBlock):
        self._lesson = lesson
        self.refresh_button = ipywidgets.Button(description=say("home.lesson.refresh"))
        self.refresh_button.on_click(lambda _: self._refresh())
        self.told = TextBlock("good")
        row = ipywidgets.HBox([airplane_line.widget, self.refresh_button])
        row.add_class("lk-f-top")
        self.widget = ipywidgets.VBox(
            [
                style_block(),
                caution_block(lesson.context.preferences),
                row,
                self.told.widget,
                news.widget,
            ]
        )
        for name in ("lk-block", "lk-form"):
            self.widget.add_class(name)

    def _refresh(self):
        key = "refreshed" if self._lesson.refresh() else "same"
        name = self._lesson.context.airplane.card.name
        self.told.tell(say(f"home.lesson.{key}", name=name))

    def __repr__(self) -> str:
        return f"Caution {self._lesson.key}"

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)


def _same(one: LessonContext, other: LessonContext) -> bool:
    return (
        one.airplane.card == other.airplane.card
        and one.preferences == other.preferences
        and one.presentation == other.presentation
        and one.record.label == other.record.label
    )
