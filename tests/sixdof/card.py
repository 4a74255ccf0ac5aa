"""A card as a learner would fill it in after flights in the reference airplane."""

from typing import NamedTuple

from lessonkit.airplane import card_from_text, fit_airplane
from lessonkit.models.stall import stall_speed_at_load_factor
from lessonkit.units import kt_from_mps, lb_from_kg, mps_from_kt
from sixdof.measures import Glides, glides, stall
from sixdof.reference import FULL_FLAP_DEG, MASS, SPAN_FT, WING_AREA_FT2

FLAPS_DEG = (0.0, 10.0, 20.0, 30.0)

CARD = """\
format = 1
[airplane]
name = "6-DoF reference"
wing = "high"
origin = "measured in flight"
[airspeed]
kind = "CAS"
[weights]
max = {weight:.0f}
[wing]
area = {area:g}
span = {span:g}
[speeds]
VS0 = {vs0:.0f}
VS1 = {vs1:.0f}
[flaps]
settings = {settings}
glide_speeds = {glide_speeds}
glide_ratios = {glide_ratios}
[glide]
speed = {speed:.0f}
ratio = {ratio:.1f}
flap = 0
propeller = "idle"
"""


class Measured(NamedTuple):
    """What the reference airplane showed: 1-g stall speeds [m/s] and glides per flap setting."""

    stall_clean: float
    stall_landing: float
    glides: dict[float, Glides]


def measure(airplane):
    """Fly the stalls and the glides that a card needs."""
    stalls = (
        stall(airplane, MASS),
        stall(airplane, MASS, FULL_FLAP_DEG, about=mps_from_kt(49.0)),
    )
    # The path steepens on the way into a stall, so the wing carries less than the weight.
    at_one_g = (stall_speed_at_load_factor(one.eas, 1.0 / one.load_factor) for one in stalls)
    return Measured(*at_one_g, {flap: glides(airplane, MASS, flap) for flap in FLAPS_DEG})


def card_text(measured, with_flap_glides=True, drag=0.0, flap_drag=0.0):
    """The figures on a card, rounded as they are read off: whole knots, tenths of a ratio.

    With `drag` and `flap_drag` the card claims less drag than the airplane has, by these shares
    flaps up and further with full flaps, as the handbook of a worn airplane does.
    """
    best = []
    for flap in FLAPS_DEG:
        speed, ratio = measured.glides[flap].best()
        best.append((speed, ratio * (1.0 + drag + flap_drag * flap / FULL_FLAP_DEG)))
    speeds = ["", *(round(kt_from_mps(speed)) for speed, _ in best[1:])]
    ratios = ["", *(round(float(ratio), 1) for _, ratio in best[1:])]
    nothing = [""] * len(FLAPS_DEG)
    return CARD.format(
        weight=lb_from_kg(MASS),
        area=WING_AREA_FT2,
        span=SPAN_FT,
        vs0=kt_from_mps(measured.stall_landing),
        vs1=kt_from_mps(measured.stall_clean),
        settings=[round(flap) for flap in FLAPS_DEG],
        glide_speeds=_listed(speeds if with_flap_glides else nothing),
        glide_ratios=_listed(ratios if with_flap_glides else nothing),
        speed=kt_from_mps(best[0][0]),
        ratio=best[0][1],
    )


def _listed(entries):
    return "[" + ", ".join('""' if one == "" else str(one) for one in entries) + "]"


def airplane_of(measured, with_flap_glides=True):
    """The kit's airplane of that card."""
    return fit_airplane(card_from_text(card_text(measured, with_flap_glides)))
