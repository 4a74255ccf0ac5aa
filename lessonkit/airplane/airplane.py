"""The learner's airplane: what a card gives once it is fitted."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lessonkit.airplane.airspeed_correction import correction_of
from lessonkit.airplane.approach_speeds import PHASES, ApproachSpeed, approach_speed_of
from lessonkit.airplane.calibration import Calibration, calibrate
from lessonkit.airplane.card import Card
from lessonkit.airplane.coordination import (
    coordination_estimates,
    full_rudder_sideslip_of,
    lateral_of,
)
from lessonkit.airplane.doubts import doubts_of
from lessonkit.airplane.fit import Estimate, Fit, fit_figures, model_parameters
from lessonkit.airplane.report import FitReport, fit_report
from lessonkit.airplane.rules import (
    EYE_HEIGHT,
    NOSE_CUTOFF_DEG,
    RPM_PER_KT,
)
from lessonkit.airplane.schema import IAS, IDLE, RULE_OF_THUMB
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.calibration import BAND_BEFORE
from lessonkit.models.glide import best_glide_tas, maximum_lift_drag_ratio
from lessonkit.models.glide_path import sink_rate
from lessonkit.models.lateral_airplane import LateralAirplane
from lessonkit.models.minimum_sink import minimum_sink_tas
from lessonkit.models.parameters import Parameters
from lessonkit.models.stall import stall_eas
from lessonkit.words import say, show


@dataclass(frozen=True)
class Airplane:
    """An airplane card with the numbers that were fitted to it.

    Parameters
    ----------
    card : Card
        What was typed.
    fit : Fit
        What the models need, with origins.
    as_printed : bool
        True for the handbook's airplane, whatever was observed in flight.

    Notes
    -----
    All speeds are calibrated airspeeds in m/s; `shown_speed` turns them into what the dial
    shows. Air without compressibility: CAS is the equivalent airspeed.
    """

    card: Card
    fit: Fit
    as_printed: bool = False

    @cached_property
    def printed(self) -> "Airplane":
        """The handbook's airplane, without what was observed in flight."""
        return self if self.as_printed else Airplane(self.card, self.fit, as_printed=True)

    @cached_property
    def calibration(self) -> Calibration | None:
        """What the observations on the card say; None without any."""
        return None if self.as_printed else calibrate(self.printed)

    @property
    def calibrated(self) -> bool:
        """True where an observation in flight has narrowed the touchdown band."""
        return self.touchdown_band < BAND_BEFORE

    @property
    def touchdown_band(self) -> float:
        """Half-width in m of the band that holds a usual approach's touchdown 9 times in 10."""
        return BAND_BEFORE if self.calibration is None else self.calibration.band

    @property
    def touchdown_offset(self) -> float:
        """How far touchdowns lie beyond the computed ones, in m; 0 without calibration."""
        return 0.0 if self.calibration is None else self.calibration.touchdown_offset

    @property
    def rpm_per_kt(self) -> float | None:
        """RPM gained for each knot at a fixed throttle; None for a constant-speed propeller."""
        return self._rpm_slope[0]

    @property
    def rpm_per_kt_origin(self) -> str:
        """Where the slope comes from."""
        return self._rpm_slope[1]

    @property
    def _rpm_slope(self):
        if self.card.text("propeller.kind") == "constant speed":
            return None, RULE_OF_THUMB
        if self.calibration is not None and self.calibration.rpm_per_kt is not None:
            return self.calibration.rpm_per_kt, self.calibration.origin
        figure = self.card.figure("propeller.rpm_per_kt")
        return (RPM_PER_KT, RULE_OF_THUMB) if figure is None else (figure.value, figure.origin)

    @property
    def name(self) -> str:
        """Name of the airplane, plain text (escape it before it meets HTML)."""
        return self.card.name

    @property
    def mass_today(self) -> float:
        """Mass in kg that the lesson takes: today's, or the greatest where none is given."""
        today = self.card.value("weights.today")
        return self.card.value("weights.max") if today is None else today

    @property
    def flap_deg(self) -> tuple[float, ...]:
        """Flap settings in degrees, ascending, the first is flaps up."""
        return self.card.flap_deg

    @property
    def landing_flap_deg(self) -> float:
        """Greatest flap setting in degrees."""
        return self.card.flap_deg[-1]

    def parameters(self, mass=None, propeller: str = IDLE) -> Parameters:
        """Return what the motion and performance models take.

        Parameters
        ----------
        mass : float or array, optional
            Mass as flown; today's without it. [kg]
        propeller : str
            "idle", "windmilling" (taken like idle), "stopped" or "zero thrust". The difference
            between the states is an estimate by a rule of thumb.

        Returns
        -------
        lessonkit.models.parameters.Parameters

        Raises
        ------
        ValueError
            If the propeller state is none of these.
        """
        mass = self.mass_today if mass is None else mass
        printed = model_parameters(self.card, self.fit, mass, propeller)
        return printed if self.calibration is None else self.calibration.parameters(printed)

    def lateral(self, mass: float | None = None) -> LateralAirplane:
        """Return the airplane as the roll-yaw motion sees it, flaps up.

        Parameters
        ----------
        mass : float, optional
            Mass as flown; today's without it. [kg]

        Returns
        -------
        lessonkit.models.lateral_airplane.LateralAirplane
            A published set scaled to this airplane: see `lessonkit.airplane.coordination`.
        """
        return lateral_of(self, mass)

    @property
    def full_rudder_sideslip_deg(self) -> float:
        """Sideslip in degrees that full rudder holds at idle: the card's, or a typical one."""
        return full_rudder_sideslip_of(self.card)

    def _polar(self, mass, flap_deg, propeller):
        """Return mass, wing area, aspect ratio, CD0 and e of one flap setting."""
        flown = self.parameters(mass, propeller)
        if flap_deg not in flown.flap_deg:
            settings = ", ".join(f"{one:g}" for one in flown.flap_deg)
            raise ValueError(say("card.error.no_such_flap", flap=f"{flap_deg:g}", known=settings))
        index = flown.flap_deg.index(flap_deg)
        return (
            flown.mass,
            flown.wing_area,
            flown.aspect_ratio,
            flown.cd0[index],
            flown.oswald[index],
        )

    def best_glide_cas(self, mass=None, flap_deg: float = 0.0, propeller: str = IDLE) -> float:
        """Return the speed of the flattest glide in still air.

        Parameters
        ----------
        mass : float or array, optional
            Mass as flown; today's without it. [kg]
        flap_deg : float
            One of the airplane's flap settings. [deg]
        propeller : str
            State of the propeller, as in `parameters`.

        Returns
        -------
        float or array
            CAS. [m/s]

        Raises
        ------
        ValueError
            If the airplane has no such flap setting or the propeller state is unknown.
        """
        return _plain(best_glide_tas(*self._polar(mass, flap_deg, propeller), SEA_LEVEL_DENSITY))

    def best_glide_ratio(self, flap_deg: float = 0.0, propeller: str = IDLE) -> float:
        """Return the best ratio of distance to height in still air; weight does not change it."""
        _, _, *polar = self._polar(None, flap_deg, propeller)
        return _plain(maximum_lift_drag_ratio(*polar))

    def minimum_sink_cas(self, mass=None, flap_deg: float = 0.0, propeller: str = IDLE) -> float:
        """Return the speed of least sink as CAS in m/s; arguments as in `best_glide_cas`.

        It may lie close to the stall: show it with `stall_cas`, and where that is None say so.
        """
        return _plain(minimum_sink_tas(*self._polar(mass, flap_deg, propeller), SEA_LEVEL_DENSITY))

    def sink_rate(
        self,
        cas: float,
        mass=None,
        flap_deg: float = 0.0,
        propeller: str = IDLE,
        bank_deg: float = 0.0,
    ) -> float:
        """Return the rate of descent of a steady glide at sea level, in m/s, positive down.

        Parameters
        ----------
        cas : float
            Calibrated airspeed. [m/s]
        mass, flap_deg, propeller
            As in `best_glide_cas`.
        bank_deg : float
            Bank of a coordinated gliding turn. [deg]

        Returns
        -------
        float
            [m/s]
        """
        polar = self._polar(mass, flap_deg, propeller)
        return _plain(sink_rate(*polar, SEA_LEVEL_DENSITY, cas, bank_deg))

    def stall_cas(self, flap_deg: float, mass=None, load_factor: float = 1.0) -> float | None:
        """Return the stall speed, or None where it may not be stated.

        Parameters
        ----------
        flap_deg : float
            Flap angle; between two settings the lift is taken in proportion. [deg]
        mass : float or array, optional
            Mass as flown; today's without it. [kg]
        load_factor : float or array
            Lift over weight that the pilot pulls. [g]

        Returns
        -------
        float, array or None
            CAS. [m/s] None where the stall speed is printed in IAS and there is no correction
            table, or where it would need a lift coefficient that no wing has.
        """
        index = int(np.searchsorted(self.flap_deg, flap_deg))
        index = min(index, len(self.flap_deg) - 1)
        ends = (index,) if self.flap_deg[index] == flap_deg else (max(index - 1, 0), index)
        if not all(self.fit.lift[one].certain for one in ends):
            return None
        cl_max = np.interp(flap_deg, self.flap_deg, [one.cl_max for one in self.fit.lift])
        mass = self.mass_today if mass is None else mass
        return _plain(stall_eas(mass, self.card.value("wing.area"), cl_max, load_factor))

    def stall_origin(self, flap_deg: float) -> str:
        """Return the origin of the stall speed at the next flap setting up to the last."""
        index = min(int(np.searchsorted(self.flap_deg, flap_deg)), len(self.flap_deg) - 1)
        return self.fit.lift[index].origin

    def approach_speed(self, phase: str) -> ApproachSpeed:
        """Return the speed of a phase: the handbook's, or a multiple of VS0 by a named rule.

        Parameters
        ----------
        phase : str
            "downwind", "base" or "final".

        Returns
        -------
        ApproachSpeed
            Without a speed, but with a sentence, where VS0 is IAS and there is no table.
        """
        return approach_speed_of(self, phase)

    def approach_cas(self, phase: str) -> float | None:
        """Return the speed of a phase as CAS in m/s, or None; see `approach_speed`."""
        return self.approach_speed(phase).cas

    def shown_speed(self, cas: float, flap_deg: float = 0.0) -> tuple[float, str]:
        """Return what the dial shows, and whether that is "IAS" or still "CAS".

        Parameters
        ----------
        cas : float
            Calibrated airspeed. [m/s]
        flap_deg : float
            Flap angle, for the right correction table. [deg]

        Returns
        -------
        speed : float
            [m/s]
        kind : str
            "IAS" where the card has a correction table, and where all its speeds are IAS, so that
            they were taken as they stand; else "CAS".
        """
        table = correction_of(self.card, flap_deg)
        if table is None:
            return cas, self.card.text("airspeed.kind")
        return table.ias_from_cas(cas), IAS

    @property
    def eye_height(self) -> float:
        """Height in m of the pilot's eye above the ground; by wing position if not measured."""
        height = self.card.value("cockpit.eye_height")
        return EYE_HEIGHT[self.card.text("airplane.wing")] if height is None else height

    @property
    def nose_cutoff_deg(self) -> float:
        """Lowest line of sight over the nose, in degrees below level; typical if not measured."""
        angle = self.card.value("cockpit.nose_cutoff")
        return NOSE_CUTOFF_DEG if angle is None else angle

    @cached_property
    def report(self) -> FitReport:
        """What the fit gives back for each figure, and for figures it did not see."""
        return fit_report(self.card, self.fit)

    @cached_property
    def doubts(self) -> tuple[Estimate, ...]:
        """Figures of the card to look at again before anyone flies by them, one sentence each."""
        return doubts_of(self)

    @cached_property
    def estimates(self) -> tuple[Estimate, ...]:
        """Doubts, then all that is no handbook figure, each in one sentence that names its rule."""
        found = [*self.doubts, *self.fit.estimates]
        mine = self.card.preferences()
        if "weights.today" not in self.card:
            found.append(Estimate("weights.today", "today_is_max", mine))
        for phase in PHASES:
            rule = self.approach_speed(phase).rule
            if rule is not None:
                values = ("phase", say(f"card.phase.{phase}")), ("rule", rule)
                found.append(Estimate(f"approach.{phase}", "phase", mine, values))
        for path in ("cockpit.eye_height", "cockpit.nose_cutoff"):
            if path not in self.card:
                found.append(Estimate(path, path.partition(".")[2], mine))
        if self.rpm_per_kt is not None and self.rpm_per_kt_origin == RULE_OF_THUMB:
            slope = ("slope", show(self.rpm_per_kt, "number", mine, digits=0))
            found.append(Estimate("propeller.rpm_per_kt", "rpm_per_kt", mine, (slope,)))
        return (*found, *self.coordination_estimates)

    @cached_property
    def coordination_estimates(self) -> tuple[Estimate, ...]:
        """What of the roll-yaw motion is no figure of the card, one sentence each."""
        return coordination_estimates(self)


def fit_airplane(card: Card) -> Airplane:
    """Return the airplane of a card.

    Parameters
    ----------
    card : Card
        A validated card.

    Returns
    -------
    Airplane
    """
    return Airplane(card, fit_figures(card))


def _plain(value):
    """Return a plain float for a single number, an array as it is."""
    return float(value) if np.ndim(value) == 0 else value
