"""Answers that are one of several options."""

from lessonkit.exercises.kinds import register
from lessonkit.exercises.result import CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.words import say

LETTERS = "abcdefgh"


class ChoiceKind:
    """One option of a few; every wrong one has a reply of its own."""

    def options(self, question, answer):
        """Return the keys of the options."""
        return question.options

    def teaches(self, item):
        """Any set of numbers does: the answer is computed from them."""
        return True

    def right(self, item):
        """Return the key of the right option."""
        return item.answer

    def wrong(self, item, misconception):
        """Return the option of a misconception; None where it is the right one."""
        return None if misconception.wrong == item.answer else misconception.wrong

    def extras(self, item):
        """Return nothing: the answer is all."""
        return {}

    def written(self, item, answer):
        """Return the text of the option."""
        return item.say(f"option.{answer}")

    def check(self, item, answer):
        """Judge a key, a letter or the text of an option."""
        key = find_option(item, str(answer))
        if key is None:
            return Result(
                UNCHECKED,
                say("exercises.choice.unknown", preferences=item.preferences),
                say("exercises.blank.choice", preferences=item.preferences),
                "unreadable",
                str(answer)[:60],
            )
        if key == item.answer:
            next_step = say("exercises.correct.next", preferences=item.preferences)
            return Result(CORRECT, item.say("reply.correct"), next_step, "", key)
        reply = next(m.key for m in item.question.misconceptions if m.wrong == key)
        return Result(INCORRECT, item.say(f"reply.{reply}"), item.say("next"), reply, key)

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        question, found = item.question, []
        if item.answer not in question.options:
            return [f"the answer {item.answer!r} is none of the options"]
        if not 3 <= len(set(question.options)) == len(question.options) <= len(LETTERS):
            found.append("a choice needs three to eight different options")
        covered = [misconception.wrong for misconception in question.misconceptions]
        if sorted({*covered, item.answer}) != sorted(question.options):
            found.append("each wrong option needs a misconception, and no other is allowed")
        if len(covered) < 2 or len(set(covered)) < len(covered):
            found.append("a choice needs at least two misconceptions, each with its own option")
        return found


def find_option(item, answer: str) -> str | None:
    """Return the key that a key, a letter as shown or a whole text stands for, or None."""
    said = " ".join(answer.split()).casefold()
    for letter, (key, text) in zip(LETTERS, item.options, strict=False):
        if said in (key, letter, f"{letter}.", f"{letter})", " ".join(text.split()).casefold()):
            return key
    return None


register("choice", ChoiceKind())
