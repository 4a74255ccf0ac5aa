"""The figures of an airplane that the motion and performance models need."""

from dataclasses import dataclass
from functools import cached_property

from lessonkit.models.drag import induced_drag_factor
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
    >>> p.aspect_ratio, round(p.weight)
    (7.5625, 9807)
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
        """Span squared over wing area, a pure number."""
        return self.span**2 / self.wing_area

    @property
    def weight(self):
        """Weight as flown, in newtons."""
        return self.mass * STANDARD_GRAVITY

    @cached_property
    def induced_factors(self):
        """Factor k of CD = CD0 + k CL^2 for each flap setting."""
        return tuple(induced_drag_factor(e, self.aspect_ratio) for e in self.oswald)

    @cached_property
    def flap_steps(self):
        """From setting to setting: start and width in degrees, rise of CD0 and of k."""
        k = self.induced_factors
        return tuple(
            (
                self.flap_deg[i],
                self.flap_deg[i + 1] - self.flap_deg[i],
                self.cd0[i + 1] - self.cd0[i],
                k[i + 1] - k[i],
            )
            for i in range(len(self.flap_deg) - 1)
        )
