"""Self-check of notebook 02: reads the card's figures and answers an exercise."""


def run(lesson) -> str:
    """Read the figures for the entry, answer an exercise, and return what is said.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
    """
    said = [f"{row[0]}: {row[1]}" for row in lesson.panel("entry_figures").rows[:2]]
    said.append(_answered(lesson))
    return "\n".join(said).replace("\u00a0", " ")


def _answered(lesson) -> str:
    """Answer an exercise wrong and right."""
    exercise = lesson.exercise("ball_in_turn")
    item = exercise.item
    exercise.give("25°")
    assert exercise.result.status == "incorrect", exercise.result
    exercise.give(item.written(item.answer))
    assert exercise.result.status == "correct", exercise.result
    return exercise.result.message
