"""The learner's guess of the glide, before the card is typed; shown again beside the fit."""

from lessonkit.airplane import Airplane
from lessonkit.models.glide_distance import still_air_glide
from lessonkit.panels import Panel, Prediction
from lessonkit.records import RecordError
from lessonkit.units import m_from_ft, m_from_nm
from lessonkit.words import Preferences, say, show

KEY = "glide_guess"
HEIGHT = m_from_ft(3000.0)
FARTHEST = m_from_nm(30.0)
ABOUT_RIGHT = m_from_nm(0.15)


def glide_guess(context) -> Panel:
    """Return the panel that asks for the guess and records it.

    Parameters
    ----------
    context : LessonContext

    Returns
    -------
    Panel
        It shows no result: the learner's own card is still to be typed.
    """
    preferences = context.preferences
    height = show(HEIGHT, "height", preferences)
    panel = Panel(
        context,
        KEY,
        compute=lambda values: None,
        draw=lambda scene, result, values: say(
            "airplane_card.guess.waiting", preferences=preferences, height=height
        ),
        prediction=Prediction(
            say("airplane_card.guess.question", preferences=preferences, height=height),
            kind="distance_nm",
            low=0.0,
            high=FARTHEST,
        ),
    )
    panel.reset_button.layout.display = "none"  # there is nothing to reset
    return panel


def guess_sentence(airplane: Airplane, preferences: Preferences, record: object) -> str:
    """Return how far the airplane glides from the height of the guess, beside the guess.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences
    record : EventStore or None
        Where the guess was recorded.

    Returns
    -------
    str
        One or two sentences.
    """
    distance = float(still_air_glide(airplane.best_glide_ratio(), HEIGHT))
    told = say(
        "airplane_card.guess.computed",
        preferences=preferences,
        height=show(HEIGHT, "height", preferences),
        distance=show(distance, "distance_nm", preferences),
    )
    try:
        guess = _last_guess(record)
    except RecordError as error:
        return f"{told} {error}"
    if guess is None:
        return told
    name = "near" if abs(guess - distance) <= ABOUT_RIGHT else "far"
    if guess < distance and name == "far":
        name = "short"
    beside = say(
        f"airplane_card.guess.{name}",
        preferences=preferences,
        guess=show(guess, "distance_nm", preferences),
        off=show(abs(guess - distance), "distance_nm", preferences),
    )
    return f"{told} {beside}"


def _last_guess(record):
    """Return the guess that was recorded last, in metres, or None."""
    if record is None:
        return None
    for event in reversed(record.read().events):
        answer = event.data.get("answer")
        if event.kind == "prediction" and event.data.get("panel") == KEY:
            return float(answer) if isinstance(answer, int | float) else None
    return None
