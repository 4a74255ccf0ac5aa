"""The one picture view: axes drawn once, items moved in data coordinates."""

from lessonkit.scenes.axes import SceneAxes
from lessonkit.scenes.items import (
    Grab,
    Item,
    area,
    arrow,
    band,
    circle,
    horizontal,
    label,
    line,
    points,
    vertical,
)
from lessonkit.scenes.outside import OutsideView, outside_axes, outside_items
from lessonkit.scenes.runway import plan_runway, side_runway, wind_arrow
from lessonkit.scenes.scene import GrabEvent, Scene

__all__ = [
    "Grab",
    "GrabEvent",
    "Item",
    "OutsideView",
    "Scene",
    "SceneAxes",
    "area",
    "arrow",
    "band",
    "circle",
    "horizontal",
    "label",
    "line",
    "outside_axes",
    "outside_items",
    "plan_runway",
    "points",
    "side_runway",
    "vertical",
    "wind_arrow",
]
