"""Pictures of exercises as data: the page turns them into a scene, a print into a drawing.

A picture has axes and things drawn in them, all in SI. Its texts belong to the question, by key:
``[exercise.<question>.picture]`` holds ``alt`` (what the picture shows, for those who cannot see
it) and a text for each label of an axis or an item. So a picture needs no preferences.

>>> from lessonkit.exercises.picture import Line, Picture, PictureAxes, Points
>>> picture = Picture(
...     axes=(PictureAxes("side", x=(-2000.0, 500.0), y=(0.0, 300.0), x_kind="distance_nm",
...                       y_kind="height", x_label="along", y_label="height"),),
...     items=(Line((-1500.0, 0.0), (200.0, 0.0)), Points((-1500.0,), (200.0,), role="reference")),
... )
>>> picture.axes_named("").name
'side'
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

Numbers = Sequence[float]


@dataclass(frozen=True)
class PictureAxes:
    """One set of axes; several stand below each other.

    Parameters
    ----------
    name : str
        Name that items refer to.
    x, y : tuple of two floats
        Values at the left and right, at the bottom and top. A larger first value turns the axis
        round: in a plan view y grows to the right of the landing direction, downward on the page.
        [SI]
    x_kind, y_kind : str
        Kind of quantity of the number formatter: gives the unit of the numbers at the axis.
    x_label, y_label : str
        Key of a text ``picture.<key>`` without unit; the unit is put behind it.
    x_sign, y_sign : float
        -1 shows values of the other sign: left traffic at y < 0 as distances above zero.
    equal : bool
        Same scale along x and y: for plan views.
    share : float
        Part of the picture's height, relative to the other axes.
    y_numbers : bool
        False for a strip on which only the place along x means something.
    """

    name: str
    x: tuple[float, float]
    y: tuple[float, float]
    x_kind: str
    y_kind: str
    x_label: str
    y_label: str
    x_sign: float = 1.0
    y_sign: float = 1.0
    equal: bool = False
    share: float = 1.0
    y_numbers: bool = True


@dataclass(frozen=True)
class Line:
    """A line through points. `role` as in the scenes' theme; `axes` empty for the first ones."""

    x: Numbers
    y: Numbers
    role: str = "main"
    axes: str = ""


@dataclass(frozen=True)
class Points:
    """One or many marks; the role gives colour and mark together. `size` in scene pixels."""

    x: Numbers
    y: Numbers
    role: str = "main"
    axes: str = ""
    size: float = 5.0


@dataclass(frozen=True)
class Area:
    """A filled polygon; `fill` names a ground of the theme, such as "pavement"."""

    x: Numbers
    y: Numbers
    role: str = "main"
    axes: str = ""
    fill: str = ""


@dataclass(frozen=True)
class Label:
    """A text at a point: the question's text ``picture.<text>`` with its numbers put in.

    `anchor` is "start", "middle" or "end"; `offset` moves it right and down. [scene pixels]
    """

    x: float
    y: float
    text: str
    role: str = "ink"
    axes: str = ""
    anchor: str = "start"
    offset: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True)
class Arrow:
    """An arrow from one point to another: a wind, a direction of flight."""

    x: float
    y: float
    to_x: float
    to_y: float
    role: str = "reference"
    axes: str = ""


@dataclass(frozen=True)
class Vertical:
    """A marker line over the whole height at one x."""

    x: float
    role: str = "limit"
    axes: str = ""


@dataclass(frozen=True)
class Horizontal:
    """A marker line over the whole width at one y."""

    y: float
    role: str = "limit"
    axes: str = ""


PictureItem = Line | Points | Area | Label | Arrow | Vertical | Horizontal


@dataclass(frozen=True)
class Picture:
    """Axes and what is drawn in them.

    Parameters
    ----------
    axes : tuple of PictureAxes
        From top to bottom.
    items : tuple of PictureItem
        In drawing order.
    height : float
        Height of the whole at a width of 900. [scene pixels]
    """

    axes: tuple[PictureAxes, ...]
    items: tuple[PictureItem, ...] = field(default=())
    height: float = 420.0

    def axes_named(self, name: str) -> PictureAxes:
        """Return axes by name, the first ones for an empty name.

        Raises
        ------
        KeyError
            Naming the axes that are not there.
        """
        for axes in self.axes:
            if name in ("", axes.name):
                return axes
        raise KeyError(f"the picture has no axes {name!r}")

    def text_keys(self) -> list[str]:
        """Return the keys below ``picture`` of all texts that it needs, each once."""
        keys = ["alt"]
        for axes in self.axes:
            keys += [axes.x_label, axes.y_label]
        keys += [item.text for item in self.items if isinstance(item, Label)]
        return list(dict.fromkeys(key for key in keys if key))


def runway_from_above(length: float, width: float, axes: str = "") -> tuple[PictureItem, ...]:
    """Return a runway in plan view: threshold at x = 0, centreline at y = 0.

    Parameters
    ----------
    length, width : float
        A width that could be seen: some 60 m in a picture of a whole pattern. [m]
    axes : str
        Plan view; the first axes without it.
    """
    half = width / 2.0
    return (
        Area((0.0, length, length, 0.0), (-half, -half, half, half), "muted", axes, "pavement"),
        Line((0.0, length), (0.0, 0.0), "ink", axes),
    )


def runway_from_side(length: float, thick: float, axes: str = "") -> tuple[PictureItem, ...]:
    """Return a runway as a strip on the ground line of a side view.

    Parameters
    ----------
    length, thick : float
        [m]
    axes : str
        Side view with height upward; the first axes without it.
    """
    xs, ys = (0.0, length, length, 0.0), (-thick, -thick, thick, thick)
    return (Area(xs, ys, "muted", axes, "edge"),)
