"""Places the names of curves: inside their picture, clear of each other and of the ring.

Lengths are counted for large type, so that nothing moves or meets when it is switched on.
"""

import numpy as np

LETTER_PX, TALL_PX, DEEP_PX = 0.56 * 13.0 * 1.45, 15.0, 5.0  # of a text in large type
RING_PX = 20.0  # half the width of the ring with its arrows
START_PX, GAP_PX = 4.0, 6.0  # from the place on the curve to the text, and after it
PLACES = {  # where along the time a curve is named first of all, and how far off it [s, pixels]
    "aileron": (0.95, -6.0),
    "rudder": (2.9, 17.0),
    "needed": (2.1, -7.0),
    "stop_right": (3.3, -5.0),
    "stop_left": (3.3, 17.0),
    "bank": (3.4, 17.0),
    "bank_clean": (2.3, -8.0),
    "nose": (2.6, 17.0),
    "nose_clean": (1.6, -10.0),
    "sideslip_deg": (1.9, -7.0),
    "ball_deg": (3.0, 17.0),
    "yaw_rate_deg": (3.4, 17.0),
    "roll_rate_deg": (1.9, -8.0),
    "lateral_load": (2.6, -8.0),
}
STEP = 0.1  # s between the places tried


class Names:
    """What is written so far, by axes.

    Parameters
    ----------
    scene : Scene
        With its axes as drawn.
    rings : dict of str to float
        Time of a ring half way up some axes, by their name. [s]
    """

    def __init__(self, scene, rings: dict[str, float]):
        self._scene = scene
        self._taken: dict[str, list[tuple[float, ...]]] = {}
        for axes, time in rings.items():
            x, y = self._pixels(axes, time, 0.5 * sum(scene.axes(axes).y))
            box = (x - RING_PX, x + RING_PX, y - RING_PX, y + RING_PX)
            self._taken[axes] = [box]

    def beside(self, axes: str, key: str, time, values, text: str):
        """Return place and offset of a curve's name: the first tried that is free.

        Returns
        -------
        tuple
            The place (time, value) on the curve, and the offset (right, down) in pixels.
        """
        first, off = PLACES[key]
        others = np.arange(0.1, time[-1], STEP)
        tried = [first, *others[np.argsort(np.abs(others - first), kind="stable")]]
        low, high = self._scene.axes(axes).y
        at = np.clip(np.interp(tried, time, values), low, high)
        across = 17.0 if off < 0.0 else -7.0
        found = None
        for offset in (off, across):
            for place in zip(tried, at, strict=True):
                box = self._box(axes, place, offset, text)
                if not self._inside(axes, box):
                    continue
                found = found or (place, offset, box)
                if not any(_meet(box, other) for other in self._taken.get(axes, [])):
                    return self._take(axes, place, offset, box)
        place, offset, box = found or (
            (first, at[0]), off, self._box(axes, (first, at[0]), off, text)
        )  # fmt: skip
        return self._take(axes, place, offset, box)

    def _take(self, axes, place, offset, box):
        self._taken.setdefault(axes, []).append(box)
        return (float(place[0]), float(place[1])), (START_PX, offset)

    def _pixels(self, axes, time, value):
        """Return a place in pixels from the upper left corner of some axes."""
        settled, (wide, tall) = self._scene.axes(axes), self._scene.pixel_size(axes)
        return (time - settled.x[0]) / abs(wide), (settled.y[1] - value) / abs(tall)

    def _box(self, axes, place, offset, text):
        x, y = self._pixels(axes, *place)
        left, base = x + START_PX, y + offset
        return left, left + LETTER_PX * len(text) + GAP_PX, base - TALL_PX, base + DEEP_PX

    def _inside(self, axes, box):
        settled = self._scene.axes(axes)
        right, bottom = self._pixels(axes, settled.x[1], settled.y[0])
        return box[0] >= 0.0 and box[1] <= right and box[2] >= -1.0 and box[3] <= bottom + 1.0


def _meet(one, other):
    return one[0] < other[1] and other[0] < one[1] and one[2] < other[3] and other[2] < one[3]
