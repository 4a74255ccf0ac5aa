"""Answers that judge a flight: one option for each aspect of it."""

from collections.abc import Mapping, Sequence

from lessonkit.exercises.choices import LETTERS
from lessonkit.exercises.kinds import register
from lessonkit.exercises.parts import joined, split
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.words import say

NEARLY = 3  # with so many aspects or more, a single wrong one is close


class JudgeKind:
    """Aspects with an option each; the models judge the flight that is shown."""

    def options(self, question, answer):
        """Return nothing: the options belong to the aspects and keep their order."""
        return ()

    def teaches(self, item):
        """Any set of numbers does: the answer is computed from the flight."""
        return True

    def right(self, item):
        """Return the right option of each aspect."""
        return dict(item.answer)

    def wrong(self, item, misconception):
        """Return the verdict with this misconception alone; None where its option is right."""
        aspect, option = misconception.wrong
        return None if item.answer[aspect] == option else {**item.answer, aspect: option}

    def written(self, item, answer):
        """Return each aspect with the option that is chosen for it."""
        return joined(
            (name(item, aspect.key), item.say(f"option.{answer[aspect.key]}"))
            for aspect in item.question.aspects
        )

    def extras(self, item):
        """Return what only the solution names: the right option of each aspect."""
        return {
            f"answer_{aspect.key}": item.say(f"option.{item.answer[aspect.key]}")
            for aspect in item.question.aspects
        }

    def check(self, item, answer):
        """Judge a mapping of aspects to options, a sequence of options, or a typed line."""
        chosen = _read(item, answer)
        if chosen is None:
            return Result(
                UNCHECKED,
                say("exercises.judge.unknown", preferences=item.preferences),
                say("exercises.blank.judge", preferences=item.preferences),
                "unreadable",
                " ".join(str(answer).split())[:60],
            )
        left = [aspect.key for aspect in item.question.aspects if not chosen.get(aspect.key)]
        if left:
            missing = ", ".join(name(item, key) for key in left)
            return Result(
                UNCHECKED,
                say("exercises.judge.missing", preferences=item.preferences, missing=missing),
                say("exercises.blank.judge", preferences=item.preferences),
                "unreadable",
                " ".join(filter(None, chosen.values())),
            )
        return _judged(item, chosen, self.written(item, chosen))

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        question, found = item.question, []
        aspects = {aspect.key: aspect.options for aspect in question.aspects}
        if not isinstance(item.answer, Mapping) or set(item.answer) != set(aspects):
            return [f"the answer {item.answer!r} does not judge each aspect"]
        for key, options in aspects.items():
            if item.answer[key] not in options:
                found.append(f"the answer {item.answer[key]!r} is no option of {key}")
        for misconception in question.misconceptions:
            aspect, option = misconception.wrong
            if option not in aspects.get(aspect, ()):
                found.append(f"the misconception {misconception.key} is no option of an aspect")
        pairs = [misconception.wrong for misconception in question.misconceptions]
        if len(pairs) < 2 or len(set(pairs)) < len(pairs):
            found.append("a judgement needs two misconceptions, each with its own option")
        return found


def name(item, aspect: str) -> str:
    """Return what an aspect is called."""
    return item.say(f"aspect.{aspect}")


def _judged(item, chosen, written):
    wrong = [key for key in item.answer if chosen[key] != item.answer[key]]
    if not wrong:
        next_step = say("exercises.correct.next", preferences=item.preferences)
        return Result(CORRECT, item.say("reply.correct"), next_step, "", written)
    reasons, reply = [], ""
    for aspect in item.question.aspects:
        if aspect.key in wrong:
            pair = aspect.key, chosen[aspect.key]
            known = [m.key for m in item.question.misconceptions if m.wrong == pair]
            reply = reply or "".join(known)
            why = item.say(f"reply.{known[0]}" if known else f"why.{aspect.key}")
            reasons.append(f"{name(item, aspect.key)}: {why}")
    total = len(item.answer)
    counted = say(
        "exercises.judge.counted",
        preferences=item.preferences,
        right=total - len(wrong),
        all=total,
    )
    status = CLOSE if len(wrong) == 1 and total >= NEARLY else INCORRECT
    return Result(status, "\n".join([counted, *reasons]), item.say("next"), reply, written)


def _read(item, answer):
    """Return the chosen option of each aspect; None where something is no option."""
    aspects = item.question.aspects
    if isinstance(answer, Mapping):
        given = [answer.get(aspect.key) for aspect in aspects]
        if set(answer) - {aspect.key for aspect in aspects}:
            return None
    elif isinstance(answer, str):
        given = split(answer, [name(item, aspect.key) for aspect in aspects])
    else:
        given = list(answer) if isinstance(answer, Sequence) else None
    if given is None or len(given) != len(aspects):
        return None
    chosen = {}
    for aspect, said in zip(aspects, given, strict=True):
        chosen[aspect.key] = _option(item, aspect, str(said)) if said else ""
        if chosen[aspect.key] is None:
            return None
    return chosen


def _option(item, aspect, said):
    """Return the key that a key, a letter or a whole text stands for, or None."""
    said = " ".join(said.split()).casefold()
    for letter, key in zip(LETTERS, aspect.options, strict=False):
        text = " ".join(item.say(f"option.{key}").split()).casefold()
        if said in (key, letter, f"{letter}.", f"{letter})", text):
            return key
    return None


register("judge", JudgeKind())
