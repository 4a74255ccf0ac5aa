"""A small run by hand for the tests in a browser and the bench; a notebook cell imports it."""

import ipywidgets

from lessonkit.drills.inputs import Hands
from lessonkit.drills.loop import RealTimeLoop
from lessonkit.scenes import Scene, SceneAxes, label, line, points

LIMIT_S = 120.0


class ByHand:
    """A point that the stick moves across and the pedals up and down."""

    def __init__(self, name="hands_panel"):
        self.hands = Hands(("aileron", "rudder"))
        self.scene = Scene([SceneAxes("view", x=(-1.0, 1.0), y=(-1.0, 1.0))], height=240.0)
        self.x = self.y = 0.0
        self.stops = []
        self.loop = RealTimeLoop(
            self.step, self.draw, name=name, hands=self.hands, idle_limit_s=LIMIT_S
        )
        self.loop.on_stop(lambda stop: self.stops.append(stop.key))
        self.start = ipywidgets.Button(description="Start")
        self.halt = ipywidgets.Button(description="Stop")
        self.start.on_click(lambda _: self.loop.start())
        self.halt.on_click(lambda _: self.loop.stop())
        self.said = ipywidgets.Label("")
        self.widget = ipywidgets.VBox(
            [ipywidgets.HBox([self.start, self.halt, self.said]), self.scene.view, self.hands.view]
        )

    def step(self, t, now):
        self.x, self.y = now.aileron, now.rudder

    def draw(self):
        with self.scene.batch():
            self.scene.put(
                path=line("view", [0.0, self.x], [0.0, self.y]),
                at=points("view", self.x, self.y),
                text=label("view", -0.9, 0.9, f"picture {self.loop.pictures}"),
            )

    def tell(self):
        """Say on the page what only the kernel knows."""
        loop, delay = self.loop, self.hands.delay_s
        late = sorted(loop.lateness)
        p95 = late[int(0.95 * len(late))] if late else 0.0
        ms = 0.0 if delay is None else 1000.0 * delay
        self.said.value = (
            f"t {loop.t:.2f} pictures {loop.pictures} skipped {loop.skipped} "
            f"dropped {loop.dropped_s:.2f} late {1000 * p95:.2f} delay {ms:.1f} "
            f"stops {' '.join(self.stops)}"
        )


def show():
    """Build it, show it, and keep it where other cells find it."""
    import builtins

    builtins.by_hand = ByHand()
    return builtins.by_hand.widget
