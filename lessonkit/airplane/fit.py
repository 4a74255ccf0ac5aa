"""From handbook figures to the few numbers the models need, each with its origin."""

from dataclasses import dataclass

import numpy as np

from lessonkit.airplane.airspeed_correction import best_cas_of, cas_of, correction_of
from lessonkit.airplane.card import Card, Figure
from lessonkit.airplane.checks import aspect_ratio_of, glide_ratio_of_distance
from lessonkit.airplane.polar import (
    CD0_BOUNDS,
    CD0_BOUNDS_WITH_FLAPS,
    OSWALD_BOUNDS,
    Polar,
    glide_lift_coefficient,
    polar_from_best_glide,
)
from lessonkit.airplane.rules import (
    TYPICAL_CL_MAX,
    WING_HEIGHT,
    glide_ratio_factor,
    propeller_drag,
    propeller_share,
)
from lessonkit.airplane.schema import FIELD_AT, FITTED, RULE_OF_THUMB, WINDMILLING
from lessonkit.models.glide import lift_coefficient_at_best_glide
from lessonkit.models.parameters import Parameters
from lessonkit.models.stall import maximum_lift_coefficient
from lessonkit.words import Preferences, say, show

CL_MAX_BOUNDS = (1.1, 2.3)  # flaps up; from memory
CL_MAX_BOUNDS_LANDING = (1.3, 2.8)  # landing flap; from memory


@dataclass(frozen=True)
class Estimate:
    """Something that is no handbook figure, said in one sentence.

    Parameters
    ----------
    path : str
        Line of the card that it stands in for, or where it comes from.
    key : str
        Below ``card.rule``: the sentence that says what was done, by which rule.
    preferences : Preferences
        Units of the card.
    values : tuple of (str, value)
        What stands in the sentence: texts, or pairs of a number in SI and its kind.
    """

    path: str
    key: str
    preferences: Preferences
    values: tuple[tuple[str, object], ...] = ()

    @property
    def sentence(self) -> str:
        """The sentence in the units of the card."""
        return self.said(self.preferences)

    def said(self, preferences: Preferences) -> str:
        """Return the sentence in the units of a learner."""
        words = {name: _in_words(value, preferences) for name, value in self.values}
        return say(f"card.rule.{self.key}", preferences=preferences, **words)


def _in_words(value, preferences):
    if isinstance(value, Estimate):
        return value.said(preferences)
    if not isinstance(value, tuple):
        return value
    number, kind = value
    digits = 3 if kind == "number" and number < 1.0 else None
    return show(number, kind, preferences, digits=digits)


@dataclass(frozen=True)
class Lift:
    """Greatest lift coefficient of one flap setting.

    Parameters
    ----------
    cl_max : float
        For the motion of the model. [-]
    origin : str
        Where it comes from.
    certain : bool
        False where no stall speed and no margin may be stated from it.
    """

    cl_max: float
    origin: str
    certain: bool


@dataclass(frozen=True)
class Drag:
    """Drag parabola of one flap setting, with the propeller as in the handbook's glide.

    Parameters
    ----------
    polar : Polar
        The one that is flown.
    by_rule : Polar
        What the rule of thumb gives without the figures printed for this setting.
    origin : str
        Where `polar` comes from.
    """

    polar: Polar
    by_rule: Polar
    origin: str


@dataclass(frozen=True)
class Fit:
    """The numbers behind an airplane.

    Parameters
    ----------
    lift, drag : tuple
        One for each flap setting.
    propeller : str
        State of the propeller in the handbook's glide.
    idle_drag : float
        CD0 of an idling propeller above one that neither pulls nor brakes. [-]
    wing_height : float
        Height of the wing above the ground. [m]
    estimates : tuple of Estimate
        All that is no handbook figure.
    """

    lift: tuple[Lift, ...]
    drag: tuple[Drag, ...]
    propeller: str
    idle_drag: float
    wing_height: float
    estimates: tuple[Estimate, ...]


def fit_figures(card: Card) -> Fit:
    """Fit the model's numbers to the figures of a card.

    Parameters
    ----------
    card : Card
        A validated card.

    Returns
    -------
    Fit
    """
    estimates: list[Estimate] = []
    lift = _fit_lift(card, estimates)
    _say_correction(card, estimates)
    drag, propeller = _fit_drag(card, estimates)
    idle_drag = propeller_drag(drag[0].polar.cd0, propeller)
    height = card.value("wing.height")
    if height is None:
        wing = card.text("airplane.wing")
        height = WING_HEIGHT[wing]
        _add(estimates, card, "wing.height", "wing_height", wing=wing, height=(height, "span"))
    _add(estimates, card, "glide.propeller", "propeller_drag")
    return Fit(lift, drag, propeller, idle_drag, height, tuple(estimates))


def model_parameters(
    card: Card, fit: Fit, mass: float, propeller: str, by_rule: bool = False
) -> Parameters:
    """Return the parameters of the models for a mass and a propeller state.

    Parameters
    ----------
    card : Card
    fit : Fit
        Of this card.
    mass : float or array
        Mass as flown. [kg]
    propeller : str
        One of `schema.PROPELLER_STATES`.
    by_rule : bool
        Take the rule of thumb for the flap settings even where the handbook prints their glide.

    Returns
    -------
    lessonkit.models.parameters.Parameters
    """
    # The fit holds the drag in the handbook's propeller state: take that propeller off and put
    # the wanted one on.
    change = fit.idle_drag * (propeller_share(propeller) - propeller_share(fit.propeller))
    polars = [one.by_rule if by_rule else one.polar for one in fit.drag]
    return Parameters(
        mass=mass,
        wing_area=card.value("wing.area"),
        span=card.value("wing.span"),
        wing_height=fit.wing_height,
        flap_deg=card.flap_deg,
        cd0=tuple(polar.cd0 + change for polar in polars),
        oswald=tuple(polar.oswald for polar in polars),
        cl_max=tuple(one.cl_max for one in fit.lift),
    )


def glide_ratio_of(card: Card) -> float:
    """Return the best-glide ratio that the card states, as ratio or as distance."""
    ratio = card.value("glide.ratio")
    if ratio is None:
        return glide_ratio_of_distance(card.value("glide.distance_per_1000_ft"))
    return ratio


def _add(estimates, card, path, key, **values):
    estimates.append(Estimate(path, key, card.preferences(), tuple(values.items())))


def _origin(figure: Figure) -> str:
    return FITTED if figure.origin == "handbook" else figure.origin


# Lift -----------------------------------------------------------------------------------------


def _fit_lift(card, estimates):
    printed = list(card.per_flap("flaps.stall_speeds"))
    printed[0], printed[-1] = card.figure("speeds.VS1"), card.figure("speeds.VS0")
    found = [
        None if figure is None else _lift_of(card, index, figure, estimates)
        for index, figure in enumerate(printed)
    ]
    if all(one is not None for one in found):
        return tuple(found)
    _add(estimates, card, "flaps.stall_speeds", "flap_lift")
    return tuple(
        _lift_between(card, found, index) if one is None else one for index, one in enumerate(found)
    )


def _lift_of(card, index, figure, estimates):
    flap = card.flap_deg[index]
    path = {0: "speeds.VS1", len(card.flap_deg) - 1: "speeds.VS0"}.get(index, "flaps.stall_speeds")
    label = say(FIELD_AT[path].label_key)
    cas = cas_of(card, figure, flap)
    if cas is None:
        _add(estimates, card, path, "ias_stall", label=label)
        share = flap / card.flap_deg[-1]
        low, high = TYPICAL_CL_MAX
        return Lift(low + share * (high - low), RULE_OF_THUMB, certain=False)
    wanted = float(maximum_lift_coefficient(cas, card.mass_of(figure), card.value("wing.area")))
    low = CL_MAX_BOUNDS_LANDING[0] if index == len(card.flap_deg) - 1 else CL_MAX_BOUNDS[0]
    high = CL_MAX_BOUNDS[1] if index == 0 else CL_MAX_BOUNDS_LANDING[1]
    kept = min(max(wanted, low), high)
    if kept != wanted:
        _add(
            estimates,
            card,
            path,
            "cl_max_bound",
            label=label,
            speed=(figure.value, "speed"),
            wanted=(wanted, "number"),
            low=(low, "number"),
            high=(high, "number"),
        )
    return Lift(kept, _origin(figure), certain=kept == wanted)


def _say_correction(card, estimates):
    """Say where the correction table is used beyond what it holds."""
    if (card["airspeed.flaps_up"] is None) != (card["airspeed.flaps_down"] is None):
        _add(estimates, card, "airspeed.flaps_up", "one_table")
    for path, flap in (("speeds.VS1", 0.0), ("speeds.VS0", card.flap_deg[-1])):
        table = correction_of(card, flap)
        cas = cas_of(card, card.figure(path), flap)
        if table is not None and not table.covers_cas(cas):
            _add(estimates, card, path, "outside_table")


def _lift_between(card, found, index):
    """Greatest lift on the straight line between the nearest settings with a stall speed."""
    below = max(i for i in range(index) if found[i] is not None)
    above = min(i for i in range(index + 1, len(found)) if found[i] is not None)
    ends = card.flap_deg[below], card.flap_deg[above]
    cl_max = np.interp(card.flap_deg[index], ends, (found[below].cl_max, found[above].cl_max))
    return Lift(float(cl_max), RULE_OF_THUMB, found[below].certain and found[above].certain)


# Drag -----------------------------------------------------------------------------------------


def _fit_drag(card, estimates):
    figure = card.figure("glide.speed")
    flap = card.value("glide.flap") or 0.0
    if card["glide.flap"] is None:
        _add(estimates, card, "glide.flap", "glide_flap")
    propeller = card.text("glide.propeller")
    if not propeller:
        propeller = WINDMILLING
        _add(estimates, card, "glide.propeller", "glide_propeller")
    if cas_of(card, figure, flap) is None:
        _add(estimates, card, "glide.speed", "ias_glide")
    ratio = glide_ratio_of(card)
    lift = glide_lift_coefficient(
        card.mass_of(figure), best_cas_of(card, figure, flap), card.value("wing.area"), ratio
    )
    clean_ratio = ratio / glide_ratio_factor(flap)
    clean = polar_from_best_glide(lift, clean_ratio, aspect_ratio_of(card))
    if clean.bounded:
        _say_bound(card, "glide.speed", clean, CD0_BOUNDS, estimates)
    drags = [Drag(clean, clean, _origin(figure))]
    aspect = aspect_ratio_of(card)
    best_lift = float(lift_coefficient_at_best_glide(aspect, clean.cd0, clean.oswald))
    for index in range(1, len(card.flap_deg)):
        drags.append(_drag_with_flap(card, index, best_lift, clean_ratio, estimates))
    if any(drag.origin == RULE_OF_THUMB for drag in drags):
        _add(estimates, card, "flaps.glide_ratios", "flap_glide")
    return tuple(drags), propeller


def _drag_with_flap(card, index, clean_lift, clean_ratio, estimates):
    flap, aspect = card.flap_deg[index], aspect_ratio_of(card)
    ratio_by_rule = clean_ratio * glide_ratio_factor(flap)
    by_rule = polar_from_best_glide(clean_lift, ratio_by_rule, aspect, CD0_BOUNDS_WITH_FLAPS)
    ratio = card.per_flap("flaps.glide_ratios")[index]
    speed = card.per_flap("flaps.glide_speeds")[index]
    if flap == card.value("glide.flap"):
        ratio = ratio or Figure(glide_ratio_of(card), "ratio", 0, card.figure("glide.speed").origin)
        speed = speed or card.figure("glide.speed")
    if ratio is None and speed is None:
        return Drag(by_rule, by_rule, RULE_OF_THUMB)
    best_ratio = ratio_by_rule if ratio is None else ratio.value
    lift = clean_lift
    if speed is not None:
        cas = best_cas_of(card, speed, flap)
        lift = glide_lift_coefficient(card.mass_of(speed), cas, card.value("wing.area"), best_ratio)
    polar = polar_from_best_glide(lift, best_ratio, aspect, CD0_BOUNDS_WITH_FLAPS)
    if polar.bounded:
        _say_bound(card, "flaps.glide_ratios", polar, CD0_BOUNDS_WITH_FLAPS, estimates)
    return Drag(polar, by_rule, RULE_OF_THUMB if ratio is None else _origin(ratio))


def _say_bound(card, path, polar, cd0_bounds, estimates):
    _add(
        estimates,
        card,
        path,
        "polar_bound",
        cd0=f"{polar.wanted_cd0:.3f}",
        oswald=f"{polar.wanted_oswald:.2f}",
        cd0_low=f"{cd0_bounds[0]:.2f}",
        cd0_high=f"{cd0_bounds[1]:.2f}",
        e_low=f"{OSWALD_BOUNDS[0]:.2f}",
        e_high=f"{OSWALD_BOUNDS[1]:.2f}",
    )
