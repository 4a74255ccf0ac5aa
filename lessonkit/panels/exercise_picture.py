"""The picture of an exercise on the page: from plain data to a scene."""

from collections.abc import Callable

from lessonkit import scenes
from lessonkit.exercises import Item, picture
from lessonkit.exercises.picture import Picture, PictureAxes
from lessonkit.scenes import Scene, SceneAxes
from lessonkit.words import from_shown, unit_of

WIDTH = 900.0


def scene_of(item: Item, shown: Picture) -> Scene:
    """Return a scene that shows a picture with the item's texts.

    Parameters
    ----------
    item : Item
        Gives texts and preferences.
    shown : Picture
        Of the item, perhaps for some settings.
    """
    scene = Scene(
        _scene_axes(item, shown),
        width=WIDTH,
        height=shown.height,
        alt=item.say("picture.alt"),
        preferences=item.preferences,
    )
    show_picture(scene, item, shown)
    return scene


def show_picture(scene: Scene, item: Item, shown: Picture) -> None:
    """Draw a picture in a scene that shows one already; axes stay as they are."""
    items = {f"p{index}": _DRAW[type(drawn)](item, shown, drawn)
             for index, drawn in enumerate(shown.items)}  # fmt: skip
    old = [name for name in scene.names() if name[0] == "p" and name[1:].isdigit()]
    with scene.batch():
        scene.remove(*(name for name in old if name not in items))
        scene.put(**items)


def _scene_axes(item: Item, shown: Picture) -> list[SceneAxes]:
    return [
        SceneAxes(
            axes.name,
            x=axes.x,
            y=axes.y,
            x_label=_label(item, axes.x_label, axes.x_kind),
            y_label=_label(item, axes.y_label, axes.y_kind if axes.y_numbers else ""),
            x_unit=_unit(item, axes.x_kind, axes.x_sign),
            y_unit=_unit(item, axes.y_kind, axes.y_sign),
            share=axes.share,
            equal=axes.equal,
            shared_x=_shares_x(shown, axes),
            y_numbers=axes.y_numbers,
        )
        for axes in shown.axes
    ]


def _shares_x(shown: Picture, axes: PictureAxes) -> bool:
    """Tell whether other axes show the same range: then one set of numbers serves all."""
    same = [one for one in shown.axes if (one.x, one.x_kind) == (axes.x, axes.x_kind)]
    return len(same) > 1


def _label(item: Item, key: str, kind: str) -> str:
    name = item.say(f"picture.{key}") if key else ""
    unit = unit_of(kind, item.preferences) if kind else ""
    return ", ".join(part for part in (name, unit) if part)


def _unit(item: Item, kind: str, sign: float) -> float:
    zero, one = (from_shown(value, kind, item.preferences) for value in (0.0, 1.0))
    return sign * float(one - zero)


def _axes(shown: Picture, drawn: picture.PictureItem) -> str:
    return shown.axes_named(drawn.axes).name


def _line(item, shown, drawn):
    return scenes.line(_axes(shown, drawn), drawn.x, drawn.y, role=drawn.role)


def _points(item, shown, drawn):
    axes = _axes(shown, drawn)
    return scenes.points(axes, drawn.x, drawn.y, role=drawn.role, size=drawn.size)


def _area(item, shown, drawn):
    axes = _axes(shown, drawn)
    return scenes.area(axes, drawn.x, drawn.y, role=drawn.role, fill=drawn.fill)


def _text(item, shown, drawn):
    return scenes.label(
        _axes(shown, drawn),
        drawn.x,
        drawn.y,
        item.say(f"picture.{drawn.text}"),
        role=drawn.role,
        anchor=drawn.anchor,
        offset=drawn.offset,
    )


def _arrow(item, shown, drawn):
    ends = drawn.x, drawn.y, drawn.to_x, drawn.to_y
    return scenes.arrow(_axes(shown, drawn), *ends, role=drawn.role)


def _vertical(item, shown, drawn):
    return scenes.vertical(_axes(shown, drawn), drawn.x, role=drawn.role)


def _horizontal(item, shown, drawn):
    return scenes.horizontal(_axes(shown, drawn), drawn.y, role=drawn.role)


_DRAW: dict[type, Callable] = {
    picture.Line: _line,
    picture.Points: _points,
    picture.Area: _area,
    picture.Label: _text,
    picture.Arrow: _arrow,
    picture.Vertical: _vertical,
    picture.Horizontal: _horizontal,
}
