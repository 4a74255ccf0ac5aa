"""The kinds "mark", "set" and "judge" on the sample questions: checks, slips, what is refused."""

import dataclasses
import math

import pytest
import sample_questions as samples

import lessonkit.words.sentences as sentences
from lessonkit.exercises import (
    Aspect,
    Mark,
    Misconception,
    Setting,
    Tolerance,
    check,
    kind_of,
    problems_of,
    vary,
)
from lessonkit.units import m_from_ft, m_from_nm
from lessonkit.words import Preferences

PLAIN = Preferences()
COMMA = Preferences(speed_unit="mph", decimal_mark=",")


@pytest.fixture(autouse=True)
def sample_texts(tmp_path, monkeypatch):
    """Put the samples' texts beside the real ones, for one test."""
    (tmp_path / "en").mkdir()
    for file in (sentences.FOLDER / "en").glob("*.toml"):
        (tmp_path / "en" / file.name).write_text(file.read_text(encoding="utf-8"), "utf-8")
    (tmp_path / "en" / "sample.toml").write_text(samples.TEXTS, "utf-8")
    monkeypatch.setattr(sentences, "FOLDER", tmp_path)
    sentences._flat.cache_clear()
    yield tmp_path / "en" / "sample.toml"
    sentences._flat.cache_clear()


def item_of(question, preferences=PLAIN, **wanted):
    """Return an item with wanted values."""
    for seed in range(400):
        item = vary(question, samples.AIRPLANE, seed, preferences)
        if all(item.values[key] == pytest.approx(value) for key, value in wanted.items()):
            return item
    raise AssertionError(f"no seed gives {wanted}")


def mark_item(preferences=PLAIN, **changes):
    question = dataclasses.replace(samples.MARK, **changes)
    return item_of(question, preferences, distance=m_from_nm(0.6))


def set_item(preferences=PLAIN, **changes):
    question = dataclasses.replace(samples.SET, **changes)
    return item_of(question, preferences, distance=m_from_nm(1.2))


def judge_item(height_ft=900.0, distance_nm=0.6, question=samples.JUDGE):
    return item_of(question, height=m_from_ft(height_ft), distance=m_from_nm(distance_nm))


@pytest.mark.parametrize("question", samples.QUESTIONS, ids=lambda q: q.kind)
def test_samples_are_sound(question):
    assert problems_of(question, [samples.AIRPLANE], range(30)) == []


@pytest.mark.parametrize("question", samples.QUESTIONS, ids=lambda q: q.kind)
@pytest.mark.parametrize("preferences", [PLAIN, COMMA], ids=["point", "comma"])
def test_what_is_written_can_be_typed(question, preferences):
    for seed in range(20):
        item = vary(question, samples.AIRPLANE, seed, preferences)
        kind = kind_of(question)
        right = kind.right(item)
        assert check(item, right).status == "correct"
        assert check(item, kind.written(item, right)).status == "correct"
        for misconception in question.misconceptions:
            wrong = kind.wrong(item, misconception)
            if wrong is not None:
                for answer in (wrong, kind.written(item, wrong)):
                    result = check(item, answer)
                    assert (result.status, result.reply) == ("incorrect", misconception.key)
        assert check(item, {}).status == "not_attempted"
        assert check(item, "I don't know").reply == "not_known"


@pytest.mark.parametrize("question", samples.QUESTIONS, ids=lambda q: q.kind)
@pytest.mark.parametrize("answer", ["about there", "1; 2; 3", 7.0, {"z": 1.0}, "x; y", ["x"]])
def test_what_cannot_be_read_is_no_attempt(question, answer):
    item = vary(question, samples.AIRPLANE, 1)
    result = check(item, answer)
    assert result.status == "unchecked" and result.reply == "unreadable"
    assert result.message.count(".") <= 2 and len(result.next_step) > 20


# Mark --------------------------------------------------------------------------------------------


def test_mark_written_with_the_signs_and_units_of_the_axes():
    item = mark_item()
    written = item.written(item.answer).replace("\u00a0", " ")
    # 150 m are 0.081 nm; left traffic lies at y < 0 and counts from zero upward.
    assert written == "Along the runway: 0.081 nm; Beside the runway: 0.600 nm"
    comma = mark_item(COMMA)
    assert "0,600" in comma.written(comma.answer)


def test_mark_edges_in_every_direction():
    item = mark_item()
    x, y = item.answer
    within, close = 60.0, 150.0
    for turn in range(0, 360, 30):
        cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        found = [
            check(item, (x + far * cos, y + far * sin)).status
            for far in (0.0, within - 0.01, within + 0.01, close - 0.01, close + 0.01)
        ]
        assert found == ["correct", "correct", "close", "close", "incorrect"], turn


def test_mark_says_which_way_on_the_page():
    item = mark_item()
    x, y = item.answer
    # The plan view has y downward: a place nearer the runway is lower on the page.
    assert "up from there" in check(item, (x, y + 400.0)).message
    assert "down from there" in check(item, (x, y - 250.0)).message
    assert "to the right from there" in check(item, (x - 400.0, y)).message
    assert "to the left from there" in check(item, (x + 300.0, y)).message
    assert "to the right and up" in check(item, (x - 300.0, y + 300.0)).message
    close = check(item, (x - 100.0, y))
    assert close.status == "close" and "to the right" in close.message


def test_mark_slips_of_axes_and_sides():
    def there(airplane, values):
        return (-1000.0, -300.0)

    # Swapped on an axis that counts the other way: shown are (-1000, 300).
    item = mark_item(answer=there, mark=Mark(start=lambda a, v: (1500.0, -300.0)))
    assert check(item, (300.0, 1000.0 * 1.0)).status == "incorrect"
    swapped = check(item, (1000.0, -300.0))
    assert (swapped.status, swapped.reply) == ("incorrect", "other_side")
    assert "Along the runway" in swapped.message
    wrong_side = check(item, (-1000.0, 300.0))
    assert wrong_side.reply == "other_side" and "Beside the runway" in wrong_side.message
    item = mark_item(
        answer=lambda a, v: (1000.0, -300.0), mark=Mark(start=lambda a, v: (-1500.0, -300.0))
    )
    assert check(item, (300.0, -1000.0)).reply == "swapped"
    # A place and its mirror that are the same cannot be told apart.
    item = mark_item(
        answer=lambda a, v: (1000.0, -40.0), mark=Mark(start=lambda a, v: (-1500.0, -300.0))
    )
    assert check(item, (1000.0, 40.0)).status == "close"


def test_mark_along_one_direction_leaves_the_other_free():
    item = mark_item(mark=Mark(start=lambda a, v: (-1500.0, -900.0), along="x"))
    assert check(item, 150.0).status == "correct"
    assert check(item, (150.0, 300.0)).status == "correct"
    assert check(item, "0.081 nm").status == "correct"
    assert "Beside" not in item.written(item.answer)
    assert check(item, (700.0, -1111.0)).status == "incorrect"


def test_mark_weighs_height_more():
    mark = dataclasses.replace(samples.MARK.mark, y_weight=5.0)
    item = mark_item(mark=mark)
    x, y = item.answer
    assert check(item, (x, y + 11.9)).status == "correct"
    assert check(item, (x, y + 12.1)).status == "close"
    assert check(item, (x + 59.0, y)).status == "correct"


def test_mark_outside_of_the_picture_is_refused_when_typed():
    result = check(mark_item(), "3 nm; 0.6 nm")
    assert result.status == "unchecked" and "Along the runway" in result.message


BROKEN_MARKS = {
    "outside": ({"answer": lambda a, v: (5000.0, 0.0)}, "outside of the picture"),
    "no place": ({"answer": lambda a, v: (5.0, math.nan)}, "no pair"),
    "at the start": ({"mark": Mark(start=lambda a, v: (150.0, -v["distance"]))}, "the start"),
    "no picture": ({"picture": None}, "needs picture"),
    "no mark": ({"mark": None}, "needs mark"),
    "tolerance": ({"tolerance": Tolerance(60.0, 60.0)}, "close band"),
    "one misconception": ({"misconceptions": samples.MARK.misconceptions[:1]}, "at least two"),
    "right misconception": (
        {
            "misconceptions": (
                Misconception("far_end", lambda a, v: (150.0, -v["distance"])),
                samples.MARK.misconceptions[1],
            )
        },
        "at the right place",
    ),
}


@pytest.mark.parametrize("name", BROKEN_MARKS)
def test_validation_of_marks(name):
    changes, words = BROKEN_MARKS[name]
    broken = dataclasses.replace(samples.MARK, **changes)
    problems = problems_of(broken, [samples.AIRPLANE], range(3))
    assert any(words in problem for problem in problems), problems


# Set ---------------------------------------------------------------------------------------------


def height_for(item, outcome, delay=3.0):
    """Return settings that lead to an outcome: distance is ratio times height left."""
    return {"height": outcome / samples.RATIO + samples.SINK * delay, "delay": delay}


def test_set_edges():
    item = set_item()
    within, close = m_from_nm(0.03), m_from_nm(0.1)
    for side, word in ((1.0, "more"), (-1.0, "less")):
        found = []
        for off in (0.0, within - 0.01, within + 0.01, close - 0.01, close + 0.01):
            found.append(check(item, height_for(item, item.answer + side * off)))
        statuses = [result.status for result in found]
        assert statuses == ["correct", "correct", "close", "close", "incorrect"]
        assert f"little {word} than" in found[2].message


def test_set_says_direction():
    item = set_item()
    start = item.question.outcome(None, item.values, {"height": m_from_ft(300.0), "delay": 0.0})
    little = check(item, height_for(item, 0.5 * (start + item.answer)))
    much = check(item, height_for(item, 1.5 * item.answer))
    wrong = check(item, height_for(item, start - 100.0))
    assert [r.reply for r in (little, much, wrong)] == ["too_little", "too_much", "wrong_way"]
    assert "not far enough" in little.message and "too far" in much.message
    assert all("1.20 nm" in r.message.replace("\u00a0", " ") for r in (little, much, wrong))


def test_set_the_right_end_by_the_wrong_means():
    item = set_item()
    settings = height_for(item, item.answer, delay=0.0)
    result = check(item, settings)
    assert (result.status, result.reply) == ("incorrect", "no_delay")
    allowed = [dataclasses.replace(m, despite=False) for m in samples.SET.misconceptions]
    assert check(set_item(misconceptions=tuple(allowed)), settings).status == "correct"


def test_set_without_a_result():
    item = set_item(outcome=lambda a, v, settings: math.nan, misconceptions=())
    result = check(item, height_for(item, item.answer))
    assert (result.status, result.reply) == ("incorrect", "no_outcome")


def test_set_solution_names_the_settings():
    item = set_item()
    solution = item.solution.replace("\u00a0", " ")
    # 1.2 nm at 9 : 1 are 246.9 m, and 4 s at 3.5 m/s are 14 m: 856 ft.
    assert "1.20 nm: Height: 856 ft; Delay: 4 s" in solution
    assert "delay of 4 s" in solution


def test_set_ranges_may_depend_on_the_airplane():
    def settings(airplane, values):
        return (
            Setting("height", "height", 50.0, 60.0, 1.0, start=55.0),
            samples.SET.settings[1],
        )

    item = set_item(settings=settings)
    assert check(item, "300 ft; 4 s").status == "unchecked"


BROKEN_SETS = {
    "reference": ({"reference": lambda a, v: {"height": 400.0, "delay": 4.0}}, "reach the answer"),
    "reference outside": ({"reference": lambda a, v: {"height": 4e3, "delay": 4.0}}, "its range"),
    "reference incomplete": ({"reference": lambda a, v: {"height": 400.0}}, "Error"),
    "no outcome": ({"outcome": None}, "needs outcome"),
    "example": (
        {
            "misconceptions": (
                dataclasses.replace(
                    samples.SET.misconceptions[0],
                    example=lambda a, v: {"height": 100.0, "delay": 2.0},
                ),
                samples.SET.misconceptions[1],
            )
        },
        "does not show",
    ),
    "no example": (
        {
            "misconceptions": (
                dataclasses.replace(samples.SET.misconceptions[0], example=None),
                samples.SET.misconceptions[1],
            )
        },
        "needs an example",
    ),
}


@pytest.mark.parametrize("name", BROKEN_SETS)
def test_validation_of_settings(name):
    changes, words = BROKEN_SETS[name]
    broken = dataclasses.replace(samples.SET, **changes)
    problems = problems_of(broken, [samples.AIRPLANE], range(3))
    assert any(words in problem for problem in problems), problems


def test_settings_nearly_right_at_the_start_are_found():
    near = dataclasses.replace(samples.SET.settings[0], start=m_from_nm(1.2) / samples.RATIO)
    item = set_item()
    question = dataclasses.replace(samples.SET, settings=(near, samples.SET.settings[1]))
    item = dataclasses.replace(item, question=question)
    assert any("nearly right" in problem for problem in kind_of(question).problems(item))
    # Such numbers are drawn again.
    drawn = {vary(question, samples.AIRPLANE, seed).values["distance"] for seed in range(60)}
    assert not any(value == pytest.approx(m_from_nm(1.2)) for value in drawn) and len(drawn) == 4


# Judge -------------------------------------------------------------------------------------------


def test_judge_says_which_aspect_and_why():
    item = judge_item(900.0, 0.7)
    assert item.answer == {"height": "low", "distance": "wide"}
    result = check(item, {"height": "high", "distance": "wide"})
    assert result.status == "incorrect" and result.reply == ""
    assert "1 of 2" in result.message and "Height abeam: The side view shows" in result.message
    assert "Distance" not in result.message
    known = check(item, {"height": "as_planned", "distance": "wide"})
    assert known.reply == "looks_right" and "looks like the planned one" in known.message
    both = check(item, {"height": "high", "distance": "tight"})
    assert "0 of 2" in both.message
    assert "Height abeam" in both.message and "Distance abeam" in both.message


def test_judge_takes_keys_letters_and_texts():
    item = judge_item(900.0, 0.7)
    for said in (
        ["low", "wide"],
        "a; c",
        "Too low; Too wide",
        "Distance abeam: too wide; Height abeam: A.",
    ):
        assert check(item, said).status == "correct", said


def test_judge_names_what_is_not_judged_yet():
    result = check(judge_item(), {"height": "low"})
    assert result.status == "unchecked" and result.message == "Not judged yet: Distance abeam."


def test_judge_one_of_three_wrong_is_close():
    third = Aspect("flaps", ("early", "late"))
    question = dataclasses.replace(
        samples.JUDGE,
        aspects=(*samples.JUDGE.aspects, third),
        answer=lambda a, v: {**samples.JUDGE.answer(a, v), "flaps": "late"},
    )
    texts = dict(sentences._flat("en", "sample"))
    texts |= {
        "sample.exercise.abeam_judged.aspect.flaps": "Flaps",
        "sample.exercise.abeam_judged.option.early": "Early",
        "sample.exercise.abeam_judged.option.late": "Late",
        "sample.exercise.abeam_judged.why.flaps": "They came late.",
    }
    real = sentences._flat

    def flat(language, file):
        return texts if file == "sample" else real(language, file)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            sentences,
            "_flat",
            lambda language, file: texts if file == "sample" else real(language, file),
        )
        item = judge_item(question=question)
        assert item.answer["flaps"] == "late"
        nearly = check(item, {**item.answer, "flaps": "early"})
        assert nearly.status == "close" and "They came late." in nearly.message
        two = check(item, {**item.answer, "flaps": "early", "height": "high"})
        assert two.status == "incorrect"


BROKEN_JUDGEMENTS = {
    "answer": ({"answer": lambda a, v: {"height": "low"}}, "each aspect"),
    "option": ({"answer": lambda a, v: {"height": "steep", "distance": "wide"}}, "no option"),
    "misconception": (
        {
            "misconceptions": (
                Misconception("looks_right", ("height", "wide")),
                samples.JUDGE.misconceptions[1],
            )
        },
        "no option of an aspect",
    ),
    "one": ({"misconceptions": samples.JUDGE.misconceptions[:1]}, "two misconceptions"),
    "one aspect": ({"aspects": samples.JUDGE.aspects[:1]}, "two or more aspects"),
    "text": (
        {"aspects": (Aspect("height", ("low", "flat")), samples.JUDGE.aspects[1])},
        "option.flat is missing",
    ),
}


@pytest.mark.parametrize("name", BROKEN_JUDGEMENTS)
def test_validation_of_judgements(name):
    changes, words = BROKEN_JUDGEMENTS[name]
    broken = dataclasses.replace(samples.JUDGE, **changes)
    problems = problems_of(broken, [samples.AIRPLANE], range(3))
    assert any(words in problem for problem in problems), problems


def test_a_picture_text_that_is_missing_is_found(sample_texts):
    text = samples.TEXTS.replace('aiming_point = "point"\n', "")
    sample_texts.write_text(text, "utf-8")
    sentences._flat.cache_clear()
    problems = problems_of(samples.MARK, [samples.AIRPLANE], [1])
    assert any("aiming_point" in problem for problem in problems)


def test_a_title_is_asked_for(sample_texts):
    sample_texts.write_text(samples.TEXTS.replace('title = "Abeam the point"\n', ""), "utf-8")
    sentences._flat.cache_clear()
    assert "the text title is missing" in problems_of(samples.MARK, [samples.AIRPLANE], [1])


def test_a_solution_may_name_the_place_by_its_numbers(sample_texts):
    by_numbers = samples.TEXTS.replace(
        "beside it: {answer}.", "beside it, {answer_x} and {answer_y}."
    )
    nothing = samples.TEXTS.replace("beside it: {answer}.", "beside it.")
    for text, found in ((by_numbers, []), (nothing, ["the solution does not end in the answer"])):
        sample_texts.write_text(text, "utf-8")
        sentences._flat.cache_clear()
        assert problems_of(samples.MARK, [samples.AIRPLANE], [1]) == found
