"""Self-check of notebook 01: types a card by hand, meets errors, saves it."""

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
    """Type a card with two slips, correct them, save it, and return what the panel says.

    Parameters
    ----------
    lesson : Lesson
        Opened as a trial, so that nothing of the learner's is touched.

    Returns
    -------
    str
    """
    panel = lesson.panel("card")
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
    said += [panel.report.picture.sentence, lesson.airplane_line]
    fitted = lesson.context.airplane
    parameters = fitted.parameters(propeller=fitted.fit.propeller)
    assert abs(parameters.cd0[0] - 0.037) < 0.0005, parameters.cd0
    assert abs(parameters.oswald[0] - 0.72) < 0.01, parameters.oswald
    assert panel.errors.last_error is None and not panel.form.errors()
    # No-break spaces depend on nothing, but are hard to read in a stored text.
    return "\n".join(said).replace("\u00a0", " ")
