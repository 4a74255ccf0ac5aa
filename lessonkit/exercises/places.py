"""Places on a question's picture: as numbers in SI, as shown, as typed."""

import math
from collections.abc import Mapping, Sequence

from lessonkit.exercises.parts import digits_for
from lessonkit.words import read_number, say, show, unit_of

FINEST = 0.2  # the shown numbers are at least so fine, as a share of the tolerance


def ways(item) -> tuple[str, ...]:
    """Return the directions in which the cross moves: "x", "y" or both."""
    along = item.question.mark.along
    return ("x", "y") if along == "both" else (along,)


def axes_of(item):
    """Return the picture's axes on which a place is marked."""
    return item.picture.axes_named(item.question.mark.axes)


def start_of(item) -> tuple[float, float]:
    """Return where the cross stands at first [SI]."""
    return item.question.mark.start(item.airplane, item.values)


def name(item, way: str) -> str:
    """Return what a direction is called, as at the axis."""
    return item.say(f"picture.{_axis(item, way)[0]}")


def kind(item, way: str) -> str:
    """Return the kind of quantity along a direction."""
    return _axis(item, way)[1]


def limits(item, way: str) -> tuple[float, float]:
    """Return the range along a direction, ascending, as it is shown [SI, sign as shown]."""
    _, _, sign, ends = _axis(item, way)
    low, high = sorted(sign * end for end in ends)
    return low, high


def signed(item, way: str, place: Sequence[float]) -> float:
    """Return a place's number along a direction, with the sign as shown [SI]."""
    return _axis(item, way)[2] * place["xy".index(way)]


def shown(item, way: str, place: Sequence[float]) -> str:
    """Return a place's number along a direction, as the learner reads it."""
    quantity = kind(item, way)
    step = FINEST * item.question.tolerance.within
    if way == "y":
        step /= item.question.mark.y_weight
    digits = digits_for(step, quantity, item.preferences)
    return show(signed(item, way, place), quantity, item.preferences, digits=digits)


def said(item, place: Sequence[float]) -> str:
    """Return a place in a sentence: its number, or in words where the question has them."""
    (way,) = ways(item)
    if item.question.reads is None:
        return shown(item, way, place)
    return item.quantity(signed(item, way, place))


def typed_place(item, numbers: Mapping[str, str]) -> tuple[float, float]:
    """Return the place of typed numbers by direction; the others stay at the start's.

    Raises
    ------
    NumberError
        One sentence with the cure.
    """
    place = list(start_of(item))
    for way in ways(item):
        sign, (low, high) = _axis(item, way)[2], limits(item, way)
        value = read_number(
            numbers[way], kind(item, way), item.preferences, low, high, name=name(item, way)
        )
        place["xy".index(way)] = sign * value
    return place[0], place[1]


def distance(item, one: Sequence[float], other: Sequence[float]) -> float:
    """Return how far apart two places count, in the directions that are judged [m]."""
    weight = {"x": 1.0, "y": item.question.mark.y_weight}
    apart = (weight[way] * (one["xy".index(way)] - other["xy".index(way)]) for way in ways(item))
    return math.hypot(*apart)


def wrong_places(item) -> list[tuple[str, tuple[float, float]]]:
    """Return the key of each misconception and the place it leads to [SI]."""
    return [
        (misconception.key, misconception.wrong(item.airplane, item.values))
        for misconception in item.question.misconceptions
    ]


def full_place(item, answer: object) -> tuple[float, float]:
    """Return a place from (x, y), a mapping by direction, or the one number that is free.

    Raises
    ------
    ValueError
        If it is no place.
    """
    place = list(start_of(item))
    if isinstance(answer, Mapping):
        given = dict(answer)
    elif isinstance(answer, Sequence) and len(answer) == 2:
        given = dict(zip("xy", answer, strict=True))
    else:
        given = {item.question.mark.along: answer}
    for way in ways(item):
        place["xy".index(way)] = float(given[way]) if way in given else math.nan
    if not all(math.isfinite(value) for value in place):
        raise ValueError(say("exercises.mark.unreadable", preferences=item.preferences))
    return place[0], place[1]


def unit(item, way: str) -> str:
    """Return the symbol of the unit along a direction."""
    return unit_of(kind(item, way), item.preferences)


def _axis(item, way):
    axes = axes_of(item)
    if way == "x":
        return axes.x_label, axes.x_kind, axes.x_sign, axes.x
    return axes.y_label, axes.y_kind, axes.y_sign, axes.y
