"""Moved things of a scene: small constructors, in data coordinates of one axes.

Each returns an :class:`Item` that ``Scene.put`` draws. An item has a role ("main", "reference",
"limit", "good", "warn", "muted", "ink"), which gives colour, dash and mark together.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from lessonkit.scenes.theme import MARKS, ROLES, variable

Numbers = Sequence[float] | np.ndarray
ANCHORS = ("start", "middle", "end")


@dataclass(frozen=True)
class Grab:
    """What makes an item movable by mouse, touch and arrow keys.

    Parameters
    ----------
    name : str
        Name in the events that Python receives.
    label : str
        What a screen reader calls it, such as "Start of the base turn".
    along : {"both", "x", "y"}
        Directions in which it can be moved.
    step : tuple of two floats
        Move of one arrow-key press along x and y. [data units of the axes]
    low, high : float, optional
        Range along its direction, for screen readers and the Home and End keys. [data units]
    text : str
        The value in words, such as "0.40 nm past abeam".
    """

    name: str
    label: str
    along: str = "both"
    step: tuple[float, float] = (1.0, 1.0)
    low: float | None = None
    high: float | None = None
    text: str = ""

    def __post_init__(self) -> None:
        if self.along not in ("both", "x", "y"):
            raise ValueError(f"grab {self.name!r}: along is 'both', 'x' or 'y'")
        if min(self.step) <= 0.0:
            raise ValueError(f"grab {self.name!r}: the steps must be above zero")


@dataclass(frozen=True)
class Item:
    """One drawn thing: its kind, axes, role and coordinates, and how it is dressed."""

    kind: str
    axes: str
    role: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    style: dict[str, Any] = field(default_factory=dict)
    grab: Grab | None = None

    def __post_init__(self) -> None:
        if self.role not in ROLES:
            raise ValueError(f"no role {self.role!r}; roles are {', '.join(ROLES)}")
        if len(self.x) != len(self.y):
            raise ValueError(f"{self.kind}: {len(self.x)} x values, but {len(self.y)} y values")


def line(axes: str, x: Numbers, y: Numbers, role: str = "main", grab: Grab | None = None) -> Item:
    """Return a line through points; NaN leaves a gap."""
    return Item("line", axes, role, _tuple(x), _tuple(y), {}, grab)


def points(
    axes: str,
    x: Numbers | float,
    y: Numbers | float,
    role: str = "main",
    size: float = 5.0,
    mark: str | None = None,
    grab: Grab | None = None,
) -> Item:
    """Return one or many marks. `size` is half a mark's width in scene pixels."""
    mark = mark or ROLES[role].mark if role in ROLES else mark
    if role in ROLES and mark not in MARKS:
        raise ValueError(f"no mark {mark!r}; marks are {', '.join(MARKS)}")
    return Item("points", axes, role, _tuple(x), _tuple(y), {"size": size, "mark": mark}, grab)


def label(
    axes: str,
    x: float,
    y: float,
    text: str,
    role: str = "ink",
    anchor: str = "start",
    offset: tuple[float, float] = (0.0, 0.0),
    strong: bool = False,
) -> Item:
    """Return text at a point. `offset` moves it right and down, in scene pixels."""
    if anchor not in ANCHORS:
        raise ValueError(f"no anchor {anchor!r}; anchors are {', '.join(ANCHORS)}")
    style = {"text": str(text), "anchor": anchor, "dx": offset[0], "dy": offset[1]}
    return Item("label", axes, role, _tuple(x), _tuple(y), {**style, "strong": strong})


def area(
    axes: str, x: Numbers, y: Numbers, role: str = "main", hatch: bool | None = None, fill: str = ""
) -> Item:
    """Return a filled polygon; "limit" and "warn" are hatched too, so that colour is not alone.

    `fill` names a ground of the theme, such as "pavement", instead of the role's tint.
    """
    if hatch is None:
        hatch = role in ("limit", "warn")
    style = {"hatch": hatch, "fill": variable(fill) if fill else ""}
    return Item("area", axes, role, _tuple(x), _tuple(y), style)


def band(axes: str, x: Numbers, low: Numbers, high: Numbers, role: str = "main") -> Item:
    """Return the area between two curves over the same x values."""
    x, low, high = _tuple(x), _tuple(low), _tuple(high)
    return area(axes, x + x[::-1], low + high[::-1], role)


def arrow(
    axes: str, x: float, y: float, to_x: float, to_y: float, role: str = "main", width: float = 3.0
) -> Item:
    """Return an arrow between two points. `width` in scene pixels."""
    return Item("arrow", axes, role, _tuple([x, to_x]), _tuple([y, to_y]), {"width": width})


def circle(axes: str, x: float, y: float, radius: float, role: str = "main") -> Item:
    """Return a circle, radius in data units along x; an ellipse where the axes are unequal."""
    if not radius >= 0.0:
        raise ValueError("a circle's radius must not be negative")
    return Item("circle", axes, role, _tuple(x), _tuple(y), {"radius": float(radius)})


def vertical(axes: str, x: float, role: str = "limit", grab: Grab | None = None) -> Item:
    """Return a marker line over the whole height of the axes at one x."""
    return Item("vertical", axes, role, _tuple(x), (0.0,), {}, grab)


def horizontal(axes: str, y: float, role: str = "limit", grab: Grab | None = None) -> Item:
    """Return a marker line over the whole width of the axes at one y."""
    return Item("horizontal", axes, role, (0.0,), _tuple(y), {}, grab)


def _tuple(values: Numbers | float) -> tuple[float, ...]:
    return tuple(np.atleast_1d(np.asarray(values, dtype=float)).ravel().tolist())
