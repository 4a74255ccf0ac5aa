"""From the observations on a card to the learner's own airplane, and how surely it is known."""

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from lessonkit.airplane.observations import complete, measurement_of, usual_approach
from lessonkit.airplane.polar import (
    CD0_BOUNDS,
    CD0_BOUNDS_WITH_FLAPS,
    OSWALD_BOUNDS,
    polar_from_best_glide,
)
from lessonkit.airplane.schema import IN_FLIGHT, INVENTED, MEASURED, TOUCHDOWNS, fields_of
from lessonkit.models.calibration import (
    BAND_BEFORE,
    DRAG,
    FLAP_DRAG,
    RPM_PER_KT,
    TOUCHDOWN,
    Belief,
    belief_before,
    calibrated,
    slopes_of,
    touchdown_band,
)
from lessonkit.models.calibration_glide import (
    with_drag,
)
from lessonkit.models.calibration_touchdown import (
    computed_touchdown,
)
from lessonkit.models.glide import lift_coefficient_at_best_glide, maximum_lift_drag_ratio
from lessonkit.models.parameters import Parameters
from lessonkit.models.power_off_pilot import ApproachPlan
from lessonkit.models.wind_profile import Wind
from lessonkit.words import Preferences, say, show

# Observations that say something about the touchdown; the RPM pair does not.
_CURES = {"timed_glide": "glide", "rpm_pair": "rpm"}
OF_THE_TOUCHDOWN = ("timed_glide", *TOUCHDOWNS)


@dataclass(frozen=True)
class Calibration:
    """What the observations on a card say together.

    Parameters
    ----------
    belief : Belief
        About the four unknowns of `lessonkit.models.calibration`.
    bands : tuple of (str, float)
        Half-width of the band of a usual approach before ("") and after each observation that was
        kept, by section of the card. [m]
    refused : tuple of (str, float or str)
        Sections that were left out, with how many spreads off they are, or why they cannot be.
    origin : str
        "measured in flight", or "invented" where any figure is.
    worse_glide : float or None
        Share by which a timed glide that was left out sank faster than the card says; None where
        none was left out or it sank more slowly. It is no part of the band or of the drag. [-]
    """

    belief: Belief
    bands: tuple[tuple[str, float], ...]
    refused: tuple[tuple[str, float | str], ...]
    origin: str
    worse_glide: float | None = None

    def __hash__(self):
        return hash((self.bands, self.refused, self.origin))

    @property
    def kept(self) -> tuple[str, ...]:
        """Sections of the card whose observations are used."""
        return tuple(section for section, _ in self.bands if section)

    @property
    def band(self) -> float:
        """Half-width of the touchdown band of a usual approach, in metres."""
        return self.bands[-1][1]

    @property
    def drag_factor(self) -> float:
        """Drag with flaps up over the handbook's."""
        return 1.0 + float(self.belief.mean[DRAG])

    @property
    def landing_drag_factor(self) -> float:
        """Drag with landing flaps over the handbook's or the rule's."""
        return self.drag_factor + float(self.belief.mean[FLAP_DRAG])

    @property
    def drag_spread(self) -> float:
        """One standard deviation of the drag factor with flaps up."""
        return math.sqrt(self.belief.covariance[DRAG, DRAG])

    @property
    def touchdown_offset(self) -> float:
        """How far touchdowns lie beyond the computed ones; in metres; negative is short."""
        return float(self.belief.mean[TOUCHDOWN])

    @property
    def rpm_per_kt(self) -> float | None:
        """Rise of the RPM with speed, None without a pair of readings, in rpm/kt."""
        return float(self.belief.mean[RPM_PER_KT]) if "rpm_pair" in self.kept else None

    @property
    def rpm_per_kt_spread(self) -> float:
        """One standard deviation of the slope, in rpm/kt."""
        return math.sqrt(self.belief.covariance[RPM_PER_KT, RPM_PER_KT])

    def band_for(self, parameters: Parameters, plan: ApproachPlan, wind: Wind) -> float:
        """Return the band of another approach; wider the less it is like those observed.

        Parameters
        ----------
        parameters : Parameters
            The handbook's airplane, not the calibrated one. [SI]
        plan : ApproachPlan
        wind : Wind

        Returns
        -------
        float
            Half-width. [m]
        """
        predict = computed_touchdown(parameters, plan, wind)
        return touchdown_band(slopes_of(predict, self.belief.mean)[1], self.belief.covariance)

    def parameters(self, printed: Parameters) -> Parameters:
        """Return the learner's own airplane made from the handbook's, within physical bounds."""
        mean = self.belief.mean
        return _bounded(printed, with_drag(printed, float(mean[DRAG]), float(mean[FLAP_DRAG])))

    def sentences(self, preferences: Preferences) -> list[str]:
        """Say what was found, what it is worth, and what was left out and why."""
        found = [self._state(preferences)]
        if self.rpm_per_kt is not None:
            found.append(
                say(
                    "calibration.state.rpm",
                    slope=show(self.rpm_per_kt, "number", preferences, digits=1),
                    spread=show(self.rpm_per_kt_spread, "number", preferences, digits=1),
                    preferences=preferences,
                )
            )
        return found + self.refusals(preferences)

    def _state(self, preferences):
        band, before = (
            show(value, "distance_ft", preferences) for value in (self.band, BAND_BEFORE)
        )
        if not set(self.kept) & set(OF_THE_TOUCHDOWN):
            key = "none" if self.worse_glide is None else "none_worse"
            return say(f"calibration.state.{key}", band=band, preferences=preferences)
        return say(
            "calibration.state.drag",
            clean=_more(self.drag_factor, preferences),
            landing=_more(self.landing_drag_factor, preferences),
            spread=show(self.drag_spread, "percent", preferences, digits=1),
            band=band,
            before=before,
            preferences=preferences,
        )

    def refusals(self, preferences: Preferences) -> list[str]:
        """Return one sentence per observation that was left out, a worse glide's first."""
        found = [
            _refusal(section, why, preferences)
            for section, why in self.refused
            # A glide against which only the card speaks has its own sentence below.
            if self.worse_glide is None or section != "timed_glide" or self.kept
        ]
        if self.worse_glide is None:
            return found
        share = show(self.worse_glide, "percent", preferences)
        return [say("calibration.state.worse", share=share, preferences=preferences), *found]


def _refusal(section, why, preferences):
    what = say(f"card.in_flight.{section}", preferences=preferences)
    if isinstance(why, str):
        return say(
            "calibration.state.impossible",
            what=what,
            why=why.rstrip("."),
            preferences=preferences,
        )
    return say(
        "calibration.state.refused",
        what=what,
        times=show(why, "number", preferences, digits=1),
        cure=say(f"calibration.cure.{_CURES.get(section, 'touchdown')}", preferences=preferences),
        preferences=preferences,
    )


def _more(factor, preferences):
    key = "more" if factor >= 1.0 else "less"
    share = show(abs(factor - 1.0), "percent", preferences, digits=1)
    return say(f"calibration.state.{key}", share=share, preferences=preferences)


def calibrate(airplane) -> Calibration | None:
    """Weigh the observations on a card.

    Parameters
    ----------
    airplane : Airplane
        As printed: without a calibration of its own.

    Returns
    -------
    Calibration or None
        None where the card has no observation, or only incomplete ones.
    """
    sections = [one for one in IN_FLIGHT if complete(airplane.card, one)]
    return _calibrate(airplane) if sections else None


@lru_cache(maxsize=16)  # a lesson opens the same card again and again, and a page moves it
def _calibrate(airplane):
    measurements, refused = [], []
    for section in IN_FLIGHT:
        if complete(airplane.card, section):
            try:
                measurements.append(measurement_of(airplane, section))
            except ValueError as error:  # the models' own sentence; it is shown
                refused.append((section, str(error)))
    found = calibrated(measurements)
    predict = computed_touchdown(airplane.parameters(), usual_approach(airplane), Wind())
    _, slopes = slopes_of(predict, found.belief.mean)
    bands = [("", touchdown_band(slopes, belief_before().covariance))]
    bands += [(key, touchdown_band(slopes, covariance)) for key, covariance in found.steps]
    # A card's own slopes differ by a few per cent from those that 400 ft were derived with.
    wider = max(1.0, BAND_BEFORE / bands[0][1])
    bands = [(key, min(band * wider, BAND_BEFORE)) for key, band in bands]
    refused += [(one.key, one.spreads) for one in found.refused]
    worse = _worse_glide(measurements, {one.key for one in found.refused})
    return Calibration(found.belief, tuple(bands), tuple(refused), _origin(airplane.card), worse)


def _worse_glide(measurements, refused):
    """Return by how much a glide that was left out sank faster than the card's, or None.

    Left out, it would leave the learner with the better of two glides.
    """
    for one in measurements:
        if one.key == "timed_glide" and one.key in refused:
            share = one.observed / one.predict(belief_before().mean) - 1.0
            return share if share > 0.0 else None
    return None


def _origin(card):
    figures = [
        card.figure(field.path) for one in IN_FLIGHT for field in fields_of(one) if field.kind
    ]
    return INVENTED if any(one and one.origin == INVENTED for one in figures) else MEASURED


def _bounded(printed, wanted):
    """Keep to what wings can do: the ratio stays as long as it can, the speed gives way."""
    cd0, oswald = list(wanted.cd0), list(wanted.oswald)
    for index in range(len(cd0)):
        bounds = CD0_BOUNDS if index == 0 else CD0_BOUNDS_WITH_FLAPS
        inside = [
            bounds[0] <= one.cd0[index] <= bounds[1]
            and OSWALD_BOUNDS[0] <= one.oswald[index] <= OSWALD_BOUNDS[1]
            for one in (printed, wanted)
        ]
        if inside == [True, False]:
            polar = wanted.aspect_ratio, cd0[index], oswald[index]
            kept = polar_from_best_glide(
                float(lift_coefficient_at_best_glide(*polar)),
                float(maximum_lift_drag_ratio(*polar)),
                wanted.aspect_ratio,
                bounds,
            )
            cd0[index], oswald[index] = kept.cd0, kept.oswald
    return replace(wanted, cd0=tuple(cd0), oswald=tuple(oswald))
