"""The picture of an exercise as a drawing for paper: black on white, dashes, hatching, labels.

Lines differ by dash and marks by shape, as in the scenes' theme; colour is not used.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from lessonkit.exercises.picture import (
    Area,
    Arrow,
    Horizontal,
    Label,
    Line,
    Picture,
    PictureAxes,
    Points,
    Vertical,
)
from lessonkit.prints.marks_drawn import mark_at
from lessonkit.prints.markup import Markup, element, join
from lessonkit.scenes.theme import GROUNDS, ROLES
from lessonkit.words import Preferences, from_shown, show, to_shown, unit_of

WIDTH = 900.0  # of the drawing, in the units of a picture's height
_LEFT, _RIGHT, _TOP, _BOTTOM = 96.0, 14.0, 10.0, 62.0  # room around the axes
_TEXT = 17.0  # size of letters: 9 pt on a page
_MOST_TICKS = 7
_HALO = 4.0
_THINNEST = 1.8  # a dotted line that is thinner is lost between the lines of the grid
_HATCH = 9.0  # distance of hatching lines


@dataclass(frozen=True)
class _Frame:
    """Where one set of axes stands on the paper, and how values become places."""

    axes: PictureAxes
    left: float
    top: float
    width: float
    height: float

    def x(self, value: float) -> float:
        low, high = self.axes.x
        return self.left + (value - low) / (high - low) * self.width

    def y(self, value: float) -> float:
        low, high = self.axes.y
        return self.top + self.height - (value - low) / (high - low) * self.height

    def points(self, xs, ys) -> list[tuple[float, float]]:
        """Return the places of all points that are numbers."""
        pairs = ((float(x), float(y)) for x, y in zip(xs, ys, strict=True))
        return [(self.x(x), self.y(y)) for x, y in pairs if math.isfinite(x + y)]


def drawing(
    picture: Picture, text_of: Callable[[str], str], preferences: Preferences, name: str
) -> Markup:
    """Return a picture as a drawing.

    Parameters
    ----------
    picture : Picture
        Axes and what is in them, in SI.
    text_of : callable
        Gives the question's text of a key below ``picture``.
    preferences : Preferences
        Units and decimal mark of the numbers at the axes.
    name : str
        Letters and digits that no other drawing of the same print has.

    Returns
    -------
    Markup
        An SVG element that needs nothing from outside.
    """
    frames = _frames(picture)
    parts = [_hatching(name)]
    for frame in frames:
        mine = [item for item in picture.items if picture.axes_named(item.axes) is frame.axes]
        parts.append(_axes(frame, text_of, preferences))
        # An inner drawing cuts off what reaches beyond its axes.
        inside = (_DRAW[type(item)](frame, item, name) for item in mine if type(item) in _DRAW)
        parts.append(
            element(
                "svg",
                *inside,
                x=_at(frame.left),
                y=_at(frame.top),
                width=_at(frame.width),
                height=_at(frame.height),
                viewBox=" ".join(map(_at, (frame.left, frame.top, frame.width, frame.height))),
            )
        )
        parts.append(_box(frame))
        parts += [_label(frame, item, text_of) for item in mine if isinstance(item, Label)]
    return element(
        "svg",
        *parts,
        viewBox=f"0 0 {_at(WIDTH)} {_at(picture.height)}",
        css="picture",
        role="img",
        aria_label=text_of("alt"),
    )


def _frames(picture: Picture) -> list[_Frame]:
    """Return the axes' places, from top to bottom by their shares."""
    total = sum(axes.share for axes in picture.axes)
    top, frames = 0.0, []
    for axes in picture.axes:
        room = picture.height * axes.share / total
        frame = _Frame(
            axes, _LEFT, top + _TOP, WIDTH - _LEFT - _RIGHT, max(room - _TOP - _BOTTOM, 20.0)
        )
        frames.append(_equal(frame) if axes.equal else frame)
        top += room
    return frames


def _equal(frame: _Frame) -> _Frame:
    """Return the largest frame inside with the same scale along x and y."""
    across, up = (abs(high - low) for low, high in (frame.axes.x, frame.axes.y))
    scale = min(frame.width / across, frame.height / up)
    width, height = across * scale, up * scale
    return _Frame(
        frame.axes,
        frame.left + (frame.width - width) / 2.0,
        frame.top + frame.height - height,
        width,
        height,
    )


def ticks(low: float, high: float, kind: str, sign: float, preferences: Preferences):
    """Return the values that get a number at an axis, in SI and as text.

    Parameters
    ----------
    low, high : float
        Ends of the axis, in either order. [SI]
    kind : str
        Kind of quantity.
    sign : float
        -1 shows values of the other sign.
    preferences : Preferences

    Returns
    -------
    list of (float, str)
        At round numbers of the unit that is shown, at most eight.

    Examples
    --------
    >>> [text for _, text in ticks(0.0, 304.8, "height", 1.0, Preferences())]
    ['0', '200', '400', '600', '800', '1,000']
    """
    ends = sorted(float(to_shown(sign * value, kind, preferences)) for value in (low, high))
    step = _round_step((ends[1] - ends[0]) / _MOST_TICKS)
    digits = max(0, -math.floor(math.log10(step) + 1e-9))
    first, last = math.ceil(ends[0] / step - 1e-6), math.floor(ends[1] / step + 1e-6)
    found = []
    for index in range(first, last + 1):
        value = float(from_shown(index * step, kind, preferences))
        found.append((sign * value, show(value, kind, preferences, digits=digits, unit=False)))
    return found


def _round_step(least: float) -> float:
    """Return the next of 1, 2, 5, 10 ... that is not smaller."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(power * step for step in (1.0, 2.0, 5.0, 10.0) if power * step >= least * 0.9999)


def _axes(frame: _Frame, text_of, preferences) -> Markup:
    """Return grid, numbers and names of the axes."""
    axes, bottom = frame.axes, frame.top + frame.height
    parts = []
    for value, text in ticks(*axes.x, axes.x_kind, axes.x_sign, preferences):
        x = frame.x(value)
        parts += [
            _line(x, frame.top, x, bottom, css="grid"),
            _text(x, bottom + 18.0, text, "middle"),
        ]
    if axes.y_numbers:
        for value, text in ticks(*axes.y, axes.y_kind, axes.y_sign, preferences):
            y = frame.y(value)
            parts += [
                _line(frame.left, y, frame.left + frame.width, y, css="grid"),
                _text(frame.left - 6.0, y + 5.0, text, "end"),
            ]
    middle = frame.left + frame.width / 2.0
    name = _named(text_of, axes.x_label, axes.x_kind, preferences)
    parts.append(_text(middle, bottom + 40.0, name, "middle"))
    if axes.y_label:
        unit = axes.y_kind if axes.y_numbers else ""
        x, y = frame.left - 62.0, frame.top + frame.height / 2.0
        turned = f"rotate(-90 {_at(x)} {_at(y)})"
        text = _named(text_of, axes.y_label, unit, preferences)
        parts.append(_text(x, y, text, "middle", transform=turned))
    return element("g", *parts)


def _named(text_of, key, kind, preferences):
    """Return the name of an axis with the unit of its numbers."""
    if not key:
        return ""
    unit = unit_of(kind, preferences) if kind else ""
    return f"{text_of(key)} ({unit})" if unit else text_of(key)


def _box(frame: _Frame) -> Markup:
    return element(
        "rect",
        x=_at(frame.left),
        y=_at(frame.top),
        width=_at(frame.width),
        height=_at(frame.height),
        css="edge",
    )


def _hatching(name: str) -> Markup:
    line = _line(0.0, 0.0, 0.0, _HATCH, css="hatch")
    pattern = element(
        "pattern",
        line,
        id=f"{name}-hatch",
        width=_at(_HATCH),
        height=_at(_HATCH),
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    return element("defs", pattern)


def _draw_line(frame: _Frame, item: Line, name: str) -> Markup:
    return element(
        "polyline",
        points=_list(frame.points(item.x, item.y)),
        css="line",
        stroke_width=_width(item.role),
        stroke_dasharray=ROLES[item.role].dash,
    )


def _draw_points(frame: _Frame, item: Points, name: str) -> Markup:
    shape = ROLES[item.role].mark
    return join(*(mark_at(shape, x, y, item.size) for x, y in frame.points(item.x, item.y)))


def _draw_area(frame: _Frame, item: Area, name: str) -> Markup:
    # What the ground is made of is grey; what an area says is hatched.
    css = "ground" if item.fill in GROUNDS else "area"
    fill = None if css == "ground" else f"url(#{name}-hatch)"
    return element("polygon", points=_list(frame.points(item.x, item.y)), css=css, fill=fill)


def _draw_arrow(frame: _Frame, item: Arrow, name: str) -> Markup:
    (x, y), (to_x, to_y) = frame.points((item.x, item.to_x), (item.y, item.to_y))
    length = math.hypot(to_x - x, to_y - y)
    if length == 0.0:
        return join()
    along, up = (to_x - x) / length, (to_y - y) / length
    back = [(to_x - 14.0 * along + side * 6.0 * up, to_y - 14.0 * up - side * 6.0 * along)
            for side in (-1.0, 1.0)]  # fmt: skip
    head = element("polygon", points=_list([(to_x, to_y), *back]), css="filled")
    shaft = _line(x, y, to_x - 10.0 * along, to_y - 10.0 * up, css="line", stroke_width="2.5")
    return join(shaft, head)


def _draw_vertical(frame: _Frame, item: Vertical, name: str) -> Markup:
    x, role = frame.x(item.x), ROLES[item.role]
    ends = (x, frame.top, x, frame.top + frame.height)
    return _line(*ends, css="line", stroke_width=_width(item.role), stroke_dasharray=role.dash)


def _draw_horizontal(frame: _Frame, item: Horizontal, name: str) -> Markup:
    y, role = frame.y(item.y), ROLES[item.role]
    ends = (frame.left, y, frame.left + frame.width, y)
    return _line(*ends, css="line", stroke_width=_width(item.role), stroke_dasharray=role.dash)


_DRAW = {
    Line: _draw_line,
    Points: _draw_points,
    Area: _draw_area,
    Arrow: _draw_arrow,
    Vertical: _draw_vertical,
    Horizontal: _draw_horizontal,
}


def _label(frame: _Frame, item: Label, text_of) -> Markup:
    """Return a label with a white rim, so that lines under it do not disturb."""
    right, down = item.offset
    x, y = frame.x(item.x) + right, frame.y(item.y) + down
    text = text_of(item.text)
    return join(
        _text(x, y, text, item.anchor, css="halo", stroke_width=_at(_HALO)),
        _text(x, y, text, item.anchor),
    )


def _text(x: float, y: float, text: str, anchor: str, css: str = "", **more: object) -> Markup:
    place = {"x": _at(x), "y": _at(y), "text_anchor": anchor, "font_size": _at(_TEXT)}
    return element("text", text, **place, css=css, **more)


def _line(x1: float, y1: float, x2: float, y2: float, **more: object) -> Markup:
    return element("line", x1=_at(x1), y1=_at(y1), x2=_at(x2), y2=_at(y2), **more)


def _width(role: str) -> str:
    return _at(max(ROLES[role].width, _THINNEST))


def _list(points) -> str:
    return " ".join(f"{_at(x)},{_at(y)}" for x, y in points)


def _at(value: float) -> str:
    """Return a length with as many decimals as can be seen; never an exponent."""
    return f"{value:.1f}".removesuffix(".0")
