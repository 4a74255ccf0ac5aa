"""The figures of an airplane that the motion and performance models need."""

from dataclasses import dataclass

from lessonkit.units import STANDARD_GRAVITY


@dataclass(frozen=True)
class Parameters:
    """An airplane as the models see it; the card's fit makes one.

    Tuples run over the flap settings. A field that is a plain number may also be an array
    over cases, so that one call serves thousands of weights.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area, span : float
        Reference wing area [m2] and wing span [m].
    wing_height : float
        Height of the wing above the wheels, for the ground effect. [m]
    flap_deg : tuple of float
        Flap settings, ascending, the first is flaps up. [deg]
    cd0, oswald, cl_max : tuple of float
        Zero-lift drag coefficient (with the propeller in the state that was asked for), Oswald
        span efficiency and greatest lift coefficient of each flap setting. [-]

    Examples
    --------
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> round(p.aspect_ratio, 4), round(p.weight, 1)
    (7.5625, 9806.7)
    """

    mass: float
    wing_area: float
    span: float
    wing_height: float
    flap_deg: tuple[float, ...]
    cd0: tuple[float, ...]
    oswald: tuple[float, ...]
    cl_max: tuple[float, ...]

    def __post_init__(self):
        """Refuse tables of different length and flap settings out of order."""
        sizes = {len(self.flap_deg), len(self.cd0), len(self.oswald), len(self.cl_max)}
        if sizes != {len(self.flap_deg)} or not self.flap_deg:
            raise ValueError("flap_deg, cd0, oswald and cl_max need one value per flap setting.")
        if list(self.flap_deg) != sorted(set(self.flap_deg)):
            raise ValueError("flap_deg must rise from setting to setting.")

    @property
    def aspect_ratio(self):
        """Span squared over wing area. [-]"""
        return self.span**2 / self.wing_area

    @property
    def weight(self):
        """Weight as flown. [N]"""
        return self.mass * STANDARD_GRAVITY
