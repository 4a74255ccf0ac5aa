"""What holds for the questions of the lessons beyond right and wrong, and sums done another way.

Right, blank, wrong, misconceptions and edges stand in ``test_every_question.py``.
"""

import functools
import math

import pytest
from every_question import AIRPLANES, OTHER, PLAIN, QUESTIONS, all_questions, named

from lessonkit.airplane.airplane import fit_airplane
from lessonkit.airplane.card import Card
from lessonkit.exercises import LEVELS, check, problems_of, vary
from lessonkit.units import (
    ft_from_m,
    kt_from_mps,
    m_from_nm,
    nm_from_m,
)

SEEDS = range(12)
POWER_OFF = {q.key: q for q in QUESTIONS if q.lesson == "power_off_approach"}
ORIGINALS = {q.record_key: q for q in all_questions()}
# Those whose exercises are complete.
LESSONS = ("airplane_card", "coordination", "power_off_approach")


@functools.cache
def items(question, preferences=PLAIN):
    """Return a dozen items, the cards in turn."""
    return [vary(question, AIRPLANES[seed % 4], seed, preferences) for seed in SEEDS]


# For each asked quantity: its unit, the same in SI, and a unit a thousand or 3.6 times larger.
UNITS = {
    "distance_nm": ("nm", "m", "km", 1000.0),
    "height": ("ft", "m", "km", 1000.0),
    "distance_ft": ("ft", "m", "km", 1000.0),
    "speed": ("kt", "m/s", "km/h", 1.0 / 3.6),
    "wind_speed": ("kt", "m/s", "km/h", 1.0 / 3.6),
    # Nothing to be mixed up with: one unit only, or none.
    "angle_deg": ("°", None, None, 1.0),
    "number": ("", None, None, 1.0),
}
FROM_SI = {"nm": nm_from_m, "ft": ft_from_m, "kt": kt_from_mps, "°": float, "": float}


def typed(item, value, unit=None):
    """Write a number with all its digits, as a test may type it."""
    unit = unit or UNITS[item.question.quantity][0]
    return f"{FROM_SI[unit](value):.9f} {unit}"


def helps(result):
    words = result.next_step.lower().strip(" .!")
    return bool(words) and words not in ("try again", "again")


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_lesson_asks_in_many_ways_and_mostly_beyond_understanding(lesson):
    own = [question for question in QUESTIONS if question.lesson == lesson]
    assert len(own) >= 8 and len({question.kind for question in own}) >= 5
    assert {question.level for question in own} <= set(LEVELS)
    high = [q for q in own if q.level in ("application", "correlation")]
    assert 2 * len(high) >= len(own)


def test_twelve_on_the_power_off_approach():
    assert len(POWER_OFF) >= 12


@named()
def test_same_seed_same_item_and_other_seed_other_numbers(question):
    for item in items(question)[:2]:
        # The question as its lesson has it: nothing is remembered from the first time.
        again = vary(ORIGINALS[question.record_key], item.airplane, item.seed)
        assert (item.prompt, item.options) == (again.prompt, again.options)
        assert (item.values, item.answer) == (again.values, again.answer)
    shown = {(item.prompt, item.options) for item in items(question)}
    assert len(shown) > 5


@named()
def test_preferences_change_the_texts_and_not_the_answer(question):
    pairs = list(zip(items(question), items(question, OTHER), strict=True))
    assert all(plain.answer == other.answer for plain, other in pairs)
    assert all(other.solution and other.title and other.prompt for _, other in pairs)
    asks_speeds = any(" kt" in plain.prompt.replace("\u00a0", " ") for plain, _ in pairs)
    if asks_speeds and any(variable.kind == "speed" for variable in question.variables):
        assert any("mph" in other.prompt for _, other in pairs)


def test_keys_are_unique():
    keys = [question.record_key for question in QUESTIONS]
    assert len(set(keys)) == len(keys)


@named()
def test_hints_go_from_nudge_to_method(question):
    for item in items(question):
        hints = [item.hint(number) for number in range(1, len(question.hints) + 1)]
        assert len(set(hints)) == len(hints) >= 3
        assert not any(character.isdigit() for character in hints[0]), "a nudge gives no numbers"
    with pytest.raises(IndexError):
        item.hint(len(question.hints) + 1)


@named("number")
def test_number_close_exists_and_says_the_side(question):
    found = set()
    middle = 0.5 * (question.tolerance.within + question.tolerance.close)
    for item in items(question):
        for side, word in ((-1.0, "low"), (1.0, "high")):
            result = check(item, typed(item, item.answer + side * middle))
            if result.status == "close":
                assert word in result.message
                found.add(word)
    assert found == {"low", "high"}


@named("number")
def test_number_unit_sign_and_decimal_slips(question):
    item = vary(question, AIRPLANES[0], 1)
    own, si, other, factor = UNITS[question.quantity]
    number = FROM_SI[own](item.answer)
    assert check(item, f"{-number:.6f} {own}").reply == "sign"
    # A misconception of the question's own may come to the same number and has the say.
    ten = {"ten", *(misconception.key for misconception in question.misconceptions)}
    assert check(item, f"{10.0 * number:.6f} {own}").reply in ten
    assert check(item, f"{0.1 * number:.6f}").reply in ten
    far = check(item, typed(item, 30.0 * item.answer))
    assert (far.status, far.reply) == ("incorrect", "") and "high" in far.message
    if si is None:
        return
    in_metres = check(item, f"{item.answer:.6f} {own}")
    # Metres per second and kilometres per hour are both near half a knot's number.
    named = [si, other] if si == "m/s" else [si]
    assert in_metres.reply == "unit"
    assert any(f" {unit} " in in_metres.message for unit in named)
    assert check(item, f"{item.answer:.6f} {si}").status == "correct"
    assert check(item, f"{item.answer / factor:.6f} {other}").status == "correct"


@named("number")
def test_number_unreadable_is_unchecked_with_the_cure(question):
    item = vary(question, AIRPLANES[0], 1)
    for answer in ("about so", "12 kg", "nan", "1 2 3", "9" * 80, "<b>5</b>"):
        result = check(item, answer)
        assert result.status == "unchecked" and helps(result), (answer, result)
        assert "Your answer" in result.message


@named("choice")
def test_choice_right_and_every_wrong_option(question):
    for item in items(question):
        letters = dict(zip((key for key, _ in item.options), "abcdefgh", strict=False))
        messages = set()
        for key, text in item.options:
            results = {check(item, said) for said in (key, letters[key], text)}
            assert len(results) == 1
            (result,) = results
            assert result.status == ("correct" if key == item.answer else "incorrect")
            assert helps(result)
            messages.add(result.message)
            if key != item.answer:
                assert result.reply in [m.key for m in question.misconceptions if m.wrong == key]
        assert len(messages) == len(item.options)
    assert check(item, "none of them").status == "unchecked"


@named("order")
def test_order_right_close_and_wrong(question):
    own = {misconception.key for misconception in question.misconceptions}
    for item in items(question):
        answer = list(item.answer)
        assert list(item.option_keys) != answer and sorted(item.option_keys) == sorted(answer)
        assert check(item, answer).status == "correct"
        by_number = ", ".join(str(item.option_keys.index(key) + 1) for key in answer)
        assert check(item, by_number).status == "correct"
        assert check(item, " > ".join(answer)).status == "correct"
        for wrong in (answer[:-1], answer[:-1] + answer[:1], ["nothing"]):
            assert check(item, wrong).status == "unchecked"
        last = answer[:-2] + [answer[-1], answer[-2]]
        nearly = check(item, last)
        assert nearly.status == "close" or nearly.reply in own
        rolled = answer[1:] + answer[:1]
        assert check(item, rolled).status == "incorrect"


@named()
def test_source_is_named(question):
    assert len(question.source) > 20
    # The page says it with the question's facts; the answer is none of them.
    assert items(question)[0].say("source")


# The five of the power-off approach against sums done another way ---------------------------------


def test_glide_distance_by_hand():
    """Time down times ground speed: the same distance by another road."""
    for item in items(POWER_OFF["glide_distance"]):
        speed = item.airplane.best_glide_cas()
        path = math.atan(1.0 / item.airplane.best_glide_ratio())
        time = item.values["height"] / (speed * math.sin(path))
        by_hand = time * (speed * math.cos(path) - item.values["headwind"])
        # Horizontal airspeed counts as the airspeed in the model: below 1.5 % at 8:1 in 20 kt.
        assert item.answer == pytest.approx(by_hand, rel=0.015)


def test_glide_distance_in_knots_and_feet():
    """10:1 at 65 kt against 13 kt is 8:1: 6,076 ft of height make 8 nm (geometry)."""

    class Ideal:
        def best_glide_cas(self, flap_deg=0.0):
            return 65.0 * 1852.0 / 3600.0

        def best_glide_ratio(self, flap_deg=0.0):
            return 10.0

    values = {"height": 1852.0, "headwind": 13.0 * 1852.0 / 3600.0}
    question = POWER_OFF["glide_distance"]
    assert question.answer(Ideal(), values) == pytest.approx(m_from_nm(8.0))
    still, helped = (m.wrong(Ideal(), values) for m in question.misconceptions)
    assert (still, helped) == (pytest.approx(m_from_nm(10.0)), pytest.approx(m_from_nm(12.0)))


def test_turn_height_by_small_steps():
    """Roll in, hold, roll out in small steps of time: the same height by another road."""
    for item in items(POWER_OFF["turn_height"])[::9]:
        airplane, speed = item.airplane, item.airplane.best_glide_cas()
        full, step = item.values["bank"], 0.02
        height = airplane.sink_rate(speed) * item.values["delay"]
        bank, heading, rolling_in = 0.0, 0.0, []
        sinks = {}
        while heading < 180.0:
            # Begin to roll out when what is left is what the roll-out turns.
            out = 180.0 - heading <= sum(rolling_in) and len(rolling_in) > 0 and bank >= full
            if out:
                break
            bank = min(bank + 15.0 * step, full)
            rate = math.degrees(9.80665 * math.tan(math.radians(bank)) / speed)
            if bank < full:
                rolling_in.append(rate * step)
            key = round(bank, 3)
            sinks.setdefault(key, airplane.sink_rate(speed, bank_deg=bank))
            heading += rate * step
            height += sinks[key] * step
        # The roll-out mirrors the roll-in.
        height += sum(sink for key, sink in sinks.items() if key < full) * step
        assert ft_from_m(item.answer) == pytest.approx(ft_from_m(height), abs=4.0)


def test_stronger_headwind_means_earlier():
    for item in items(POWER_OFF["base_turn_in_wind"]):
        stronger = item.values["today"] > item.values["before"]
        assert item.answer == ("earlier" if stronger else "later")


def test_best_glide_is_what_carries_farthest():
    for item in items(POWER_OFF["slow_on_final"]):
        assert item.answer == "lower"


@pytest.mark.parametrize("induction", ["carburettor", "injected"])
def test_carburettor_heat_only_where_there_is_a_carburettor(induction):
    card = AIRPLANES[0].card
    airplane = fit_airplane(Card({**card.entries, "engine.induction": induction}))
    item = vary(POWER_OFF["abeam_to_touchdown"], airplane, 1)
    assert ("carb_heat" in item.answer) == (induction == "carburettor")
    # The misconception about a step that this airplane lacks takes no part.
    assert check(item, item.answer).status == "correct"
    assert problems_of(item.question, [airplane], range(3)) == []
