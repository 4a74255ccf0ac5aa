"""The prints by name, for the command line and for the panel of a lesson."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lessonkit.airplane import Airplane, built_in_airfield
from lessonkit.app.shelf import slug_of
from lessonkit.exercises import Question
from lessonkit.models.altitude_practice import (
    AltitudePractice,
    lowest_line_altitude,
    practice_at_altitude,
)
from lessonkit.models.wind_profile import Wind
from lessonkit.panels.context import LessonContext
from lessonkit.prints.exercise_sheet import answer_key, exercise_sheet
from lessonkit.prints.kneeboard import kneeboard_card
from lessonkit.prints.numbers_page import numbers_page
from lessonkit.prints.selection import select
from lessonkit.prints.shell import paper_of
from lessonkit.units import ft_from_m, m_from_ft
from lessonkit.words import Preferences

NUMBERS, KNEEBOARD, SHEET, KEY = "numbers", "kneeboard", "sheet", "key"
PRINTS = (NUMBERS, KNEEBOARD, SHEET, KEY)
OF_EXERCISES = (SHEET, KEY)
ROUND_FT = 500.0  # the imaginary runway lies at a round altitude


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
            practice, wind = usual_practice(self.airplane)
            return kneeboard_card(self.airplane, practice, self.preferences, self.paper, wind=wind)
        return numbers_page(self.airplane, self.preferences, self.paper)


def usual_practice(airplane: Airplane) -> tuple[AltitudePractice, Wind]:
    """Return the practice at altitude as the approach bench starts: still air, its own plan.

    Parameters
    ----------
    airplane : Airplane

    Returns
    -------
    practice : AltitudePractice
        Over the built-in airfield's ground, along its runway's heading, at the lowest round
        altitude that keeps the usual floor.
    wind : Wind
        What it was computed with.
    """
    from lessonkit.lessons.power_off_approach.flights import Bench

    airfield = built_in_airfield()
    bench = Bench(LessonContext(lesson="", airplane=airplane, airfield=airfield))
    wind = bench.wind(bench.start)
    lowest = lowest_line_altitude(airfield.elevation)
    line = m_from_ft(ROUND_FT * math.ceil(ft_from_m(lowest) / ROUND_FT))
    practice = practice_at_altitude(
        bench.plan(bench.start),
        airplane.parameters(),
        wind,
        line,
        airfield.elevation,
        airfield.heading_deg,
    )
    return practice, wind
