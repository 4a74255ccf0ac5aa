"""Axes of a scene: drawn once by matplotlib as SVG, in colours that the theme fills in.

One unit of the SVG is one scene pixel. Text stays text, is never parsed as mathematics, and
grows with the presentation size. matplotlib is loaded only when a picture is drawn.
"""

import io
import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.scenes.theme import sentinel, themed
from lessonkit.words import Preferences, show
from lessonkit.words.preferences import STANDARD

TEXT_SIZE = 13  # scene pixels; the presentation size multiplies it in the page
MARGIN_LEFT, MARGIN_RIGHT, MARGIN_TOP, MARGIN_BOTTOM, MARGIN_SHARED = 66.0, 28.0, 30.0, 46.0, 14.0
MARGIN_BARE = 14.0  # left of axes without any numbers
# matplotlib writes a text's font as one property or as two, depending on its version.
_FONT = re.compile(
    r"font: (?:[a-z]+ )?([0-9.]+)px [^;\"]*|font-size: ([0-9.]+)px; font-family: [^;\"]*"
)

_APART = re.compile(r"\s*<metadata>.*?</metadata>|\s*<style[^>]*>.*?</style>", re.DOTALL)


@dataclass(frozen=True)
class SceneAxes:
    """One set of axes in a scene; several stand below each other, or in columns.

    Parameters
    ----------
    name : str
        Name that items refer to.
    x, y : tuple of two floats
        Values at the left and right, at the bottom and top. A larger first value turns the axis
        round: a plan view in which y grows to the right of the landing direction has
        ``y=(high, low)``. [data units, usually SI]
    x_label, y_label : str
        With the unit shown, such as "height, ft". The y label stands above the axes.
    x_unit, y_unit : float
        Size of one shown unit in data units (0.3048 for feet on metres). A negative one shows
        values of the other sign: left traffic at y < 0 as distances above zero.
    share : float
        Part of the scene's height, relative to the other axes.
    equal : bool
        Same scale along x and y: the tighter range is widened about its middle.
    shared_x : bool
        Same x range and unit as the lowest axes so marked, which alone has the numbers.
    x_numbers, y_numbers : bool
        False for a strip on which only the place along the other axis means something, or for
        both in a view that has no scale.
    column : int
        Column of the scene, from the left; the scene says how wide its columns are.
    grid : bool
        Draw thin lines at the ticks.
    draw : callable, optional
        ``draw(ax, colour)`` adds curves that never move; ``colour("muted")`` is a themed colour.
    """

    name: str
    x: tuple[float, float]
    y: tuple[float, float]
    x_label: str = ""
    y_label: str = ""
    x_unit: float = 1.0
    y_unit: float = 1.0
    share: float = 1.0
    equal: bool = False
    shared_x: bool = False
    x_numbers: bool = True
    y_numbers: bool = True
    column: int = 0
    grid: bool = True
    draw: Callable[[Any, Callable[[str], str]], None] | None = None

    def __post_init__(self) -> None:
        for direction, limits in (("x", self.x), ("y", self.y)):
            if not all(math.isfinite(value) for value in limits) or limits[0] == limits[1]:
                raise ValueError(f"axes {self.name!r}: the {direction} range {limits} is empty")


@dataclass(frozen=True)
class Frame:
    """Where axes lie in the scene: box in scene pixels, final data ranges."""

    axes: SceneAxes
    left: float
    top: float
    width: float
    height: float

    def pixel_size(self) -> tuple[float, float]:
        """Return the size of one scene pixel in data units along x and y (always positive)."""
        (x0, x1), (y0, y1) = self.axes.x, self.axes.y
        return abs(x1 - x0) / self.width, abs(y1 - y0) / self.height

    def message(self) -> dict[str, Any]:
        """Return what the page needs to place items."""
        return {
            "name": self.axes.name,
            "box": [self.left, self.top, self.width, self.height],
            "x": list(self.axes.x),
            "y": list(self.axes.y),
        }


def arrange(
    axes: Sequence[SceneAxes], width: float, height: float, columns: Sequence[float] = (1.0,)
) -> list[Frame]:
    """Place axes in the columns of a scene, below each other, and settle their ranges.

    Parameters
    ----------
    axes : sequence of SceneAxes
        From top to bottom in each column.
    width, height : float
        Size of the scene. [scene pixels]
    columns : sequence of float
        Widths of the columns relative to each other.
    """
    if len({a.name for a in axes}) != len(axes) or not axes:
        raise ValueError("a scene needs axes, each with a name of its own")
    if {a.column for a in axes} != set(range(len(columns))):
        raise ValueError(f"the axes do not fill the scene's {len(columns)} columns")
    placed: dict[str, Frame] = {}
    left = 0.0
    for column, share in enumerate(columns):
        wide = width * share / sum(columns)
        stack = [a for a in axes if a.column == column]
        placed.update({f.axes.name: f for f in _stacked(stack, left, wide, height)})
        left += wide
    return [placed[a.name] for a in axes]


def _stacked(axes: Sequence[SceneAxes], start: float, width: float, height: float) -> list[Frame]:
    margins = [
        MARGIN_TOP + (MARGIN_SHARED if _hides_x(axes, i) or not a.x_numbers else MARGIN_BOTTOM)
        for i, a in enumerate(axes)
    ]
    room = height - sum(margins)
    if room < 40.0 * len(axes):
        raise ValueError(f"a scene {height:g} pixels high has no room for {len(axes)} axes")
    total = sum(a.share for a in axes)
    frames, top = [], 0.0
    for a, margin in zip(axes, margins, strict=True):
        tall = room * a.share / total
        left = MARGIN_LEFT if a.x_numbers or a.y_numbers else MARGIN_BARE
        inner = width - left - MARGIN_RIGHT
        settled = _equalised(a, inner, tall)
        frames.append(Frame(settled, start + left, top + MARGIN_TOP, inner, tall))
        top += tall + margin
    return _with_shared_x(frames)


def draw_background(
    frames: Sequence[Frame],
    width: float,
    height: float,
    preferences: Preferences = STANDARD,
) -> str:
    """Draw axes, ticks, labels and fixed curves; return themed SVG text.

    Parameters
    ----------
    frames : sequence of Frame
        From ``arrange``.
    width, height : float
        Size of the scene. [scene pixels]
    preferences : Preferences
        Decimal mark of the tick numbers.
    """
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    settings = {
        "svg.fonttype": "none",
        "svg.hashsalt": "lessonkit",
        "text.parse_math": False,
        "path.simplify": True,
        "font.size": TEXT_SIZE,
        "font.family": "sans-serif",
    }
    with matplotlib.rc_context(settings):
        figure = Figure(figsize=(width / 72.0, height / 72.0), dpi=72)
        canvas = FigureCanvasSVG(figure)
        figure.patch.set_visible(False)
        for index, frame in enumerate(frames):
            hides_x = _hides_x([f.axes for f in frames], index)
            _draw_axes(figure, frame, width, height, preferences, hides_x)
        buffer = io.BytesIO()
        canvas.print_svg(buffer, metadata={"Date": None, "Creator": None})
    svg = buffer.getvalue().decode("utf-8")
    # The picture becomes part of a page: its own style element would style everything there.
    svg = _APART.sub("", svg[svg.index("<svg") :])
    svg = _FONT.sub(lambda m: f"font: calc({m[1] or m[2]}px * var(--lk-scale)) var(--lk-font)", svg)
    return themed(svg)


def ticks(low: float, high: float, unit: float, wanted: int) -> list[float]:
    """Return round tick values between two limits, in data units.

    Examples
    --------
    >>> ticks(0.0, 304.8, 0.3048, 5) == [n * 200 * 0.3048 for n in range(6)]
    True
    """
    low, high = sorted((low / unit, high / unit))
    rough = (high - low) / max(wanted, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(s * power for s in (1.0, 2.0, 2.5, 5.0, 10.0) if s * power >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [n * step * unit for n in range(first, last + 1)]


def tick_text(value: float, unit: float, preferences: Preferences = STANDARD) -> str:
    """Return a tick's number in the shown unit, with the learner's marks.

    Examples
    --------
    >>> tick_text(-457.2, 0.3048, Preferences(decimal_mark=","))
    '−1.500'
    >>> tick_text(926.0, 1852.0)
    '0.5'
    """
    shown = value / unit
    digits = next((n for n in range(5) if abs(round(shown, n) - shown) < 1e-6), 5)
    return show(shown, "number", preferences, digits=digits)


def _draw_axes(figure, frame, width, height, preferences, hides_x) -> None:
    a = frame.axes
    ax = figure.add_axes(
        (
            frame.left / width,
            1.0 - (frame.top + frame.height) / height,
            frame.width / width,
            frame.height / height,
        )
    )
    ax.set_facecolor("none")
    ax.set_xlim(*a.x)
    ax.set_ylim(*a.y)
    x_ticks = ticks(*a.x, a.x_unit, max(2, int(frame.width / 110))) if a.x_numbers else []
    y_ticks = ticks(*a.y, a.y_unit, max(2, int(frame.height / 48))) if a.y_numbers else []
    ax.set_xticks(
        x_ticks, ["" if hides_x else tick_text(v, a.x_unit, preferences) for v in x_ticks]
    )
    ax.set_yticks(y_ticks, [tick_text(v, a.y_unit, preferences) for v in y_ticks])
    ax.tick_params(colors=sentinel("muted"), labelcolor=sentinel("muted"), length=4, pad=5)
    for side, spine in ax.spines.items():
        spine.set_visible((side == "bottom" and a.x_numbers) or (side == "left" and a.y_numbers))
        spine.set_color(sentinel("edge"))
    if a.grid:
        ax.grid(True, color=sentinel("grid"), linewidth=0.8)
        ax.set_axisbelow(True)
    if not hides_x:
        ax.set_xlabel(a.x_label, color=sentinel("muted"), labelpad=6)
    figure.text(
        (frame.left - (46.0 if a.x_numbers or a.y_numbers else 0.0)) / width,
        1.0 - (frame.top - 13.0) / height,
        a.y_label,
        color=sentinel("muted"),
        va="baseline",
    )
    if a.draw:
        a.draw(ax, sentinel)
        ax.set_xlim(*a.x)
        ax.set_ylim(*a.y)


def _hides_x(axes: Sequence[SceneAxes], index: int) -> bool:
    mine = axes[index]
    below = [a for a in axes[index + 1 :] if a.column == mine.column]
    return mine.shared_x and any(a.shared_x for a in below)


def _equalised(a: SceneAxes, width: float, height: float) -> SceneAxes:
    if not a.equal:
        return a
    per_pixel = max(abs(a.x[1] - a.x[0]) / width, abs(a.y[1] - a.y[0]) / height)
    return replace(a, x=_widened(a.x, per_pixel * width), y=_widened(a.y, per_pixel * height))


def _widened(limits: tuple[float, float], span: float) -> tuple[float, float]:
    middle, half = sum(limits) / 2.0, math.copysign(span / 2.0, limits[1] - limits[0])
    return middle - half, middle + half


def _with_shared_x(frames: list[Frame]) -> list[Frame]:
    shared = [f.axes for f in frames if f.axes.shared_x]
    if not shared:
        return frames
    # An equal axes has settled its range already and the others take it over.
    span = next((a.x for a in shared if a.equal), shared[-1].x)
    unit = shared[-1].x_unit
    return [
        replace(f, axes=replace(f.axes, x=span, x_unit=unit)) if f.axes.shared_x else f
        for f in frames
    ]


def rounded_for(frame: Frame, values: Sequence[float], direction: str) -> list[float | None]:
    """Return coordinates rounded to a twentieth of a scene pixel, NaN as None.

    Fewer digits travel to the page, and a move too small to see is no change.
    """
    size = frame.pixel_size()[0 if direction == "x" else 1] * 0.05
    digits = -math.floor(math.log10(size))
    numbers = np.round(np.asarray(values, dtype=float), digits)
    return [v if math.isfinite(v) else None for v in numbers.tolist()]
