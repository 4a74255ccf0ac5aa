"""The roll-yaw motion of a card's airplane: a published set, scaled to it, and what is assumed."""

import math

from lessonkit.airplane.fit import Estimate
from lessonkit.airplane.schema import CLOCKWISE as CARD_CLOCKWISE
from lessonkit.airplane.schema import COUNTERCLOCKWISE, ZERO_THRUST
from lessonkit.models.lateral_airplane import (
    ADVERSE_YAW_FACTOR,
    FULL_AILERON_HELIX,
    LateralAirplane,
    scaled,
)
from lessonkit.models.lateral_sets import SETS, PublishedSet
from lessonkit.models.powered_propeller import CRUISE_POWER_SHARE, cruise_tas_of_power
from lessonkit.models.propeller_yaw import (
    CLOCKWISE,
    COUNTER_CLOCKWISE,
    full_power_ratio,
    propeller_yaw,
)
from lessonkit.models.slip import FULL_RUDDER_SIDESLIP_DEG
from lessonkit.words import say, show

# Set C comes from flight tests of a low-wing airplane. Set A is of the same kind, but its yaw due
# to roll rate is so large in cruise that the nose would swing most there, against all experience.
SET_OF_WING = {"high": "B", "low": "C"}
CRUISE_DENSITY = 1.1206  # kg/m3 at 3,000 ft of the standard atmosphere: where it is rigged
# At a fixed pitch the RPM goes as the cube root of the power, and cruise is flown at 75 %.
FULL_POWER_RPM_OF_CRUISE = CRUISE_POWER_SHARE ** (-1.0 / 3.0)
_ADVERSE_YAW = "coordination.adverse_yaw"
_SIDESLIP = "coordination.full_rudder_sideslip"
_PROPELLER = ("engine.power", "propeller.diameter", "engine.cruise_rpm")


def set_of(card) -> PublishedSet:
    """Return the published set that stands in for this airplane's stability."""
    return SETS[SET_OF_WING[card.text("airplane.wing")]]


def adverse_yaw_of(card) -> float:
    """Return the card's adverse-yaw factor, or the typical one."""
    typed = card.value(_ADVERSE_YAW)
    return ADVERSE_YAW_FACTOR if typed is None else typed


def full_rudder_sideslip_of(card) -> float:
    """Return the sideslip at full rudder and idle in degrees: the card's, or the typical one."""
    typed = card.value(_SIDESLIP)
    return FULL_RUDDER_SIDESLIP_DEG if typed is None else typed


def lateral_of(airplane, mass=None) -> LateralAirplane:
    """Return the airplane as the roll-yaw motion sees it.

    Parameters
    ----------
    airplane : Airplane
        A fitted card.
    mass : float, optional
        Mass as flown; today's without it. [kg]

    Returns
    -------
    LateralAirplane
    """
    card, parameters = airplane.card, airplane.parameters(mass)
    published = set_of(card)
    typed = {
        "adverse_yaw_factor": adverse_yaw_of(card),
        "full_rudder_sideslip_deg": full_rudder_sideslip_of(card),
    }
    propeller = _propeller(card, parameters, published)
    if propeller is None:
        return scaled(published, parameters, **typed)
    clean = airplane.parameters(mass, ZERO_THRUST)
    return scaled(
        published,
        parameters,
        propeller=propeller,
        cruise_tas=cruise_tas_of_power(propeller.power, clean, CRUISE_DENSITY),
        cruise_power=min(CRUISE_POWER_SHARE / full_power_ratio(CRUISE_DENSITY), 1.0),
        cruise_density=CRUISE_DENSITY,
        **typed,
    )


def coordination_estimates(airplane) -> tuple[Estimate, ...]:
    """Return what of the roll-yaw motion is no figure of the card, one sentence each.

    Parameters
    ----------
    airplane : Airplane
        A fitted card.

    Returns
    -------
    tuple of Estimate
    """
    card, mine = airplane.card, airplane.card.preferences()
    key = set_of(card).key.lower()
    found = [("airplane.wing", "lateral_set", (("set", say(f"card.rule.lateral_set_{key}")),))]
    found.append(("airplane.wing", "lateral_slow", ()))
    if _ADVERSE_YAW not in card:
        factor = show(ADVERSE_YAW_FACTOR, "number", mine, digits=2)
        found.append((_ADVERSE_YAW, "adverse_yaw", (("factor", factor),)))
    if _SIDESLIP not in card:
        sideslip = show(FULL_RUDDER_SIDESLIP_DEG, "angle_deg", mine, digits=0)
        found.append((_SIDESLIP, "full_rudder_sideslip", (("sideslip", sideslip),)))
    turning = 2.0 * FULL_AILERON_HELIX * airplane.best_glide_cas() / card.value("wing.span")
    rate = show(math.degrees(turning), "turn_rate", mine, digits=0)
    found.append(("airplane.wing", "full_aileron", (("rate", rate),)))
    found.append(_of_propeller(card))
    return tuple(Estimate(path, rule, mine, values) for path, rule, values in found)


def _of_propeller(card):
    if any(card.value(path) is None for path in _PROPELLER):
        return "propeller.diameter", "no_propeller_yaw", ()
    way = say(f"card.choice.{card.text('propeller.turns') or CARD_CLOCKWISE}")
    return "propeller.turns", "propeller_yaw", (("way", way),)


def _propeller(card, parameters, published):
    """Propeller of a card that gives power, diameter and cruise RPM; else None."""
    power, diameter, rpm = (card.value(path) for path in _PROPELLER)
    if None in (power, diameter, rpm):
        return None
    left = card.text("propeller.turns") == COUNTERCLOCKWISE
    return propeller_yaw(
        power,
        diameter,
        rpm * FULL_POWER_RPM_OF_CRUISE,
        parameters.wing_area,
        parameters.span,
        published.derivatives.cn_rudder,
        COUNTER_CLOCKWISE if left else CLOCKWISE,
    )
