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
from lessonkit.scenes.scene import GrabEvent, Scene

__all__ = [
    "Grab",
    "GrabEvent",
    "Item",
    "Scene",
    "SceneAxes",
    "area",
    "arrow",
    "band",
    "circle",
    "horizontal",
    "label",
    "line",
    "points",
    "vertical",
]
