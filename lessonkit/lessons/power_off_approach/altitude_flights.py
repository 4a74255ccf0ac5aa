"""The practice at altitude as the learner's airplane flies it; no page needed."""

import math
from dataclasses import dataclass, replace
from types import SimpleNamespace
from typing import Any

from lessonkit.airplane import Airplane, built_in_airfield
from lessonkit.lessons.power_off_approach.flights import Bench
from lessonkit.models.altitude_practice import (
    LEAST_FLOOR,
    AltitudePractice,
    lowest_line_altitude,
    practice_at_altitude,
)
from lessonkit.models.power_off_approach import COARSE_STEP, DRAFT_STEP
from lessonkit.models.wind_profile import Wind
from lessonkit.units import m_from_ft

ROUND_UP = m_from_ft(500.0)


@dataclass(frozen=True)
class Practice:
    """What the panel shows: the practice, or the altitude from which it is allowed."""

    values: dict[str, Any]
    practice: AltitudePractice | None
    lowest: float  # altitude of the lowest imaginary runway that keeps the floor [m]
    wind: Wind  # as it was flown in


class AltitudeBench:
    """The learner's airplane over a line on the ground."""

    def __init__(self, context):
        self.bench = Bench(context)
        self.elevation = context.airfield.elevation
        self.heading_deg = context.airfield.heading_deg
        self.side = context.airfield.side

    def start(self) -> dict[str, float]:
        """Return start values: ground as at the field, the lowest line that is a round number."""
        lowest = lowest_line_altitude(self.elevation)
        return {
            "line": math.ceil(lowest / ROUND_UP - 1e-9) * ROUND_UP,
            "ground": self.elevation,
            "floor": LEAST_FLOOR,
            "heading": self.heading_deg,
            "side": self.side,
        }

    def draft(self, values: dict[str, Any]) -> Practice:
        """Fly while a control moves."""
        return self._fly(values, DRAFT_STEP)

    def fly(self, values: dict[str, Any]) -> Practice:
        """Fly once the controls rest."""
        return self._fly(values, COARSE_STEP)

    def _fly(self, values, step):
        lowest = lowest_line_altitude(values["ground"], values["floor"])
        settings = {**self.bench.start, **values}
        wind = self.bench.wind(settings)
        if values["line"] < lowest - 0.5:
            return Practice(values, None, lowest, wind)
        practice = practice_at_altitude(
            replace(self.bench.plan(settings), side=values["side"]),
            self.bench.airplane.parameters(settings["mass"]),
            wind,
            values["line"],
            values["ground"],
            values["heading"],
            floor=values["floor"],
            coarse_step=step,
        )
        return Practice(values, practice, lowest, wind)


def usual_practice(airplane: Airplane) -> tuple[AltitudePractice, Wind]:
    """Return the practice as the panel starts: still air, the bench's own plan.

    Parameters
    ----------
    airplane : Airplane

    Returns
    -------
    practice : AltitudePractice
        Over the built-in airfield's ground, along its runway's heading, at the lowest round
        altitude that keeps the usual floor.
    wind : Wind
        What it was computed with.
    """
    bench = AltitudeBench(SimpleNamespace(airplane=airplane, airfield=built_in_airfield()))
    found = bench.fly({**bench.bench.start, **bench.start()})
    return found.practice, found.wind
