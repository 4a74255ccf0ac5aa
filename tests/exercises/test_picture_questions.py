"""The kinds "mark", "set" and "judge" on the sample questions."""

import sample_questions as samples

from lessonkit.exercises.picture import Picture


def test_samples_hold_together():
    for question in samples.QUESTIONS:
        values = {variable.name: variable.low for variable in question.variables}
        answer = question.answer(samples.AIRPLANE, values)
        if question.kind == "set":
            settings = question.reference(samples.AIRPLANE, values)
            outcome = question.outcome(samples.AIRPLANE, values, settings)
            assert abs(outcome - answer) < question.tolerance.within
            assert isinstance(question.picture(samples.AIRPLANE, values, settings), Picture)
        else:
            picture = question.picture(samples.AIRPLANE, values)
            assert picture.text_keys()[0] == "alt"
