"""What the exercises of the airplane card share: speeds as the dial shows them, example figures.

A card whose stall speeds are IAS without a correction table gives no certain stall speed. The
exercises then take an example figure and say so, so that no multiple is stated of the card's own.
"""

from lessonkit.airplane.schema import CAS
from lessonkit.exercises import Fact, Variable
from lessonkit.models.stall import stall_speed_at_load_factor, stall_speed_at_weight
from lessonkit.units import mps_from_kt
from lessonkit.words import say

LESSON = "airplane_card"
# Stall speeds for a card without certain ones: invented, plausible for a light four-seater.
EXAMPLE_STALL = {"up": mps_from_kt(50.0), "landing": mps_from_kt(45.0)}


def kt(key: str, low_kt: float, high_kt: float, step_kt: float, kind: str = "speed") -> Variable:
    """Return a speed that is drawn in whole knots."""
    return Variable(key, kind, mps_from_kt(low_kt), mps_from_kt(high_kt), mps_from_kt(step_kt))


def share(low: float, high: float) -> Variable:
    """Return the weight as a share of the greatest, drawn in steps of 2.5 %."""
    return Variable("share", "percent", low, high, 0.025)


def greatest(airplane) -> float:
    """Return the greatest mass of the card, in kg."""
    return airplane.card.value("weights.max")


def weight(airplane, values) -> float:
    """Return the mass that was drawn, in kg."""
    return values["share"] * greatest(airplane)


LEAST_CREW = 60.0  # kg above the empty weight: one light pilot, our choice
LIGHTEST_ASKED = 0.875  # of the greatest weight: lighter than this can always be drawn


def is_manned(airplane, values) -> bool:
    """Tell whether the mass that was drawn leaves room for a pilot, where that can be known."""
    empty = airplane.card.value("weights.empty")
    if empty is None:
        return True
    return weight(airplane, values) >= min(empty + LEAST_CREW, LIGHTEST_ASKED * greatest(airplane))


def has_own_stall(airplane, flap_deg: float) -> bool:
    """Tell whether the card gives a certain stall speed at a flap setting."""
    return airplane.stall_cas(flap_deg) is not None


def stall(airplane, flap_deg: float, mass: float, load_factor: float = 1.0) -> float:
    """Return a stall speed, CAS in m/s: the card's where it is certain, else the example's."""
    own = airplane.stall_cas(flap_deg, mass, load_factor)
    if own is not None:
        return own
    example = EXAMPLE_STALL["landing" if flap_deg > 0.0 else "up"]
    at_weight = stall_speed_at_weight(example, greatest(airplane), mass)
    return float(stall_speed_at_load_factor(at_weight, load_factor))


def stall_fact(airplane, cas: float, flap_deg: float = 0.0) -> Fact:
    """Return a stall speed for the texts: CAS, and the dial's where the card has a table."""
    if not has_own_stall(airplane, flap_deg):
        return Fact(cas, "speed", suffix=say("airplane_card.example.stall"))
    return Fact(cas, "speed", suffix=CAS, also=dial(airplane, cas, flap_deg))


def result_fact(airplane, cas: float) -> Fact:
    """Return a stall speed that was worked out, flaps up: CAS, and the dial's if it is known."""
    known = has_own_stall(airplane, 0.0)
    return Fact(cas, "speed", suffix=CAS, also=dial(airplane, cas) if known else None)


def dial(airplane, cas: float, flap_deg: float = 0.0, digits: int | None = None) -> Fact:
    """Return what the airspeed indicator shows, for the texts."""
    speed, kind = airplane.shown_speed(cas, flap_deg)
    return Fact(speed, "speed", digits, suffix=kind)


def printed(figure) -> Fact:
    """Return a speed of the card as it is printed, IAS or CAS."""
    return Fact(figure.value, "speed", suffix=figure.airspeed)
