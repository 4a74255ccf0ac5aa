"""The prints by name, for the command line and for the panel of a lesson."""

from collections.abc import Sequence
from dataclasses import dataclass

from lessonkit.airplane import Airplane
from lessonkit.app.shelf import slug_of
from lessonkit.exercises import Question
from lessonkit.prints.exercise_sheet import answer_key, exercise_sheet
from lessonkit.prints.kneeboard import kneeboard_card
from lessonkit.prints.numbers_page import numbers_page
from lessonkit.prints.selection import select
from lessonkit.prints.shell import paper_of
from lessonkit.words import Preferences

NUMBERS, KNEEBOARD, SHEET, KEY = "numbers", "kneeboard", "sheet", "key"
PRINTS = (NUMBERS, KNEEBOARD, SHEET, KEY)
OF_EXERCISES = (SHEET, KEY)


@dataclass(frozen=True)
class PrintChoice:
    """Which print, for whom and on what paper.

    Parameters
    ----------
    what : str
        One of `PRINTS`.
    airplane : Airplane
    preferences : Preferences
        Units, decimal mark, language, usual paper.
    paper : str
        The one of the preferences without it.
    questions : tuple of Question
        Of the lesson, for sheet and key.
    chosen : str
        Numbers of the exercises, such as "1-3, 5"; all of them without any.
    seed : int
        Which set of numbers, for sheet and key.
    """

    what: str
    airplane: Airplane
    preferences: Preferences
    paper: str = ""
    questions: Sequence[Question] = ()
    chosen: str = ""
    seed: int = 1

    @property
    def file_name(self) -> str:
        """Name of the file: letters, digits and dashes only, never a path."""
        parts = [self.what, slug_of(self.airplane.name)]
        if self.what in OF_EXERCISES:
            parts.append(str(self.seed))
        paper = paper_of(self.paper or self.preferences.paper, self.preferences)
        return "-".join([*parts, paper.name.lower()]) + ".html"

    def make(self) -> str:
        """Return the print as a whole HTML text.

        Raises
        ------
        ValueError
            One sentence, for an unknown paper or exercises that there are not.
        """
        if self.what in OF_EXERCISES:
            make = exercise_sheet if self.what == SHEET else answer_key
            questions = select(self.questions, self.chosen, self.preferences)
            return make(questions, self.airplane, self.seed, self.preferences, self.paper)
        if self.what == KNEEBOARD:
            # Here, so that the other prints need not load the flying.
            from lessonkit.lessons.power_off_approach.altitude_flights import usual_practice

            practice, wind = usual_practice(self.airplane)
            return kneeboard_card(self.airplane, practice, self.preferences, self.paper, wind=wind)
        return numbers_page(self.airplane, self.preferences, self.paper)
