"""Picture of the drills of the feet: the view outside, pedals used and needed, bank and nose."""

import numpy as np

from lessonkit.drills.rhythm import DURATION
from lessonkit.lessons.coordination.hand_program import STRAIGHT
from lessonkit.lessons.coordination.hand_story import clean_name, facts
from lessonkit.lessons.coordination.panel_parts import outside_view
from lessonkit.scenes import Grab, Scene, SceneAxes, horizontal, label, line, points, vertical
from lessonkit.scenes.outside import TUBE_BELOW_DEG, outside_axes
from lessonkit.words import say, show

WORDS = "hands_on.picture"
SHARE = 0.01  # one shown unit of the pedals' axis is a percent
PEDAL_REACH, NOSE_REACH_DEG = 1.0, 25.0
DRAWN = 300  # points of a line: finer than the picture shows
# Middle of stick and pedals in the view, and how far they go to each side. [deg]
HAND_PLACES, HAND_REACH = {"aileron": -24.0, "rudder": 24.0}, 7.0
MARGIN = 0.4  # s from the right edge


def make_scene(context, task: str) -> Scene:
    """Return the scene of a drill, with the view outside on top."""
    words = context.preferences
    axes = [
        outside_axes(
            "outside",
            nose_cutoff_deg=context.airplane.nose_cutoff_deg,
            share=2.6,
            y_label=say(f"{WORDS}.outside", preferences=words),
        ),
        SceneAxes(
            "feet",
            x=(0.0, DURATION),
            y=(-PEDAL_REACH, PEDAL_REACH),
            y_unit=SHARE,
            y_label=say(f"{WORDS}.feet", preferences=words),
            shared_x=True,
        ),
        SceneAxes(
            "nose",
            x=(0.0, DURATION),
            y=(-NOSE_REACH_DEG, NOSE_REACH_DEG),
            x_label=say(f"{WORDS}.time", preferences=words),
            y_label=say(f"{WORDS}.nose.{task}", preferences=words),
            shared_x=True,
        ),
    ]
    alt = say(f"{WORDS}.alt.{task}", preferences=words)
    return Scene(axes, height=640.0, alt=alt, preferences=words)


class HandPicture:
    """Draws a drill: the moment while it is flown, the whole of it afterwards.

    Parameters
    ----------
    context : LessonContext
    scene : Scene
        Of ``make_scene``.
    task : str
        `HEADING` or `STRAIGHT`.
    """

    def __init__(self, context, scene: Scene, task: str) -> None:
        self.context, self.scene, self.task = context, scene, task
        self.view = outside_view(context)
        scene.put(**self.view.items(bank_deg=0.0, heading_deg=0.0, ball_deg=0.0))
        scene.put(**self._tracks(), **self._hands(0.0, 0.0))

    def begin(self) -> None:
        """Take the traces away: while flying, look outside."""
        self._clear()
        self.scene.put(
            feet_zero=horizontal("feet", 0.0, role="muted"),
            nose_zero=horizontal("nose", 0.0, role="muted"),
        )

    def moment(self, sample: dict[str, float]) -> None:
        """Draw the view outside at one sample, and how far the run is."""
        self.scene.put(
            **self._outside(sample), now=vertical("feet", sample["time"], role="reference")
        )

    def traces(self, review, moment: float) -> None:
        """Draw the whole run, and the view at one moment of it."""
        trace, ideal = review.trace, review.beside.ideal
        time = trace["time"]
        few = np.unique(np.linspace(0, len(time) - 1, min(DRAWN, len(time))).astype(int))
        t = time[few]
        # A heading that went round is drawn to the edge of the axes, not across the page.
        nose, clean = (_inside(h[few]) for h in (trace["heading_deg"], ideal.heading_deg))
        self._clear()
        self.scene.put(
            feet_zero=horizontal("feet", 0.0, role="muted"),
            nose_zero=horizontal("nose", 0.0, role="muted"),
            needed=line("feet", t, np.clip(review.beside.needed[few], -1, 1), role="reference"),
            used=line("feet", t, np.clip(trace["rudder"][few], -1, 1), role="main"),
            clean=line("nose", t, clean, role="reference"),
            nose=line("nose", t, nose, role="main"),
            third=self._third(t, trace, few),
            **self._names(t, trace, ideal, review, few),
            facts=self._facts(review),
        )
        self.at(review, moment)

    def at(self, review, moment: float) -> None:
        """Draw the view outside and the moment's line for a run that is over."""
        time = review.trace["time"]
        index = int(np.clip(np.searchsorted(time, moment), 0, len(time) - 1))
        sample = {name: float(c[index]) for name, c in review.trace.arrays().items()}
        text = show(float(time[index]), "time_s", self.context.preferences, digits=1)
        name = say(f"{WORDS}.moment", preferences=self.context.preferences)
        grab = Grab("moment", name, along="x", step=(0.1, 1.0), low=0.0, high=DURATION, text=text)
        self.scene.put(
            **self._outside(sample), now=vertical("feet", time[index], role="muted", grab=grab)
        )

    def only_points(self, review, moment: float, text: str) -> None:
        """Draw no trace: a sentence says when they come again."""
        self.begin()
        self.scene.put(later=label("feet", 0.5 * DURATION, 0.0, text, anchor="middle"))
        self.at(review, moment)

    def _clear(self):
        self.scene.remove(
            "needed", "used", "clean", "nose", "third", "later", "facts",
            *(f"name_{key}" for key in ("needed", "used", "clean", "nose", "third")),
        )  # fmt: skip

    def _outside(self, sample):
        seen = self.view.moving(
            bank_deg=sample["bank_deg"],
            heading_deg=sample["heading_deg"],
            ball_deg=sample["ball_deg"],
        )
        return {**seen, **self._hands(sample["aileron"], sample["rudder"])}

    def _row(self):
        """Return the height of stick and pedals in the view: that of the ball."""
        return -self.context.airplane.nose_cutoff_deg - TUBE_BELOW_DEG

    def _tracks(self):
        """Draw how far stick and pedals go, left and right of the ball, where the eye is."""
        items = {}
        for key, middle in HAND_PLACES.items():
            text = say(f"{WORDS}.hand.{key}", preferences=self.context.preferences)
            reach = [middle - HAND_REACH, middle + HAND_REACH]
            row = self._row()
            items[f"track_{key}"] = line("outside", reach, [row, row], role="muted")
            items[f"centre_{key}"] = points(
                "outside", middle, row, role="muted", size=5.0, mark="bar"
            )
            items[f"hand_name_{key}"] = label(
                "outside", middle, row, text, anchor="middle", offset=(0.0, 20.0)
            )
        return items

    def _hands(self, aileron, rudder):
        """Return the marks of stick and pedals."""
        shares = {"aileron": aileron, "rudder": rudder}
        return {
            f"hand_{key}": points(
                "outside",
                HAND_PLACES[key] + HAND_REACH * float(np.clip(share, -1.0, 1.0)),
                self._row(),
                role="main",
                size=7.0,
                mark="square" if key == "aileron" else "circle",
            )
            for key, share in shares.items()
        }

    def _third(self, t, trace, few):
        """Bank in rolls; power, over the height of the axes, where the nose is held straight."""
        if self.task == STRAIGHT:
            scaled = NOSE_REACH_DEG * (2.0 * trace["power"][few] - 1.0)
            return line("nose", t, scaled, role="muted")
        return line("nose", t, _inside(trace["bank_deg"][few]), role="muted")

    def _names(self, t, trace, ideal, review, few):
        """Write beside each line what it is, where the lines are far apart."""
        used, needed = trace["rudder"][few], review.beside.needed[few]
        nose, clean = trace["heading_deg"][few], ideal.heading_deg[few]
        third = trace["bank_deg"][few]
        if self.task == STRAIGHT:
            third = NOSE_REACH_DEG * (2.0 * trace["power"][few] - 1.0)
        rows = {
            "used": ("feet", used, needed, "main"),
            "needed": ("feet", needed, used, "reference"),
            "nose": ("nose", nose, clean, "main"),
            "clean": ("nose", clean, nose, "reference"),
            "third": ("nose", third, nose, "muted"),
        }
        return {
            f"name_{key}": self._name(review, key, t, axes, own, other, role)
            for key, (axes, own, other, role) in rows.items()
        }

    def _facts(self, review):
        """Write what was measured above the pedals, at the right."""
        at = DURATION, PEDAL_REACH
        return label("feet", *at, facts(review, self.context), anchor="end", offset=(0.0, -6.0))

    def _name(self, review, key, t, axes, own, other, role):
        reach = PEDAL_REACH if axes == "feet" else NOSE_REACH_DEG
        inside = np.abs(own) < 0.8 * reach
        early = t < 0.85 * max(float(t[-1]), 1.0)
        apart = np.where(inside & early, np.abs(own - other), -1.0)
        best = int(np.argmax(apart))
        up = own[best] >= other[best]
        part = self.task if key == "third" else "name"
        if key == "clean":
            text = clean_name(review, self.context)
        else:
            text = say(f"{WORDS}.line.{key}.{part}", preferences=self.context.preferences)
        place = float(np.clip(own[best], -0.8 * reach, 0.8 * reach))
        return label(
            axes, float(t[best]) + MARGIN, place, text, role=role, offset=(0.0, -7 if up else 17)
        )


def _inside(degrees):
    return np.clip(degrees, -NOSE_REACH_DEG, NOSE_REACH_DEG)
