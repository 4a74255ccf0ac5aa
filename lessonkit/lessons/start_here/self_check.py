"""Self-check of notebook 00: makes each choice once, looks at review and record."""


def run(lesson) -> str:
    """Move every control of the start panel and return what the page says.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
    """
    panel = lesson.panel("start")
    keys = [key for _, key in panel.airplane.options]
    said = []
    for key in keys:
        panel.airplane.value = key
        said.append(panel.airplane_line.text)
    panel.speed_unit.value, panel.mass_unit.value, panel.decimal_mark.value = "mph", "kg", ","
    said.append(panel.units_line.text)
    panel.label.value = " student 3 "
    said.append(panel.label_line.text)
    panel.large.value = True
    said.append(panel.projector_line.text)
    said.append(lesson.airplane_line)
    said.append(lesson.review().text)
    record = lesson.panel("record")
    assert len(keys) == len(set(keys)) == 3
    assert not panel.trouble.text and panel.errors.last_error is None
    assert record.errors.last_error is None and "“student 3”" in record.text
    # The rows grow with the lessons; of a new record each is empty.
    assert record.table.rows and all(row[2:] == ["0"] * 4 for row in record.table.rows)
    settings = lesson.context.preferences
    assert (settings.speed_unit, settings.mass_unit, settings.decimal_mark) == ("mph", "kg", ",")
    return "\n".join(said)
