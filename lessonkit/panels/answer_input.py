"""What every place for an answer has."""

from typing import Any

import ipywidgets

from lessonkit.scenes import Scene


class AnswerInput:
    """One place for an answer: its widget, its picture if it has one, and what is answered.

    Attributes
    ----------
    widget : Widget
        What stands on the page.
    scene : Scene or None
        The picture in it.
    answer : object
        What is typed, chosen, set or marked; empty until the learner has done so. May be set.
    """

    widget: ipywidgets.Widget
    scene: Scene | None = None
    answer: Any

    def reveal(self) -> None:
        """Show the right answer in the picture, where there is something to show."""
