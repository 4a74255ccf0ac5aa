"""Self-check of notebook 02: reads the card's figures, rolls, judges a set run, answers."""


def run(lesson) -> str:
    """Read the figures for the entry, roll, judge feet, answer, and return what is said.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
    """
    said = [f"{row[0]}: {row[1]}" for row in lesson.panel("entry_figures").rows[:2]]
    said += _rolled(lesson)
    said.append(_late_feet(lesson))
    said.append(_answered(lesson))
    return "\n".join(said).replace("\u00a0", " ")


def _rolled(lesson) -> list[str]:
    """Roll right with still feet, then with the pedal, and meet an error."""
    panel = lesson.panel("roll_in_bench")
    panel.skip_prediction()
    panel.control("aileron").slide(0.5)
    panel.settle()
    said = [panel.sentence]
    still = panel.result.swing_deg
    assert still > 0.5, "with still feet the nose goes left first"
    panel.control("rudder").slide(0.4)
    panel.settle()
    assert panel.result.swing_deg < 0.5 * still, "the pedal takes the swing out"
    panel.control("rudder").type("a lot")
    said.append(panel.control("rudder").error)
    panel.control("rudder").slide(0.0)
    panel.settle()
    assert abs(panel.result.swing_deg - still) < 1e-9, "the same controls give the same motion"
    assert panel.last_error is None
    return said


def _late_feet(lesson) -> str:
    """Set feet of the right amount that come late, and return what they are told."""
    panel = lesson.panel("rolls_by_hand")
    panel.skip_prediction()
    for side in ("left", "right"):
        panel.control(side).slide(1.0)
    panel.control("late").slide(0.4)
    panel.settle()
    assert panel.last_error is None
    return panel.sentence


def _answered(lesson) -> str:
    """Answer an exercise wrong and right."""
    exercise = lesson.exercise("ball_in_turn")
    item = exercise.item
    exercise.give("25°")
    assert exercise.result.status == "incorrect", exercise.result
    exercise.give(item.written(item.answer))
    assert exercise.result.status == "correct", exercise.result
    return exercise.result.message
