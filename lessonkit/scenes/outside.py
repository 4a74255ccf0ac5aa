"""Our own plain view through the windscreen: horizon, far marks, cowling, posts and a ball.

Everything is in degrees seen from the pilot's eye, in a windscreen fixed to the airplane; the
middle of the picture is where the nose points. The world moves in it, the cowling does not::

    scene = Scene([outside_axes("outside", nose_cutoff_deg=7.0)])
    view = OutsideView("outside", nose_cutoff_deg=7.0, preferences=preferences)
    scene.put(**view.items(bank_deg=20.0, heading_deg=-3.0, ball_deg=2.0))   # once, all of it
    scene.put(**view.moving(bank_deg=21.0, heading_deg=-3.1, ball_deg=1.9))  # then what moves

Right wing down: the horizon rises towards the right. Nose left of the tower: the tower stands
right of the pin on the cowling. Ball out to the right: on the right in the tube.
"""

import functools
import math

import numpy as np

from lessonkit.models.view_geometry import seen_in_windscreen
from lessonkit.scenes.axes import SceneAxes
from lessonkit.scenes.items import Item, area, label, points
from lessonkit.words import Preferences, say, show
from lessonkit.words.preferences import STANDARD

HALF_WIDTH_DEG = 33.0  # of the picture; a wide scene shows more
HIGH_DEG = 12.0  # upper edge
TEXT_ROOM_DEG = 8.0  # half a mark's text in large type: it ends inside the picture
COWLING_DEEP_DEG = 4.5  # of the cowling that shows, above the edge of the instrument panel
TUBE_BELOW_DEG = 7.8  # of the ball's tube, below the cowling's highest point
LOW_DEG = 10.6  # lower edge, below the cowling's highest point
POST_DEG = 28.0  # of the windscreen posts, left and right

MARK_EVERY_DEG = 10
TEXT_EVERY_DEG = 20
TEXT_SLOTS = 5  # so many texts at most stand in the picture at a time
MARK_TALL_DEG = 0.9
TOWER = ((-0.4, 0.0), (-0.28, 3.2), (-0.62, 3.2), (-0.62, 4.2), (0.62, 4.2), (0.62, 3.2),
         (0.28, 3.2), (0.4, 0.0))  # fmt: skip
TALLEST_DEG = 4.2
FAR = 150.0  # ends of horizon and ground, outside every picture

TUBE_RADIUS_DEG = 70.0
TUBE_END_DEG = 11.0  # the ball's angle at the ends of the tube
BALL_RADIUS_DEG = 1.5
AROUND = np.linspace(0.0, 2.0 * np.pi, 15)[:-1]


def outside_axes(
    name: str = "outside",
    *,
    nose_cutoff_deg: float,
    half_width_deg: float = HALF_WIDTH_DEG,
    share: float = 1.0,
    y_label: str = "",
    **more,
) -> SceneAxes:
    """Return axes for the view, in degrees at equal scale, without numbers.

    Parameters
    ----------
    name : str
        Name of the axes.
    nose_cutoff_deg : float
        Lowest line of sight over the nose, below level. [deg]
    half_width_deg : float
        Half of the picture's width; a wide scene shows more. [deg]
    share : float
        Part of the scene's height.
    y_label : str
        Text above the picture.
    **more
        Other fields of ``SceneAxes``.
    """
    return SceneAxes(
        name,
        x=(-half_width_deg, half_width_deg),
        y=(-nose_cutoff_deg - LOW_DEG, HIGH_DEG),
        y_label=y_label,
        share=share,
        equal=True,
        x_numbers=False,
        y_numbers=False,
        grid=False,
        **more,
    )


class OutsideView:
    """Makes the items of one view.

    Parameters
    ----------
    axes : str
        Name of axes made by ``outside_axes``.
    nose_cutoff_deg : float
        Lowest line of sight over the nose, below level: the cowling's highest point. [deg]
    preferences : Preferences
        For the texts.
    prefix : str
        Before each item's name, where two views share a scene.
    """

    def __init__(
        self,
        axes: str = "outside",
        *,
        nose_cutoff_deg: float,
        preferences: Preferences = STANDARD,
        prefix: str = "outside_",
    ) -> None:
        self.axes, self.prefix, self.preferences = axes, prefix, preferences
        self.nose_cutoff_deg = float(nose_cutoff_deg)
        self.behind_all = self._named(_sky(axes))
        self.fixed = self._named(
            {**_airplane(axes, self.nose_cutoff_deg), "ball_text": self._ball_text()}
        )

    def items(
        self,
        *,
        bank_deg: float,
        heading_deg: float,
        ball_deg: float,
        pitch_deg: float = 0.0,
        path: tuple[float, float] | None = None,
    ) -> dict[str, Item]:
        """Return everything, in drawing order: put it once, then only ``moving``.

        Parameters are those of ``moving``.
        """
        moving = self.moving(
            bank_deg=bank_deg,
            heading_deg=heading_deg,
            ball_deg=ball_deg,
            pitch_deg=pitch_deg,
            path=path,
        )
        inside = {name: moving.pop(name) for name in self._named({"ball": None, "path": None})}
        return {**self.behind_all, **moving, **self.fixed, **inside}

    def moving(
        self,
        *,
        bank_deg: float,
        heading_deg: float,
        ball_deg: float,
        pitch_deg: float = 0.0,
        path: tuple[float, float] | None = None,
    ) -> dict[str, Item]:
        """Return what moves: ground, horizon, marks, tower, their texts, path and ball.

        Parameters
        ----------
        bank_deg : float
            + right wing down. [deg]
        heading_deg : float
            Nose against the tower, + right of it. [deg]
        ball_deg : float
            Angle of the ball in its tube, + out to the right; it stops at the tube's ends. [deg]
        pitch_deg : float
            Nose above the horizon, counted from the pitch at which the cowling hides all that is
            more than ``nose_cutoff_deg`` below the horizon. [deg]
        path : tuple of two floats, optional
            Angle of attack (from that same line) and sideslip: puts a cross where the airplane
            is going. [deg]
        """
        turned = (heading_deg, pitch_deg, bank_deg)
        items = {
            "ground": area(self.axes, *_ground(pitch_deg, bank_deg), role="muted", fill="land"),
            "horizon": area(self.axes, *_horizon(pitch_deg, bank_deg), role="ink", fill="ink"),
            "marks": area(self.axes, *_marks(*turned), role="ink", fill="ink"),
            "tower": area(self.axes, *_tower(*turned), role="reference", fill="reference"),
            **self._texts(*turned),
            "path": points(self.axes, *_path(path), role="good", size=7.0, mark="cross"),
            "ball": area(
                self.axes, *_ball(ball_deg, self.nose_cutoff_deg), role="main", fill="main"
            ),
        }
        return self._named(items)

    def _named(self, items):
        return {self.prefix + name: item for name, item in items.items()}

    def _ball_text(self):
        x, y = _on_tube(TUBE_END_DEG, self.nose_cutoff_deg)
        text = say("outside.ball", preferences=self.preferences)
        return label(self.axes, x, y, text, offset=(8.0, 0.0))

    def _texts(self, heading_deg, pitch_deg, bank_deg):
        """Write beside some marks how far they lie from the tower; hide what is not in sight."""
        middle = round(heading_deg / TEXT_EVERY_DEG)
        steps = np.arange(middle - TEXT_SLOTS // 2, middle - TEXT_SLOTS // 2 + TEXT_SLOTS)
        tall = np.where(steps * TEXT_EVERY_DEG % 360 == 0, TALLEST_DEG, MARK_TALL_DEG) + 0.5
        right, up = seen_in_windscreen(
            steps * float(TEXT_EVERY_DEG), tall, heading_deg, pitch_deg, bank_deg
        )
        edge = -self.nose_cutoff_deg - _cowling_drop(right)
        room = (
            (np.abs(right) < HALF_WIDTH_DEG - TEXT_ROOM_DEG) & (up > edge) & (up < HIGH_DEG - 1.0)
        )
        items = {}
        for step, x, y, shown in zip(steps.tolist(), right, up, room, strict=True):
            text = _mark_text(step * TEXT_EVERY_DEG, self.preferences) if shown else ""
            role = "reference" if step * TEXT_EVERY_DEG % 360 == 0 else "ink"
            items[f"text_{step % TEXT_SLOTS}"] = label(
                self.axes, *((x, y) if shown else (0.0, 0.0)), text, role=role, anchor="middle"
            )
        return items


def outside_items(
    axes: str,
    *,
    bank_deg: float,
    heading_deg: float,
    ball_deg: float,
    nose_cutoff_deg: float,
    pitch_deg: float = 0.0,
    path: tuple[float, float] | None = None,
    prefix: str = "outside_",
    preferences: Preferences = STANDARD,
) -> dict[str, Item]:
    """Return all items of one still view; see ``OutsideView`` for one that moves."""
    view = OutsideView(
        axes, nose_cutoff_deg=nose_cutoff_deg, preferences=preferences, prefix=prefix
    )
    return view.items(
        bank_deg=bank_deg, heading_deg=heading_deg, ball_deg=ball_deg, pitch_deg=pitch_deg,
        path=path,
    )  # fmt: skip


# ---------------------------------------------------------------- the world


@functools.lru_cache(maxsize=256)
def _mark_text(azimuth_deg: int, preferences: Preferences) -> str:
    azimuth = (azimuth_deg + 180) % 360 - 180
    if azimuth in (0, -180):
        return say(f"outside.{'tower' if azimuth == 0 else 'behind'}", preferences=preferences)
    angle = show(float(abs(azimuth)), "angle_deg", preferences, digits=0)
    side = "right" if azimuth > 0 else "left"
    return say(f"outside.{side}", angle=angle, preferences=preferences)


def _horizon_line(pitch_deg, bank_deg):
    """Return a point of the horizon in the picture, its direction, and the way down from it."""
    bank = math.radians(bank_deg)
    drop = math.degrees(math.tan(math.radians(pitch_deg)))
    point = np.array([drop * math.sin(bank), -drop * math.cos(bank)])
    along = np.array([math.cos(bank), math.sin(bank)])
    return point, along, np.array([along[1], -along[0]])


def _strip(pitch_deg, bank_deg, deep):
    point, along, down = _horizon_line(pitch_deg, bank_deg)
    ends = point - FAR * along, point + FAR * along
    corners = np.array([*ends, ends[1] + deep * down, ends[0] + deep * down])
    return corners[:, 0], corners[:, 1]


def _ground(pitch_deg, bank_deg):
    return _strip(pitch_deg, bank_deg, FAR)


def _horizon(pitch_deg, bank_deg):
    # A thin area, because the lines of the theme are dashed where they are not the main one.
    return _strip(pitch_deg, bank_deg, 0.16)


def _sky(axes):
    wide = np.array([-FAR, FAR, FAR, -FAR])
    return {"sky": area(axes, wide, [-FAR, -FAR, FAR, FAR], role="muted", fill="sky")}


def _marks(heading_deg, pitch_deg, bank_deg):
    """Return thin posts on the horizon every ten degrees, where no tower stands."""
    middle = round(heading_deg / MARK_EVERY_DEG)
    steps = np.arange(middle - 5, middle + 6)
    places = steps[steps * MARK_EVERY_DEG % 360 != 0] * float(MARK_EVERY_DEG)
    across = np.array([-0.09, 0.09, 0.09, -0.09, np.nan])
    height = np.array([0.0, 0.0, MARK_TALL_DEG, MARK_TALL_DEG, np.nan])
    azimuth = (places[:, None] + across).ravel()
    return seen_in_windscreen(
        azimuth, np.tile(height, places.size), heading_deg, pitch_deg, bank_deg
    )


def _tower(heading_deg, pitch_deg, bank_deg):
    shape = np.array(TOWER)
    return seen_in_windscreen(shape[:, 0], shape[:, 1], heading_deg, pitch_deg, bank_deg)


def _path(path):
    """Return where the airplane is going: below the nose by the angle of attack."""
    if path is None:
        return [], []
    alpha, beta = (math.radians(angle) for angle in path)
    return (
        math.degrees(math.tan(beta) / math.cos(alpha)),
        -math.degrees(math.tan(alpha)),
    )


# ---------------------------------------------------------------- the airplane


def _cowling_drop(right):
    """Return how far the cowling's edge lies below its highest point."""
    inside = np.clip(np.abs(right) / 19.0, 0.0, 1.0)
    return 8.0 * (1.0 - np.sqrt(1.0 - inside**2))


def _airplane(axes, cutoff):
    """Return what is fixed to the airplane: cowling, pin, posts, panel edge and tube."""
    across = np.linspace(-19.0, 19.0, 21)
    top = -cutoff - _cowling_drop(across)
    sill, low = -cutoff - COWLING_DEEP_DEG, -cutoff - 40.0
    sides = [
        _box(side * POST_DEG - 0.45, side * POST_DEG + 0.45, sill, FAR) for side in (-1.0, 1.0)
    ]
    bars = [
        _box(*sorted((side * (POST_DEG - 0.7), side * (POST_DEG - 2.6))), -0.16, 0.16)
        for side in (-1.0, 1.0)
    ]
    pin = np.array([[-0.28, -cutoff - 0.2], [0.0, 2.0 - cutoff], [0.28, -cutoff - 0.2]])
    wall = [[-FAR, low], [FAR, low], [FAR, sill - 1.6], [0.0, sill], [-FAR, sill - 1.6]]
    return {
        "cowling": area(
            axes, [*across, 19.0, -19.0], [*top, sill - 2.5, sill - 2.5], role="ink", fill="edge"
        ),
        "pin": area(axes, pin[:, 0], pin[:, 1], role="ink", fill="ink"),
        "posts": area(axes, *_joined(sides), role="ink", fill="edge"),
        "bars": area(axes, *_joined(bars), role="ink", fill="ink"),
        "wall": area(axes, *np.array(wall).T, role="ink", fill="raised"),
        **_tube(axes, cutoff),
    }


def _box(left, right, low, high):
    return np.array([[left, low], [right, low], [right, high], [left, high]])


def _joined(shapes):
    gap = np.array([[np.nan, np.nan]])
    whole = np.vstack([part for shape in shapes for part in (shape, shape[:1], gap)])
    return whole[:, 0], whole[:, 1]


def _on_tube(angle_deg, cutoff, out=0.0):
    """Return a place in the tube, which is curved upward at both ends."""
    angle, radius = np.radians(angle_deg), TUBE_RADIUS_DEG + out
    lowest = -cutoff - TUBE_BELOW_DEG
    return radius * np.sin(angle), lowest + TUBE_RADIUS_DEG - radius * np.cos(angle)


def _tube(axes, cutoff):
    wide = BALL_RADIUS_DEG * 1.1
    ends = np.linspace(-TUBE_END_DEG, TUBE_END_DEG, 15)
    outer, inner = _on_tube(ends, cutoff, wide), _on_tube(ends[::-1], cutoff, -wide)
    gauge = math.degrees(BALL_RADIUS_DEG * 1.2 / TUBE_RADIUS_DEG)
    lines = []
    for side in (-1.0, 1.0):
        x, y = _on_tube(side * gauge, cutoff)
        lines.append(_box(x - 0.12, x + 0.12, y - wide, y + wide))
    return {
        "tube": area(
            axes, [*outer[0], *inner[0]], [*outer[1], *inner[1]], role="ink", fill="surface"
        ),
        "gauge": area(axes, *_joined(lines), role="ink", fill="ink"),
    }


def _ball(ball_deg, cutoff):
    reach = TUBE_END_DEG - math.degrees(BALL_RADIUS_DEG / TUBE_RADIUS_DEG)
    x, y = _on_tube(min(max(ball_deg, -reach), reach), cutoff)
    return x + BALL_RADIUS_DEG * np.cos(AROUND), y + BALL_RADIUS_DEG * np.sin(AROUND)
