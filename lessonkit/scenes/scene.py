"""A scene: axes drawn once, items moved in data coordinates, one sentence, grab events.

>>> from lessonkit.scenes import Scene, SceneAxes, line
>>> scene = Scene([SceneAxes("side", x=(0.0, 100.0), y=(0.0, 50.0))], height=200)
>>> scene.put(path=line("side", [0.0, 50.0], [10.0, 20.0]))
>>> scene.item("path")["x"]
[0.0, 50.0]
"""

import contextlib
import functools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from lessonkit.scenes.axes import Frame, SceneAxes, arrange, draw_background, rounded_for
from lessonkit.scenes.items import Item
from lessonkit.scenes.view import SceneView
from lessonkit.words import Preferences
from lessonkit.words.preferences import STANDARD

PHASES = ("move", "end")
KEPT = 32  # backgrounds kept; some 30 kB each
# Panels are built anew when the airplane changes, mostly with the same axes: drawn once.
_drawn = functools.lru_cache(maxsize=KEPT)(draw_background)


@dataclass(frozen=True)
class GrabEvent:
    """A move of a grabbed item: where it is wanted, in data units of its axes."""

    name: str
    x: float
    y: float
    phase: str


class Scene:
    """One picture; ``scene.view`` is its widget.

    Parameters
    ----------
    axes : sequence of SceneAxes
        From top to bottom, in each column.
    columns : sequence of float
        Widths of the columns relative to each other; one column without it.
    width, height : float
        Size in scene pixels; the page scales the whole, keeping this ratio.
    alt : str
        What the picture shows, for screen readers; the live sentence is added to it.
    preferences : Preferences
        Decimal mark of the tick numbers.
    """

    def __init__(
        self,
        axes: Sequence[SceneAxes],
        *,
        columns: Sequence[float] = (1.0,),
        width: float = 900.0,
        height: float = 520.0,
        alt: str = "",
        preferences: Preferences = STANDARD,
    ) -> None:
        self.width, self.height = float(width), float(height)
        self.columns = tuple(columns)
        self.preferences = preferences
        self._frames: dict[str, Frame] = {}
        self._grab_handlers: list[Callable[[GrabEvent], None]] = []
        self._pending: dict[str, Any] | None = None
        self._depth = 0
        self._serial = 0
        frame, background = self._arranged(axes)
        shown = {
            "n": 0,
            "items": {},
            "sentence": "",
            "alt": alt,
            "stale": False,
            "locked": False,
            "large": False,
            "names": {},
        }
        self.view = SceneView(frame=frame, background=background, shown=shown)
        # Changed in place from here on, which sends nothing: see the module of the view.
        self._shown = self.view.shown
        self._items = self._shown["items"]
        self.view.observe(self._on_grabbed, names="grabbed")
        self.view.on_msg(self._on_message)

    def set_axes(self, axes: Sequence[SceneAxes]) -> None:
        """Draw the axes anew: for a change of units or ranges, not for every move."""
        frame, background = self._arranged(axes)
        with self.view.hold_sync():
            self.view.frame, self.view.background = frame, background

    def axes(self, name: str) -> SceneAxes:
        """Return axes as settled: an equal scale may have widened its ranges."""
        return self._frame(name).axes

    def pixel_size(self, axes: str) -> tuple[float, float]:
        """Return the size of a scene pixel in data units of some axes, along x and y."""
        return self._frame(axes).pixel_size()

    def put(self, **items: Item) -> None:
        """Draw items under their names; only those that changed travel to the page."""
        messages = {name: self._message(item) for name, item in items.items()}
        changed = {n: m for n, m in messages.items() if self._items.get(n) != m}
        if changed:
            self._items.update(changed)
            self._change()["set"].update(changed)
            self._change()["gone"] = [n for n in self._change()["gone"] if n not in changed]
            self._flush()

    def remove(self, *names: str) -> None:
        """Take items away; names that are not there are passed over."""
        gone = [name for name in names if self._items.pop(name, None) is not None]
        if gone:
            change = self._change()
            for name in gone:
                change["set"].pop(name, None)
            change["gone"].extend(gone)
            self._flush()

    def item(self, name: str) -> dict[str, Any]:
        """Return what is drawn under a name: kind, axes, role, x, y and style.

        Raises
        ------
        KeyError
            Naming the item that is not there.
        """
        if name not in self._items:
            raise KeyError(f"the scene has no item {name!r}; it has {', '.join(self._items)}")
        return self._items[name]

    def names(self) -> list[str]:
        """Return the names of all items, in drawing order."""
        return list(self._items)

    @property
    def sentence(self) -> str:
        """The live sentence under the picture."""
        return self._shown["sentence"]

    @property
    def alt(self) -> str:
        """What a screen reader says of the picture, the live sentence included."""
        return " ".join(part for part in (self._shown["alt"], self.sentence) if part)

    def tell(self, **texts: Any) -> None:
        """Change sentence, alt, stale, locked, large or names (of controls, by CSS class)."""
        unknown = set(texts) - (set(self._shown) - {"items", "n"})
        if unknown:
            raise ValueError(f"a scene does not know {', '.join(sorted(unknown))}")
        changed = {key: value for key, value in texts.items() if self._shown[key] != value}
        if changed:
            self._shown.update(changed)
            self._change().update(changed)
            self._flush()

    @contextlib.contextmanager
    def batch(self) -> Iterator[None]:
        """Send everything put, removed and told inside as one message."""
        self._depth += 1
        try:
            yield
        finally:
            self._depth -= 1
            self._flush()

    def on_grab(self, handler: Callable[[GrabEvent], None]) -> None:
        """Call a handler with every move of a grabbed item."""
        self._grab_handlers.append(handler)

    def grab(self, name: str, x: float, y: float, phase: str = "end") -> None:
        """Move a grabbed item as the page would: for tests and self-checks."""
        n = self.view.grabbed.get("n", 0) + 1
        self.view.grabbed = {"name": name, "x": float(x), "y": float(y), "phase": phase, "n": n}

    def _arranged(self, axes: Sequence[SceneAxes]) -> tuple[dict[str, Any], str]:
        frames = arrange(axes, self.width, self.height, self.columns)
        self._frames = {frame.axes.name: frame for frame in frames}
        places = [frame.message() for frame in frames]
        frame = {"width": self.width, "height": self.height, "axes": places}
        # Curves of a panel's own are drawn each time: what they follow may have changed.
        draw = draw_background if any(a.draw for a in axes) else _drawn
        return frame, draw(tuple(frames), self.width, self.height, self.preferences)

    def _on_message(self, _view: SceneView, message: Any, _buffers: Any) -> None:
        # A page that missed changes while it loaded asks for everything.
        if message == {"ask": "shown"}:
            self.view.send_state("shown")

    def _on_grabbed(self, change: dict[str, Any]) -> None:
        event = change["new"]
        try:
            if not self._shown["locked"]:
                known = _read_event(event, self._grab_names())
                for handler in self._grab_handlers:
                    handler(known)
        finally:
            # Always: the page holds the next move back until this one is dealt with.
            done = event.get("n", 0)
            self.view.grab_done = done if isinstance(done, int) else 0

    def _grab_names(self) -> set[str]:
        return {item["grab"]["name"] for item in self._items.values() if "grab" in item}

    def _frame(self, name: str) -> Frame:
        if name not in self._frames:
            raise ValueError(f"the scene has no axes {name!r}; it has {', '.join(self._frames)}")
        return self._frames[name]

    def _message(self, item: Item) -> dict[str, Any]:
        frame = self._frame(item.axes)
        message = {
            "kind": item.kind,
            "axes": item.axes,
            "role": item.role,
            "x": rounded_for(frame, item.x, "x"),
            "y": rounded_for(frame, item.y, "y"),
            **item.style,
        }
        if item.grab:
            message["grab"] = {**asdict(item.grab), "step": list(item.grab.step)}
        return message

    def _change(self) -> dict[str, Any]:
        if self._pending is None:
            self._pending = {"set": {}, "gone": []}
        return self._pending

    def _flush(self) -> None:
        if self._depth or self._pending is None:
            return
        self._serial += 1
        change, self._pending = self._pending, None
        self._shown["n"] = self._serial
        self.view.moved = {"n": self._serial, **change}


def _read_event(event: dict[str, Any], names: set[str]) -> GrabEvent:
    name, phase = event.get("name"), event.get("phase")
    if name not in names or phase not in PHASES:
        raise ValueError(f"no grab {name!r} with phase {phase!r} in this scene")
    return GrabEvent(name, float(event["x"]), float(event["y"]), phase)
