"""Answers that mark a place on the question's picture."""

import math

from lessonkit.exercises.kinds import register
from lessonkit.exercises.parts import joined, split
from lessonkit.exercises.places import (
    axes_of,
    distance,
    full_place,
    name,
    said,
    shown,
    start_of,
    typed_place,
    ways,
    wrong_places,
)
from lessonkit.exercises.result import CLOSE, CORRECT, INCORRECT, UNCHECKED, Result
from lessonkit.words import NumberError, say
from lessonkit.words.kinds import unit_object


class MarkKind:
    """A place (x, y) in SI; the distance from the right one decides."""

    def options(self, question, answer):
        """Return nothing: there is nothing to choose from."""
        return ()

    def teaches(self, item):
        """Tell whether start and misconceptions lie away from the answer and from each other."""
        within, close = item.question.tolerance.within, item.question.tolerance.close
        wrongs = [place for _, place in wrong_places(item)]
        return (
            distance(item, start_of(item), item.answer) > close
            and all(distance(item, wrong, item.answer) > 1.5 * within for wrong in wrongs)
            and all(
                distance(item, one, other) > 0.5 * within
                for index, one in enumerate(wrongs)
                for other in wrongs[index + 1 :]
            )
        )

    def right(self, item):
        """Return the right place."""
        return item.answer

    def wrong(self, item, misconception):
        """Return the place that a misconception leads to."""
        return misconception.wrong(item.airplane, item.values)

    def written(self, item, answer):
        """Return the place as it is typed: a name and a number for each direction."""
        place = full_place(item, answer)
        return joined((name(item, way), shown(item, way, place)) for way in ways(item))

    def extras(self, item):
        """Return the numbers that only the solution names: the place, one direction at a time."""
        if len(ways(item)) == 1:
            return {f"answer_{ways(item)[0]}": said(item, item.answer)}
        return {f"answer_{way}": shown(item, way, item.answer) for way in ways(item)}

    def check(self, item, answer):
        """Judge a place: (x, y) or a mapping in SI, or a typed line."""
        try:
            place = _read(item, answer)
        except (NumberError, ValueError) as error:
            example = say("exercises.blank.mark", preferences=item.preferences)
            kept = " ".join(str(answer).split())[:60]
            return Result(UNCHECKED, str(error), example, "unreadable", kept)
        status, reply, message = self._judged(item, place)
        if status == CORRECT:
            next_step = say("exercises.correct.next", preferences=item.preferences)
        else:
            next_step = item.say("next")
        return Result(status, message, next_step, reply, self.written(item, place))

    def _judged(self, item, place):
        tolerance = item.question.tolerance
        # With one direction the number says it all.
        typed = self.written(item, place) if len(ways(item)) > 1 else said(item, place)
        off = distance(item, place, item.answer) * (1.0 - 1e-9)
        if off <= tolerance.within:
            within = _say(item, "mark.correct", tolerance=item.shown["tolerance"])
            return CORRECT, "", f"{item.say('reply.correct', typed=typed)} {within}"
        for key, wrong in sorted(
            wrong_places(item), key=lambda pair: distance(item, place, pair[1])
        ):
            if _at(item, place, wrong):
                return INCORRECT, key, item.say(f"reply.{key}", typed=typed)
        if off > tolerance.close:
            for key, wrong, values in _slips(item):
                if _at(item, place, wrong):
                    return INCORRECT, key, _say(item, f"mark.{key}", typed=typed, **values)
        values = {"typed": typed, "where": _where(item, place)}
        if off <= tolerance.close:
            return CLOSE, "", _say(item, "mark.close", tolerance=item.shown["tolerance"], **values)
        return INCORRECT, "", _say(item, "mark.incorrect", **values)

    def problems(self, item):
        """Return what is wrong with a question of this kind."""
        question, found = item.question, []
        axes = axes_of(item)
        places = {"answer": item.answer, "start": start_of(item), **dict(wrong_places(item))}
        for key, place in places.items():
            if not _is_place(place):
                return [f"the place of {key}, {place!r}, is no pair of numbers"]
            inside = all(_between(place[index], limits) for index, limits in _limits(axes))
            if not inside:
                found.append(f"the place of {key} lies outside of the picture")
        if not 0.0 < question.tolerance.within < question.tolerance.close:
            found.append("the tolerance is not between zero and the close band")
        if len(question.misconceptions) < 2:
            found.append("a place needs at least two misconceptions")
        if not self.teaches(item):
            found.append("the start or a misconception lies at the right place, or two at one")
        return found


def _read(item, answer):
    if not isinstance(answer, str):
        try:
            return full_place(item, answer)
        except TypeError:
            raise ValueError(_say(item, "mark.unreadable")) from None
    names = [name(item, way) for way in ways(item)]
    values = split(answer, names)
    if values is None:
        raise ValueError(_say(item, "mark.parts", names=", ".join(names)))
    return typed_place(item, dict(zip(ways(item), values, strict=True)))


def _at(item, place, wrong):
    """Tell whether a place is meant to be a wrong one: near it, and nearer than the right one."""
    reach = min(item.question.tolerance.within, distance(item, wrong, item.answer) / 3.0)
    return distance(item, place, wrong) <= reach


def _slips(item):
    """Yield name, place and values of the slips that can happen with any picture."""
    axes, (x, y) = axes_of(item), item.answer
    close = item.question.tolerance.close
    found = []
    if ways(item) == ("x", "y") and _same_unit(item, axes):
        swapped = axes.x_sign * axes.y_sign * y, axes.x_sign * axes.y_sign * x
        names = {"x": name(item, "x"), "y": name(item, "y")}
        found.append(("swapped", swapped, names))
    for way, mirrored in (("y", (x, -y)), ("x", (-x, y))):
        if way in ways(item):
            found.append(("other_side", mirrored, {"name": name(item, way)}))
    for key, wrong, values in found:
        inside = all(_between(wrong[index], ends) for index, ends in _limits(axes))
        if inside and distance(item, wrong, item.answer) > close:
            yield key, wrong, values


def _same_unit(item, axes):
    one, other = (
        unit_object(quantity, item.preferences) for quantity in (axes.x_kind, axes.y_kind)
    )
    return one is other


def _where(item, place):
    """Return in words, as seen on the picture, where the right place lies from a marked one."""
    axes = axes_of(item)
    weights = {"x": 1.0, "y": item.question.mark.y_weight}
    ends = {"x": axes.x, "y": axes.y}
    off = {
        way: (item.answer["xy".index(way)] - place["xy".index(way)]) * weights[way]
        for way in ways(item)
    }
    largest = max(abs(value) for value in off.values())
    found = []
    for way, value in off.items():
        if abs(value) >= 0.4 * largest:
            onward = (value > 0.0) == (ends[way][1] > ends[way][0])
            word = {"x": ("right", "left"), "y": ("up", "down")}[way][0 if onward else 1]
            found.append(say(f"exercises.mark.{word}", preferences=item.preferences))
    if len(found) == 1:
        return found[0]
    return _say(item, "mark.both", one=found[0], other=found[1])


def _limits(axes):
    return (0, axes.x), (1, axes.y)


def _between(value, ends):
    return min(ends) - 1e-9 <= value <= max(ends) + 1e-9


def _is_place(place):
    return (
        isinstance(place, tuple)
        and len(place) == 2
        and all(isinstance(value, float | int) and math.isfinite(value) for value in place)
    )


def _say(item, key, **values):
    return say(f"exercises.{key}", preferences=item.preferences, **values)


register("mark", MarkKind())
