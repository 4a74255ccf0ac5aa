"""Self-check of notebook 01: guesses, types a card by hand, saves it, answers exercises."""

# Inputs of the light four-seat trainer of Lowry, Performance of Light Aircraft, example 9.1:
# 2,400 lb, 174 ft2, aspect ratio 7.38 (span 35.83 ft). Its CD0 .037 and e .72 give a best glide of
# 76.2 KTAS at 4,000 ft, which is 71.8 KCAS with the standard density ratio .88809, and a ratio of
# 10.6 (derived from the cited formulas). Stall speeds: a plausible pair, no source.
TRAINER = {
    "airplane.name": "Published trainer",
    "airplane.wing": "high",
    "airspeed.kind": "CAS",
    "weights.max": "2,400",
    "wing.area": "174",
    "wing.span": "35.83",
    "speeds.VS0": "46",
    "speeds.VS1": "52",
    "flaps.settings": "0 10 20 30",
    "glide.speed": "71.8",
    "glide.ratio": "10.6",
}


def run(lesson) -> str:
    """Guess the glide, type a card with two slips, save it, answer three exercises.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
        What the panels say.
    """
    panel = lesson.panel("card")
    lesson.panel("glide_guess").predict("6.5 nm")
    exercise = lesson.exercise("stall_lighter")
    said = []

    def press(button):
        button.click()
        said.append(panel.status.text)

    press(panel.check)
    for control, text in TRAINER.items():
        panel.form.input(control).value = text
    panel.form.input("wing.area").value = "174 kt"
    press(panel.check)
    panel.form.input("wing.area").value = TRAINER["wing.area"]
    panel.form.input("speeds.VS0").value = "56"
    press(panel.check)
    panel.form.input("speeds.VS0").value = TRAINER["speeds.VS0"]
    press(panel.save)
    said += [panel.report.picture.sentence, panel.report.guess.text, lesson.airplane_line]
    assert exercise.item.airplane.name == TRAINER["airplane.name"], "exercises follow the card"
    said.append(_answer(lesson, "stall_lighter"))
    said.append(_answer(lesson, "contradiction"))
    said.append(_answer(lesson, "stall_in_turn", "times_load"))
    fitted = lesson.context.airplane
    parameters = fitted.parameters(propeller=fitted.fit.propeller)
    assert abs(parameters.cd0[0] - 0.037) < 0.0005, parameters.cd0
    assert abs(parameters.oswald[0] - 0.72) < 0.01, parameters.oswald
    assert panel.errors.last_error is None and not panel.form.errors()
    # No-break spaces depend on nothing, but are hard to read in a stored text.
    return "\n".join(said).replace("\u00a0", " ")


def _answer(lesson, key, wrong=None):
    """Answer an exercise as the models do, or by one of its misconceptions; return the reply."""
    panel = lesson.exercise(key)
    item = panel.item
    answer = item.answer if item.question.kind != "number" else item.written(item.answer)
    if wrong is not None:
        answer = item.quantity(dict(item.wrong_numbers)[wrong])
    result = panel.give(answer)
    assert panel.last_error is None
    assert result.status == ("correct" if wrong is None else "incorrect"), result
    assert result.reply == (wrong or ""), result
    return result.message
