"""What the panels of this lesson have in common: the view ahead, a slider, the words of sides."""

from lessonkit.panels import NumberControl
from lessonkit.scenes import OutsideView, SceneAxes
from lessonkit.words import say


def outside_view(context, axes: str = "outside") -> OutsideView:
    """Return the view ahead from the learner's airplane, in axes of that name."""
    return OutsideView(
        axes,
        nose_cutoff_deg=context.airplane.nose_cutoff_deg,
        preferences=context.preferences,
        prefix=f"{axes}_",
    )


def causes_axes(context, words: str, count: int, reach: float) -> SceneAxes:
    """Return axes for bars, one a cause of yaw, from the top; `reach` in shares of full pedal."""
    return SceneAxes(
        "causes",
        x=(-reach, reach),
        y=(count - 0.4, -0.6),
        x_label=say(f"{words}.axis.causes_x", preferences=context.preferences),
        y_label=say(f"{words}.axis.causes", preferences=context.preferences),
        x_unit=0.01,
        y_numbers=False,
    )


def number(context, words: str, key: str, value: float, place, named: bool = False):
    """Return a slider of a panel.

    Parameters
    ----------
    context : LessonContext
    words, key : str
        Where its label stands (``words.control.key``), and under which key its value.
    value : float
        At the start. [SI]
    place : tuple
        Kind of quantity, lowest, highest value and step. [SI]
    named : bool
        Its label begins no sentence: a short name stands in ``words.short.key``.
    """
    kind, low, high, step = place
    preferences = context.preferences
    return NumberControl(
        key,
        say(f"{words}.control.{key}", preferences=preferences),
        kind,
        value=value,
        low=low,
        high=high,
        step=step,
        preferences=preferences,
        name=say(f"{words}.short.{key}", preferences=preferences) if named else None,
    )


def side_of(value: float, context) -> str:
    """Return "left" or "right" in the learner's language, + right."""
    return side_name("right" if value > 0.0 else "left", context)


def side_name(side: str, context) -> str:
    """Return the word for "left" or "right" in the learner's language."""
    return say(f"coordination.side.{side}", preferences=context.preferences)
