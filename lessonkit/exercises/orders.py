"""Answers that put steps in order."""

import re

from lessonkit.exercises.kinds import register
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.words import say


class OrderKind:
    """All steps, each once. A misconception is a pair of steps that it puts the wrong way."""

    def options(self, question, answer):
        """Return the keys of the steps; they are shown in another order."""
        return tuple(answer)

    def teaches(self, item):
        """Any set of numbers does."""
        return True

    def right(self, item):
        """Return the steps in the right order."""
        return item.answer

    def wrong(self, item, misconception):
        """Return the right order with one pair the wrong way; None where a step is not there."""
        first, second = misconception.wrong
        if first not in item.answer or second not in item.answer:
            return None
        early = [key for key in item.answer if key != first]
        early.insert(early.index(second), first)
        late = [key for key in item.answer if key != second]
        late.insert(late.index(first) + 1, second)
        # One of the two may also put another pair the wrong way, which is then recognised first.
        alone = self.check(item, tuple(early)).reply == misconception.key
        return tuple(early if alone else late)

    def extras(self, item):
        """Return nothing: the answer is all."""
        return {}

    def written(self, item, answer):
        """Return the steps as numbered lines."""
        return "\n".join(
            f"{number}. {item.say(f'option.{key}')}" for number, key in enumerate(answer, start=1)
        )

    def check(self, item, answer):
        """Judge a sequence of keys, or of the numbers as shown, separated by commas or ">"."""
        keys = _keys(item, answer)
        written = " > ".join(keys)
        if sorted(keys) != sorted(item.answer):
            return Result(
                UNCHECKED,
                say("exercises.order.incomplete", preferences=item.preferences),
                say("exercises.blank.order", preferences=item.preferences),
                "unreadable",
                written[:200],
            )
        if keys == tuple(item.answer):
            next_step = say("exercises.correct.next", preferences=item.preferences)
            return Result(CORRECT, item.say("reply.correct"), next_step, "", written)
        for misconception in item.question.misconceptions:
            first, second = misconception.wrong
            if first in keys and second in keys and keys.index(first) < keys.index(second):
                message = item.say(f"reply.{misconception.key}")
                return Result(INCORRECT, message, item.say("next"), misconception.key, written)
        return _nearly(item, keys, written)

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        answer, found = item.answer, []
        if not isinstance(answer, tuple) or len(set(answer)) != len(answer) or len(answer) < 3:
            return ["an order needs three or more different steps as a tuple"]
        if item.option_keys == answer:
            found.append("the steps are shown in the right order")
        for misconception in item.question.misconceptions:
            first, second = misconception.wrong
            present = first in answer and second in answer
            if present and answer.index(first) < answer.index(second):
                found.append(f"the misconception {misconception.key} is the right order")
                continue
            wrong = self.wrong(item, misconception)
            if wrong is not None and self.check(item, wrong).reply != misconception.key:
                found.append(f"the misconception {misconception.key} hides behind another")
        return found


def _nearly(item, keys, written):
    """Say how far the order is right, and whether only two neighbours are swapped."""
    wrong = [place for place, key in enumerate(keys) if key != item.answer[place]]
    values = {
        "first": item.say(f"option.{keys[wrong[0]]}"),
        "second": item.say(f"option.{keys[wrong[1]]}"),
        "place": wrong[0] + 1,
        "right": len(keys) - len(wrong),
        "all": len(keys),
    }
    swapped = len(wrong) == 2 and wrong[1] == wrong[0] + 1
    name = "close" if swapped else "incorrect"
    message = say(f"exercises.order.{name}", preferences=item.preferences, **values)
    return Result(CLOSE if swapped else INCORRECT, message, item.say("next"), "", written)


def _keys(item, answer):
    if isinstance(answer, str):
        answer = [part for part in re.split(r"[\s,;>]+", answer.strip()) if part]
    numbers = {str(place): key for place, key in enumerate(item.option_keys, start=1)}
    return tuple(numbers.get(str(part), str(part)) for part in answer)


register("order", OrderKind())
