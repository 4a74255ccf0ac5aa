"""From bank, speed and feet to a turn that slips or skids, and the same over all pedals."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.wing_margins import (
    BALL_OUT_TOO_CLOSE_DEG,
    DIHEDRAL_DEG,
    SteadyTurn,
    steady_turn,
)
from lessonkit.units import mps_from_kt

PATHS = {"level": 0.0, "descending": -5.0}  # deg, of the path
SLOWEST, FASTEST = 1.1, 2.2  # of the stall speed, flaps up
SLOWEST_GLIDE, FASTEST_GLIDE = 0.8, 1.6  # of the best-glide speed, where no stall may be stated
START_SPEED, START_SPEED_GLIDE = 1.4, 1.0
STEEPEST_DEG = 45.0
MOST_PEDAL = 0.6  # share of full pedal, too much or too little
LEAST_TURN_DEG = 5.0  # of bank, below which there is no inside
PEDALS = np.linspace(-MOST_PEDAL, MOST_PEDAL, 25)
WHOLE_TRAVEL = np.linspace(-1.5, 1.5, 13)  # beyond the stops too: the middle ball may need it
NOT_OUT_DEG = 0.35  # a ball that is less off is in the middle, near enough


@dataclass(frozen=True)
class FeltTurn:
    """A turn with the learner's feet, and the same turn over all pedals.

    Parameters
    ----------
    values, asked : dict
        What is flown and drawn, and what the controls asked for: below `LEAST_TURN_DEG` of bank
        there is no inside, so that much is flown.
    turn : SteadyTurn
        As flown.
    over : SteadyTurn
        Arrays over `PEDALS`, the pedal beyond the one that holds the ball in the middle.
    centred : float
        Pedal that holds the ball in the middle, share of full, + right.
    centred_turn_rate : float
        Turn rate with the ball in the middle, + right. [deg/s]
    side : int
        1 for a right turn, -1 for a left one.
    """

    values: dict[str, Any]
    asked: dict[str, Any]
    turn: SteadyTurn
    over: SteadyTurn
    centred: float
    centred_turn_rate: float
    side: int

    @property
    def pedal(self) -> float:
        """Inside pedal against the middle ball as flown, too much +: full pedal ends it."""
        return self.side * (float(self.turn.flight.rudder) - self.centred)

    @property
    def kind(self) -> str:
        """Tell "slip" (ball inside), "skid" (ball outside) or "coordinated"."""
        ball = self.turn.ball_to_inside_deg
        if abs(ball) < NOT_OUT_DEG:
            return "coordinated"
        return "slip" if ball > 0.0 else "skid"

    @property
    def outside(self) -> str:
        """Name of the high wing."""
        return "left" if self.turn.inside == "right" else "right"

    @property
    def goes_first(self) -> str:
        """Name of the wing toward which yaw swings the nose at a stall, with the ball out."""
        return self.turn.inside if self.kind == "skid" else self.outside

    @property
    def nearer(self) -> str:
        """Wing that may be called nearer its stall, or "neither".

        With the ball out the assumptions decide a small difference, and a wing that yaw holds up
        must not be named as the one to watch.
        """
        if self.kind == "coordinated":
            return self.turn.wings.nearer
        sure = abs(self.turn.wings.difference_deg) >= BALL_OUT_TOO_CLOSE_DEG
        return self.goes_first if sure and self.turn.wings.nearer == self.goes_first else "neither"

    @property
    def least_margin_deg(self) -> float:
        """Angle of attack left at the wing that is nearer its stall."""
        return min(self.turn.wings.left_deg, self.turn.wings.right_deg)


class SkidBench:
    """The learner's airplane in a turn of any bank with any pedal."""

    def __init__(self, context):
        airplane = context.airplane
        self.lateral = airplane.lateral()
        self.dihedral_deg = DIHEDRAL_DEG[airplane.card.text("airplane.wing")]
        stall, glide = airplane.stall_cas(0.0), airplane.best_glide_cas()
        self.stall_known = stall is not None
        if stall is None:
            self.slowest, self.fastest = SLOWEST_GLIDE * glide, FASTEST_GLIDE * glide
            speed = START_SPEED_GLIDE * glide
        else:
            self.slowest, self.fastest = SLOWEST * stall, FASTEST * stall
            speed = START_SPEED * stall
        knot = mps_from_kt(1.0)
        self.start = {
            "pedal": 0.0,
            "bank": 30.0,
            "speed": knot * round(speed / knot),
            "power": 0.4,
            "path": "level",
        }

    def compute(self, values: dict[str, Any]) -> FeltTurn:
        """Return the turn that the controls ask for."""
        side = 1 if values["bank"] >= 0.0 else -1
        bank = side * max(abs(values["bank"]), LEAST_TURN_DEG)

        def turn(rudder):
            return steady_turn(
                self.lateral,
                values["speed"],
                bank,
                SEA_LEVEL_DENSITY,
                values["power"],
                rudder=rudder,
                dihedral_deg=self.dihedral_deg,
                path_angle_deg=PATHS[values["path"]],
            )

        # the ball moves against the pedal, steadily: the pedal of the middle ball is read off
        swept = turn(WHOLE_TRAVEL).flight
        order = np.argsort(swept.ball_deg)
        centred = float(np.interp(0.0, swept.ball_deg[order], WHOLE_TRAVEL[order]))
        rate = float(np.interp(centred, WHOLE_TRAVEL, swept.turn_rate_dps))
        wanted = float(np.clip(centred + side * values["pedal"], -1.0, 1.0))
        return FeltTurn(
            values={**values, "bank": bank},
            asked=dict(values),
            turn=turn(wanted),
            over=turn(centred + side * PEDALS),
            centred=centred,
            centred_turn_rate=rate,
            side=side,
        )
