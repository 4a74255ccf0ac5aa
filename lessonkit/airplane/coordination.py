"""The roll-yaw motion of a card's airplane: a published set, scaled to it."""

from lessonkit.airplane.schema import ZERO_THRUST
from lessonkit.models.lateral_airplane import LateralAirplane, scaled
from lessonkit.models.lateral_sets import SETS, PublishedSet
from lessonkit.models.powered_propeller import CRUISE_POWER_SHARE, cruise_tas_of_power
from lessonkit.models.propeller_yaw import full_power_ratio, propeller_yaw

# Set C comes from flight tests of a low-wing airplane; set A is the same kind, but its yaw due to
# roll rate at cruise is so large that the nose would swing most in cruise.
SET_OF_WING = {"high": "B", "low": "C"}
CRUISE_DENSITY = 1.1206  # kg/m3 at 3,000 ft of the standard atmosphere: where it is rigged
# At a fixed pitch the RPM goes as the cube root of the power, and cruise is flown at 75 %.
FULL_POWER_RPM_OF_CRUISE = CRUISE_POWER_SHARE ** (-1.0 / 3.0)


def set_of(card) -> PublishedSet:
    """Return the published set that stands in for this airplane's stability."""
    return SETS[SET_OF_WING[card.text("airplane.wing")]]


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
    parameters, published = airplane.parameters(mass), set_of(airplane.card)
    propeller = _propeller(airplane.card, parameters, published)
    if propeller is None:
        return scaled(published, parameters)
    clean = airplane.parameters(mass, ZERO_THRUST)
    return scaled(
        published,
        parameters,
        propeller=propeller,
        cruise_tas=cruise_tas_of_power(propeller.power, clean, CRUISE_DENSITY),
        cruise_power=min(CRUISE_POWER_SHARE / full_power_ratio(CRUISE_DENSITY), 1.0),
        cruise_density=CRUISE_DENSITY,
    )


def _propeller(card, parameters, published):
    """Propeller of a card that gives power, diameter and cruise RPM; else None."""
    power, diameter = card.value("engine.power"), card.value("propeller.diameter")
    rpm = card.value("engine.cruise_rpm")
    if None in (power, diameter, rpm):
        return None
    return propeller_yaw(
        power,
        diameter,
        rpm * FULL_POWER_RPM_OF_CRUISE,
        parameters.wing_area,
        parameters.span,
        published.derivatives.cn_rudder,
    )
