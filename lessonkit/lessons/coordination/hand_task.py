"""One drill of the feet as the panel with hands flies it: by hand, or set beforehand and played."""

from collections import Counter
from typing import Any

import numpy as np

from lessonkit.drills.feedback import shown_after
from lessonkit.drills.rhythm import DURATION
from lessonkit.drills.synthetic_pilots import SyntheticPilot
from lessonkit.lessons.coordination.hand_flight import (
    SECONDS_A_ROLL,
    STEEPEST_DEG,
    HandFlight,
    Review,
    fly_with,
    reviewed,
    rolls_in,
    yardsticks,
)
from lessonkit.lessons.coordination.hand_picture import HandPicture
from lessonkit.lessons.coordination.hand_program import BANK_DEG, Program, program, speed_range
from lessonkit.lessons.coordination.hand_story import flying, moment, sentence, traces_again
from lessonkit.words import say, show

LEAST_S = 8.0  # of a run that can be judged
CONTROLS = ("aileron", "rudder")


class HandTask:
    """Rolls on a heading, or the nose held straight.

    Parameters
    ----------
    context : LessonContext
    scene : Scene
        Of ``hand_picture.make_scene``.
    task : str
        `HEADING` or `STRAIGHT`.
    """

    seconds = DURATION

    def __init__(self, context, scene, task: str) -> None:
        self.context, self.task = context, task
        self.lateral = context.airplane.lateral()
        self.picture = HandPicture(context, scene, task)
        self.tries: dict[str, int] = {}
        self._flight: HandFlight | None = None
        self._sources: Counter[str] = Counter()

    # ------------------------------------------------------------------ set beforehand

    def program(self, values: dict[str, Any], more: int = 0) -> Program:
        """Return the run that the controls ask for, or the one `more` rhythms later."""
        return program(
            self.task,
            values["level"],
            self.lateral,
            speed_range(self.context.airplane),
            values["cas"],
            round(values["rhythm"]) + more,
        )

    def compute(self, values: dict[str, Any]) -> Review:
        """Fly the run with the feet that are set."""
        made = self.program(values)
        return reviewed(made, fly_with(made, feet(made, values)), False)

    def draw(self, scene, review: Review, values: dict[str, Any]) -> str:
        """Draw a run that is over: all of it, or only its points when traces fade."""
        shown = shown_after(self.tries.get(review.program.level, 0) or 1)
        told = sentence(review, self.context)
        if review.by_hand and not shown.traces:
            again = traces_again(shown, self.context)
            self.picture.only_points(review, values["moment"], again)
            return told
        self.picture.traces(review, values["moment"])
        return told

    def draw_asked(self, scene, review: Review, values: dict[str, Any]) -> str:
        """Draw no run: needed pedals and advice would answer the question."""
        self.picture.begin()
        return say("hands_on.live.asked", preferences=self.context.preferences)

    # ------------------------------------------------------------------ by hand

    def begin(self, values: dict[str, Any]) -> tuple[str, ...]:
        """Make ready for a run; another rhythm each time, so that nobody learns it by heart."""
        made = self.program(values, self.tries.get(values["level"], 0) + 1)
        self._flight, self._sources = HandFlight(made), Counter()
        self.picture.begin()
        return made.flown_by_hand

    def step(self, _t: float, hands: Any) -> None:
        """Fly one step."""
        by_hand = "aileron" in self._flight.program.flown_by_hand
        self._sources[hands.sources["rudder"]] += 1
        self._flight.step(hands.rudder, hands.aileron if by_hand else None)

    def show(self) -> str:
        """Draw the moment."""
        last = self._flight.last()
        self.picture.moment(last)
        return flying(self._flight.program, last["time"], self.context)

    def kit_places(self) -> dict[str, float]:
        """Where the kit holds the stick."""
        if "aileron" in self._flight.program.flown_by_hand:
            return {}
        return {"aileron": self._flight.last()["aileron"]}

    def end(self, delay_s: float) -> Review:
        """Judge the run.

        Raises
        ------
        ValueError
            If it was too short, in one sentence.
        """
        trace, made = self._flight.trace, self._flight.program
        self._refuse_what_is_no_run(trace, made)
        self.tries[made.level] = self.tries.get(made.level, 0) + 1
        source = self._sources.most_common(1)[0][0]
        trace.source, trace.input_delay_s, trace.level = source, delay_s, made.level
        return reviewed(made, trace, True)

    @property
    def broken_off(self) -> bool:
        """True once the run has left what the drill is about."""
        return self._flight.too_steep

    def _refuse_what_is_no_run(self, trace, made) -> None:
        words = self.context.preferences
        seconds = len(trace) * made.step
        values = {
            "least": show(LEAST_S, "time_s", words),
            "steepest": show(STEEPEST_DEG, "bank", words),
            "bank": show(BANK_DEG, "bank", words),
            "preferences": words,
        }
        if self._flight.too_steep:
            raise ValueError(say("hands_on.live.steep", **values))
        if seconds < LEAST_S:
            raise ValueError(say("hands_on.live.short", **values))
        if "aileron" in made.flown_by_hand and rolls_in(trace) < seconds / SECONDS_A_ROLL:
            raise ValueError(say("hands_on.live.few", **values))

    def replay(self, review: Review, t: float) -> str:
        """Draw a moment of a run that is over."""
        self.picture.at(review, t)
        return moment(review, t, self.context)

    def noted(self, review: Review) -> dict[str, Any]:
        """Return what the record keeps: what was flown, its points and the one thing to change."""
        points = review.points
        return {
            "task": self.task,
            "level": review.program.level,
            "rhythm": review.program.seed,
            "seconds": round(len(review.trace) * review.program.step, 1),
            "source": review.trace.source,
            "points": None if points is None else round(points),
            "advice": review.advice.key,
        }


def feet(made: Program, values: dict[str, Any]) -> np.ndarray:
    """Return the pedals that the set-and-play controls ask for in a run [share of travel]."""
    pilot = SyntheticPilot(
        late_s=values["late"],
        left_gain=values["left"],
        right_gain=values["right"],
        noise=0.0,
    )
    return pilot.rudder(yardsticks(made).needed, made.step)
