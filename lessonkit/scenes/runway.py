"""Parts that many scenes share: the runway in plan and side view, and a wind arrow.

Axes as everywhere in the kit: x along the landing direction from the threshold, y to the right
of it. Each function returns named items for ``Scene.put(**items)``.
"""

import math

from lessonkit.scenes.items import Item, area, arrow, label, line, points
from lessonkit.scenes.scene import Scene

LEAST_WIDTH_PX = 8.0  # a runway drawn to scale would vanish in a picture of a whole pattern
ARROW_PX_PER_MPS = 5.0
ARROW_LEAST_PX = 16.0
CALM = 0.25  # m/s; below it no direction is drawn


def plan_runway(
    scene: Scene, axes: str, length: float, width: float, aiming_point: float | None = None
) -> dict[str, Item]:
    """Return the runway from above.

    Parameters
    ----------
    scene : Scene
        Where it will be drawn: a very small width is widened until it can be seen.
    axes : str
        Plan view.
    length, width : float
        Of the runway. [m]
    aiming_point : float, optional
        Distance from the threshold. [m]
    """
    half = max(width, LEAST_WIDTH_PX * scene.pixel_size(axes)[1]) / 2.0
    items = {
        "runway": area(
            axes,
            [0.0, length, length, 0.0],
            [-half, -half, half, half],
            role="muted",
            fill="pavement",
        ),
        "runway_centreline": line(axes, [0.0, length], [0.0, 0.0], role="ink"),
    }
    if aiming_point is not None:
        items["runway_aiming_point"] = points(axes, aiming_point, 0.0, role="reference", size=4.0)
    return items


def side_runway(
    scene: Scene, axes: str, length: float, aiming_point: float | None = None
) -> dict[str, Item]:
    """Return the runway as a strip on the ground line of a side view, height 0 at its top.

    Parameters
    ----------
    scene : Scene
        Where it will be drawn.
    axes : str
        Side view with height upward.
    length : float
        Of the runway. [m]
    aiming_point : float, optional
        Distance from the threshold. [m]
    """
    deep = -3.0 * scene.pixel_size(axes)[1]
    items = {
        "side_runway": area(
            axes,
            [0.0, length, length, 0.0],
            [deep, deep, -deep, -deep],
            role="muted",
            fill="edge",
        )
    }
    if aiming_point is not None:
        items["side_aiming_point"] = points(axes, aiming_point, 0.0, role="reference", size=4.0)
    return items


def wind_arrow(
    scene: Scene, axes: str, x: float, y: float, wind_x: float, wind_y: float, text: str
) -> dict[str, Item]:
    """Return an arrow that flies with the wind, centred at a point, and its label below.

    Parameters
    ----------
    scene : Scene
        Where it will be drawn: the arrow's length is in pixels, growing with the wind.
    axes : str
        Plan view.
    x, y : float
        Middle of the arrow. [data units of the axes]
    wind_x, wind_y : float
        Velocity of the air; a tailwind on final has wind_x above zero. [m/s]
    text : str
        Label, such as "Wind 8 kt".
    """
    size_x, size_y = scene.pixel_size(axes)
    speed = math.hypot(wind_x, wind_y)
    if speed < CALM:
        dx = dy = 0.0
        calm = points(axes, x, y, role="reference", size=5.0, mark="circle")
    else:
        half = (ARROW_LEAST_PX + ARROW_PX_PER_MPS * speed) / 2.0
        dx, dy = wind_x / speed * half * size_x, wind_y / speed * half * size_y
        calm = points(axes, [], [], role="reference", mark="circle")
    offset = (0.0, 26.0 + ARROW_PX_PER_MPS * speed / 2.0 * abs(wind_y) / max(speed, CALM))
    return {
        "wind_arrow": arrow(axes, x - dx, y - dy, x + dx, y + dy, role="reference"),
        "wind_calm": calm,
        "wind_text": label(axes, x, y, text, role="reference", anchor="middle", offset=offset),
    }
