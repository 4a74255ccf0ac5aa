"""Answers that are a number with a unit: "54 kt", "62 mph", "1,5 nm"."""

import math

from lessonkit.exercises.kinds import register
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.exercises.slips import (
    airspeed_name,
    other_airspeeds,
    slip,
    widest_range,
    without_airspeed,
)
from lessonkit.words import NumberError, read_number, say
from lessonkit.words.kinds import unit_object


class NumberKind:
    """A number in the quantity of the question."""

    def options(self, question, answer):
        """Return nothing: there is nothing to choose from."""
        return ()

    def teaches(self, item):
        """Tell whether each misconception leads away from the answer and from the others."""
        within = item.question.tolerance.within
        wrongs = [wrong for _, wrong in item.wrong_numbers]
        apart = all(abs(wrong - item.answer) > 1.5 * within for wrong in wrongs)
        return apart and all(
            abs(one - other) > 0.5 * within
            for index, one in enumerate(wrongs)
            for other in wrongs[index + 1 :]
        )

    def right(self, item):
        """Return the number, written."""
        return self.written(item, item.answer)

    def wrong(self, item, misconception):
        """Return the number a misconception comes to, written."""
        return self.written(item, misconception.wrong(item.airplane, item.values))

    def extras(self, item):
        """Return nothing: the answer is all."""
        return {}

    def written(self, item, answer):
        """Return the number with its unit."""
        return item.quantity(answer)

    def check(self, item, answer):
        """Judge in this order: correct, misconception, slip, close, incorrect."""
        typed = str(answer).strip()
        try:
            number, named = without_airspeed(typed) if _asks_speed(item) else (typed, "")
            value = _read(item, number)
        except NumberError as error:
            example = say("exercises.blank.number", preferences=item.preferences)
            return Result(UNCHECKED, str(error), example, "unreadable", typed[:60])
        status, reply, message = self._judged(item, value)
        if status == CORRECT and named in other_airspeeds(item):
            status, reply = CLOSE, "airspeed"
            called = airspeed_name(item, named)
            message = say("exercises.called", preferences=item.preferences, airspeed=called)
        if status == CORRECT:
            next_step = say("exercises.correct.next", preferences=item.preferences)
        else:
            next_step = item.say("next")
        return Result(status, message, next_step, reply, typed)

    def _judged(self, item, value):
        tolerance = item.question.tolerance
        # An edge of the tolerance belongs to it, after a way through another unit too.
        off = abs(value - item.answer) * (1.0 - 1e-9)
        if off <= tolerance.within:
            return CORRECT, "", self._say(item, "correct.number", value)
        nearest = min(
            item.wrong_numbers, key=lambda pair: abs(pair[1] - value), default=("", math.inf)
        )
        if abs(nearest[1] - value) <= min(tolerance.within, abs(nearest[1] - item.answer) / 3.0):
            return (
                INCORRECT,
                nearest[0],
                item.say(f"reply.{nearest[0]}", typed=item.echo(value)),
            )
        found = slip(item, value)
        if found is not None and (off > tolerance.close or found[0] == "airspeed"):
            return INCORRECT if off > tolerance.close else CLOSE, *found
        side = "high" if value > item.answer else "low"
        if off <= tolerance.close:
            return CLOSE, "", self._say(item, f"close.{side}", value)
        return INCORRECT, "", self._say(item, f"incorrect.{side}", value)

    def _say(self, item, name, value):
        return say(
            f"exercises.{name}",
            preferences=item.preferences,
            typed=item.echo(value),
            answer=item.quantity(item.answer),
            tolerance=item.shown["tolerance"],
        )

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        question, found = item.question, []
        answer, tolerance = item.answer, question.tolerance
        if not isinstance(answer, float | int) or not math.isfinite(answer):
            return [f"the answer {answer!r} is no number"]
        if not 0.0 < tolerance.within < tolerance.close:
            found.append("the tolerance is not between zero and the close band")
        if tolerance.close >= abs(answer):
            found.append("the close band reaches down to nothing")
        if len(question.misconceptions) < 2:
            found.append("a number needs at least two misconceptions")
        if not self.teaches(item):
            found.append("a misconception comes to the right number, or two to the same one")
        return found


def _asks_speed(item):
    return unit_object(item.question.quantity, item.preferences).dimension == "speed"


def _read(item, typed):
    quantity, preferences = item.question.quantity, item.preferences
    name = say("exercises.answer_name", preferences=preferences)
    try:
        return read_number(typed, quantity, preferences, name=name)
    except NumberError as error:
        # Beyond belief, but readable: a slip may explain it better than the range does.
        low, high = widest_range(quantity)
        try:
            return read_number(typed, quantity, preferences, low, high, name=name)
        except NumberError:
            raise error from None


register("number", NumberKind())
