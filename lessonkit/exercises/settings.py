"""Answers that set controls: the models say what the settings lead to."""

import math
from collections.abc import Mapping

from lessonkit.exercises.kinds import register
from lessonkit.exercises.parts import digits_for, joined, split
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.words import NumberError, read_number, say, show

SLACK = 1e-9  # an end of a range belongs to it, after a way through another unit too


class SetKind:
    """Settings by name in SI; the outcome of the models decides."""

    def options(self, question, answer):
        """Return nothing: there is nothing to choose from."""
        return ()

    def teaches(self, item):
        """Tell whether something has to be done: the start settings are not nearly right."""
        outcome = outcome_of(item, start_of(item))
        return not abs(outcome - item.answer) <= item.question.tolerance.close

    def right(self, item):
        """Return settings that reach the answer."""
        return reference_of(item)

    def wrong(self, item, misconception):
        """Return settings that show a misconception."""
        return dict(misconception.example(item.airplane, item.values))

    def written(self, item, answer):
        """Return settings as a line of names and numbers, or the outcome as a number."""
        if not isinstance(answer, Mapping):
            return item.quantity(answer)
        return joined(
            (name(item, setting), shown(item, setting, answer[setting.name]))
            for setting in settings_of(item)
        )

    def extras(self, item):
        """Return what only the solution names: settings that do it, together and one by one."""
        reference = reference_of(item)
        single = {
            f"reference_{setting.name}": shown(item, setting, reference[setting.name])
            for setting in settings_of(item)
        }
        return {"reference": self.written(item, reference), **single}

    def check(self, item, answer):
        """Judge settings: a mapping in SI, or a typed line."""
        try:
            settings = _read(item, answer)
        except (NumberError, ValueError) as error:
            example = say("exercises.blank.set", preferences=item.preferences)
            kept = " ".join(str(answer).split())[:60]
            return Result(UNCHECKED, str(error), example, "unreadable", kept)
        status, reply, message = self._judged(item, settings)
        if status == CORRECT:
            next_step = say("exercises.correct.next", preferences=item.preferences)
        else:
            next_step = item.say("next")
        return Result(status, message, next_step, reply, self.written(item, settings))

    def _judged(self, item, settings):
        outcome, tolerance = outcome_of(item, settings), item.question.tolerance
        values = {"outcome": item.quantity(outcome), "wanted": item.quantity(item.answer)}
        values["tolerance"] = item.shown["tolerance"]
        off = abs(outcome - item.answer) * (1.0 - 1e-9)
        right = off <= tolerance.within
        for misconception in item.question.misconceptions:
            if (not right or misconception.despite) and misconception.wrong(
                item.airplane, item.values, settings
            ):
                message = item.say(f"reply.{misconception.key}", **values)
                return INCORRECT, misconception.key, message
        if right:
            within = _say(item, "set.correct", **values)
            return CORRECT, "", f"{item.say('reply.correct', **values)} {within}"
        if math.isnan(outcome):
            return INCORRECT, "no_outcome", _say(item, "set.no_outcome", **values)
        if off <= tolerance.close:
            side = "high" if outcome > item.answer else "low"
            return CLOSE, "", _say(item, f"set.close.{side}", **values)
        reply = _direction(item, outcome)
        return INCORRECT, reply, _say(item, f"set.{reply}", **values)

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        question, found = item.question, []
        answer, tolerance = item.answer, question.tolerance
        if not isinstance(answer, float | int) or not math.isfinite(answer):
            return [f"the wanted outcome {answer!r} is no number"]
        if not 0.0 < tolerance.within < tolerance.close:
            found.append("the tolerance is not between zero and the close band")
        if len(question.misconceptions) < 2:
            found.append("settings need at least two misconceptions")
        for setting in settings_of(item):
            if not setting.low <= setting.start <= setting.high or setting.step <= 0.0:
                found.append(f"the setting {setting.name} starts outside of its range")
        if not self.teaches(item):
            found.append("the start settings are nearly right already")
        reference = reference_of(item)
        found += _outside(item, reference, "reference")
        if not abs(outcome_of(item, reference) - answer) <= tolerance.within:
            found.append("the reference does not reach the answer")
        return found + self._misconceptions(item, reference)

    def _misconceptions(self, item, reference):
        found = []
        for misconception in item.question.misconceptions:
            call = item.airplane, item.values
            if misconception.example is None:
                found.append(f"the misconception {misconception.key} needs an example")
                continue
            settings = self.wrong(item, misconception)
            found += _outside(item, settings, misconception.key)
            if misconception.wrong(*call, reference):
                found.append(f"the reference shows the misconception {misconception.key}")
            if self._judged(item, settings)[1] != misconception.key:
                found.append(f"its example does not show the misconception {misconception.key}")
        return found


def settings_of(item):
    """Return the settings of a question for its airplane and numbers."""
    settings = item.question.settings
    return settings(item.airplane, item.values) if callable(settings) else settings


def start_of(item) -> dict[str, float]:
    """Return where the settings stand at first, by name [SI]."""
    return {setting.name: setting.start for setting in settings_of(item)}


def reference_of(item) -> dict[str, float]:
    """Return settings that reach the answer, by name [SI]."""
    return dict(item.question.reference(item.airplane, item.values))


def outcome_of(item, settings: Mapping[str, float]) -> float:
    """Return what settings lead to [SI; NaN where they lead to nothing]."""
    return float(item.question.outcome(item.airplane, item.values, settings))


def name(item, setting) -> str:
    """Return what a setting is called."""
    return item.say(f"setting.{setting.name}")


def shown(item, setting, value: float) -> str:
    """Return a setting's value as the learner reads it."""
    digits = setting.digits
    if digits is None:
        digits = digits_for(setting.step, setting.kind, item.preferences)
    return show(value, setting.kind, item.preferences, digits=digits)


def _read(item, answer):
    settings = settings_of(item)
    if isinstance(answer, str):
        names = [name(item, setting) for setting in settings]
        values = split(answer, names)
        if values is None:
            raise ValueError(_say(item, "set.parts", names=", ".join(names)))
        return {
            setting.name: read_number(
                value, setting.kind, item.preferences, setting.low, setting.high, name=called
            )
            for setting, value, called in zip(settings, values, names, strict=True)
        }
    if not isinstance(answer, Mapping) or set(answer) != {s.name for s in settings}:
        names = ", ".join(name(item, setting) for setting in settings)
        raise ValueError(_say(item, "set.parts", names=names))
    return {setting.name: float(answer[setting.name]) for setting in settings}


def _outside(item, values, key):
    found = []
    for setting in settings_of(item):
        slack = SLACK * max(abs(setting.low), abs(setting.high))
        if setting.name not in values:
            found.append(f"{key} says nothing of the setting {setting.name}")
        elif not setting.low - slack <= values[setting.name] <= setting.high + slack:
            found.append(f"{key} puts the setting {setting.name} outside of its range")
    return found


def _direction(item, outcome):
    """Tell how the outcome lies: beyond the wanted one, short of it, or the other way."""
    start = outcome_of(item, start_of(item))
    if math.isnan(start):
        return "above" if outcome > item.answer else "below"
    progress = (outcome - start) / (item.answer - start)
    if progress < -1e-9:
        return "wrong_way"
    return "too_much" if progress > 1.0 else "too_little"


def _say(item, key, **values):
    return say(f"exercises.{key}", preferences=item.preferences, **values)


register("set", SetKind())
