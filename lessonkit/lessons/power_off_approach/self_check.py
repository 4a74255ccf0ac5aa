"""Self-check of notebook 07: moves the bench's controls and answers exercises."""

from lessonkit.units import mps_from_kt


def run(lesson) -> str:
    """Move the bench, meet an error, and return what the panel says.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
    """
    panel = lesson.panel("approach_bench")
    panel.skip_prediction()
    panel.settle()
    said = [panel.sentence]
    calm = panel.result.beyond
    assert abs(calm - 30.48) < 3.0, calm  # the start reaches the middle of the window
    panel.control("headwind").slide(mps_from_kt(10.0))
    panel.settle()
    said.append(panel.sentence)
    assert panel.result.beyond < calm - 60.0, "a headwind must shorten the approach"
    panel.control("headwind").type("ten")
    said.append(panel.control("headwind").error)
    panel.reset()
    panel.settle()
    assert abs(panel.result.beyond - calm) < 0.01, "reset brings the start back"
    panel.scene.grab("turn", panel.scene.item("turn")["x"][0] - 60.0, 0.0, "end")
    assert panel.result.beyond < calm, "a later turn lands shorter"
    assert panel.last_error is None
    said.append(_planned(lesson))
    said.append(_answered(lesson))
    return "\n".join(said).replace("\u00a0", " ")


def _planned(lesson) -> str:
    """Plan the turn for ten knots of headwind and fly it."""
    panel = lesson.panel("plan_it")
    panel.skip_prediction()
    panel.control("headwind").slide(mps_from_kt(10.0))
    panel.settle()
    assert panel.last_error is None
    assert abs(panel.result.flight.beyond - panel.values["beyond"]) < 3.0
    return panel.sentence


def _answered(lesson) -> str:
    """Answer an exercise wrong and right."""
    exercise = lesson.exercise("slip_worth")
    item = exercise.item
    exercise.give("12 nm")
    assert exercise.result.status == "incorrect", exercise.result
    exercise.give(item.written(item.answer))
    assert exercise.result.status == "correct", exercise.result
    return exercise.result.message
