"""The speed of each phase of the approach: the handbook's, or a multiple by a named rule."""

from dataclasses import dataclass

from lessonkit.airplane.airspeed_correction import best_cas_of, cas_of
from lessonkit.airplane.fit import Estimate
from lessonkit.airplane.rules import BASE_FACTOR, FINAL_FACTOR
from lessonkit.airplane.schema import RULE_OF_THUMB

DOWNWIND, BASE, FINAL = "downwind", "base", "final"
PHASES = (DOWNWIND, BASE, FINAL)
_FACTORS = {DOWNWIND: BASE_FACTOR, BASE: BASE_FACTOR, FINAL: FINAL_FACTOR}


@dataclass(frozen=True)
class ApproachSpeed:
    """The speed of one phase of the approach.

    Parameters
    ----------
    cas : float or None
        Calibrated airspeed. [m/s] None where none may be stated.
    origin : str
        Where it comes from.
    rule : Estimate or None
        The rule behind it, or why there is none; None for a handbook figure.
    """

    cas: float | None
    origin: str
    rule: Estimate | None = None

    @property
    def sentence(self) -> str:
        """The rule in words; empty for a handbook figure."""
        return "" if self.rule is None else self.rule.sentence


def approach_speed_of(airplane, phase: str) -> ApproachSpeed:
    """Return the speed of a phase: the handbook's, or a multiple of VS0 by a named rule.

    Parameters
    ----------
    airplane : Airplane
    phase : str
        "downwind", "base" or "final".

    Returns
    -------
    ApproachSpeed
        Without a speed, but with a sentence, where VS0 is IAS and there is no table.
    """
    if phase not in PHASES:
        raise ValueError(f"phase is {phase!r} but has to be one of {', '.join(PHASES)}.")
    path = f"approach.{phase}"
    printed = airplane.card.figure(path)
    flap = airplane.landing_flap_deg if phase == FINAL else 0.0
    mine = airplane.card.preferences()
    if printed is not None:
        certain = cas_of(airplane.card, printed, flap) is not None
        rule = None if certain else Estimate(path, "ias_approach", mine)
        return ApproachSpeed(best_cas_of(airplane.card, printed, flap), printed.origin, rule)
    stall = airplane.stall_cas(airplane.landing_flap_deg)
    if stall is None:
        return ApproachSpeed(None, RULE_OF_THUMB, Estimate(path, "no_multiple", mine))
    factor = _FACTORS[phase]
    values = (("factor", f"{factor:.1f}"),)
    glide = airplane.best_glide_cas()
    if phase == DOWNWIND and glide > factor * stall:
        # Slower than best glide an airplane without power only comes down more steeply.
        return ApproachSpeed(glide, RULE_OF_THUMB, Estimate(path, "approach_glide", mine, values))
    return ApproachSpeed(factor * stall, RULE_OF_THUMB, Estimate(path, "approach", mine, values))
