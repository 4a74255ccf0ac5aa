"""From pedal or crosswind to a steady slip: its sink, its path, and how much pedal is left."""

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from lessonkit.models.slip import SteadySlip, steady_slip
from lessonkit.models.steady_flight import SteadyFlight
from lessonkit.models.steady_sideslip import (
    crosswind_limit,
    crosswind_slip,
    steady_sideslip_of_rudder,
)
from lessonkit.units import m_from_ft, mps_from_kt

USES = ("height", "wind")
FORWARD = m_from_ft(1000.0)  # over which the height lost is told
MOST_WIND = mps_from_kt(25.0)
SLOWEST, FASTEST = 1.2, 1.8  # of the stall speed, flaps up
SLOWEST_GLIDE, FASTEST_GLIDE = 0.85, 1.35  # of the best-glide speed, where no stall is stated
WINDS = np.linspace(0.0, MOST_WIND, 26)
# Which flaps each line of the card keeps from slipping.
NOT_WITH = {"not with full flaps": "full", "not with flaps": "any", "prohibited": "all"}


@dataclass(frozen=True)
class Slip:
    """A steady slip at idle, and the straight glide at the same speed.

    Parameters
    ----------
    flight : SteadyFlight
        Sideslip, bank, ball and controls.
    descent : SteadySlip
        Sink in the slip and without it.
    limit, other_limit : float
        Crosswind that takes all of the pedal or the aileron: from the side of this wind, and from
        the other; alike where the slip is for height. [m/s]
    pedals : array
        Share of full pedal over `WINDS` from that side, + away from the wind.
    refused : str
        Why the card keeps this airplane from slipping so: "", "full", "any" or "all".
    """

    values: dict[str, Any]
    flight: SteadyFlight
    descent: SteadySlip
    limit: float
    other_limit: float
    pedals: np.ndarray
    refused: str

    @property
    def crosswind(self) -> float:
        """Crosswind in m/s that this slip balances, whatever its side."""
        angle = math.radians(abs(self.flight.sideslip_deg))
        return self.values["speed"] * math.sin(angle)

    @property
    def wind_side(self) -> int:
        """1 for wind from the right, -1 from the left: the side whose pedal is drawn."""
        return 1 if self.flight.sideslip_deg >= 0.0 else -1

    @property
    def pedal_away(self) -> float:
        """Share of full pedal, + away from the wind; below 0 the fin's offset does too much."""
        return -self.wind_side * float(self.flight.rudder)

    @property
    def lower_deg(self) -> float:
        """How much lower the nose is than in the straight glide at the same speed: the paths."""
        paths = (self.descent.sink_rate, self.descent.straight_sink_rate)
        slipping, straight = (math.asin(float(sink) / self.values["speed"]) for sink in paths)
        return math.degrees(slipping - straight)

    @property
    def held(self) -> bool:
        """True while the controls reach it."""
        return bool(max(abs(self.flight.rudder), abs(self.flight.aileron)) <= 1.0 + 1e-9)

    def lost(self, sink: float) -> float:
        """Return the height in m that is lost over the told distance at a sink."""
        return FORWARD * math.tan(math.asin(sink / self.values["speed"]))


class SlipBench:
    """The learner's airplane, idling, in any slip.

    The fin is set for cruise, which at idle takes up pedal on one side. A crosswind is held
    against that, so its sides differ; a slip for height is the mean of both, as in the lesson on
    the approach.
    """

    def __init__(self, context):
        self.airplane = context.airplane
        rigged = self.airplane.lateral()
        mean = replace(rigged, propeller=None, rigged_yaw=0.0, rigged_roll=0.0)
        self.laterals = {"height": mean, "wind": rigged}
        self.parameters = self.airplane.parameters()
        stall, glide = self.airplane.stall_cas(0.0), self.airplane.best_glide_cas()
        if stall is None:
            self.slowest, self.fastest = SLOWEST_GLIDE * glide, FASTEST_GLIDE * glide
        else:
            self.slowest, self.fastest = SLOWEST * stall, FASTEST * stall
        knot = mps_from_kt(1.0)
        final = self.airplane.approach_cas("final") or glide
        whole = knot * round(final / knot)
        least, most = knot * math.ceil(self.slowest / knot), knot * int(self.fastest / knot)
        self.start = {
            "use": "height",
            "pedal": 0.0,
            "crosswind": mps_from_kt(6.0),
            "speed": min(max(whole, least), most),
            "flap": self.airplane.flap_deg[0],
        }
        self._stops: dict[tuple, tuple[float, float, np.ndarray]] = {}

    @property
    def demonstrated(self) -> float | None:
        """Demonstrated crosswind of the card in m/s, or None."""
        return self.airplane.card.value("limits.crosswind")

    def compute(self, values: dict[str, Any]) -> Slip:
        """Return the slip that the controls ask for."""
        speed, flap = values["speed"], values["flap"]
        if values["use"] == "height":
            flight = steady_sideslip_of_rudder(self.laterals["height"], speed, values["pedal"])
        else:  # the control counts wind from the left, the model wind from the right
            flight = crosswind_slip(self.laterals["wind"], speed, -values["crosswind"])
        side = 1 if flight.sideslip_deg >= 0.0 else -1
        limit, other_limit, pedals = self._stop(values["use"], speed, side)
        return Slip(
            values=dict(values),
            flight=flight,
            descent=steady_slip(
                self.parameters, speed, -1.0, flap, full_sideslip_deg=flight.sideslip_deg
            ),
            limit=limit,
            other_limit=other_limit,
            pedals=pedals,
            refused=self._refused(flap),
        )

    def _stop(self, use, speed, side):
        key = (use, speed, side)
        if key not in self._stops:
            if len(self._stops) > 100:
                self._stops.clear()
            lateral = self.laterals[use]
            pedals = -side * crosswind_slip(lateral, speed, side * WINDS).rudder
            ends = (float(crosswind_limit(lateral, speed, one)) for one in (side, -side))
            self._stops[key] = (*ends, pedals)
        return self._stops[key]

    def _refused(self, flap):
        kept = NOT_WITH.get(self.airplane.card.text("limits.slips"), "")
        hit = {
            "": False,
            "full": flap > 0.0 and flap == self.airplane.landing_flap_deg,
            "any": flap > 0.0,
            "all": True,
        }[kept]
        return kept if hit else ""
