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
    return "\n".join(said).replace("\u00a0", " ")
