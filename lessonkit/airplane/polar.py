"""Drag parabola from a best glide, kept within what wings can do."""

import math
from dataclasses import dataclass

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.drag import induced_drag_factor, lift_coefficient
from lessonkit.units import STANDARD_GRAVITY

OSWALD_BOUNDS = (0.5, 0.95)
CD0_BOUNDS = (0.02, 0.06)
CD0_BOUNDS_WITH_FLAPS = (0.02, 0.15)  # flaps add drag; from memory


@dataclass(frozen=True)
class Polar:
    """A drag parabola CD = CD0 + CL^2 / (pi e A).

    Parameters
    ----------
    cd0, oswald : float
        Both coefficients, within the bounds. [-]
    wanted_cd0, wanted_oswald : float
        What the glide figures alone would give. [-]
    """

    cd0: float
    oswald: float
    wanted_cd0: float
    wanted_oswald: float

    @property
    def bounded(self) -> bool:
        """True when a bound has changed what the figures give."""
        return not (
            math.isclose(self.cd0, self.wanted_cd0, rel_tol=1e-6)
            and math.isclose(self.oswald, self.wanted_oswald, rel_tol=1e-6)
        )


def glide_lift_coefficient(mass: float, cas: float, wing_area: float, glide_ratio: float) -> float:
    """Lift coefficient of a steady straight glide.

    Assumes air without compressibility, so that CAS is the equivalent airspeed.

    Parameters
    ----------
    mass : float
        Mass. [kg]
    cas : float
        Calibrated airspeed. [m/s]
    wing_area : float
        Reference wing area. [m2]
    glide_ratio : float
        Distance over height in still air. [-]

    Returns
    -------
    float
        CL with the lift W cos(gamma), tan(gamma) = 1 / ratio. [-]

    References
    ----------
    .. [1] Balance of forces in a steady glide.

    Examples
    --------
    >>> round(glide_lift_coefficient(1088.6, 36.96, 16.165, 10.62), 3)
    0.786
    """
    load_factor = math.cos(math.atan2(1.0, glide_ratio))
    weight = mass * STANDARD_GRAVITY
    return lift_coefficient(load_factor, weight, SEA_LEVEL_DENSITY, cas, wing_area)


def polar_from_best_glide(
    best_lift_coefficient: float,
    best_ratio: float,
    aspect_ratio: float,
    cd0_bounds: tuple[float, float] = CD0_BOUNDS,
) -> Polar:
    """Drag parabola whose best glide is the given one, or the nearest possible.

    Assumes a parabolic polar. Where a bound bites, the ratio is kept as long as it can be and
    the best-glide speed gives way, because the ratio decides where the glide ends.

    Parameters
    ----------
    best_lift_coefficient : float
        Lift coefficient at best glide. [-]
    best_ratio : float
        Best ratio of lift to drag. [-]
    aspect_ratio : float
        Span squared over wing area. [-]
    cd0_bounds : tuple of float
        Lowest and highest CD0. [-]

    Returns
    -------
    Polar

    Notes
    -----
    At best glide both parts of the drag are equal: CD0 = CL / (2 ratio), and with
    k = 1 / (pi e A), CD0 = k CL^2. A ratio is kept along CD0 = 1 / (4 k ratio^2).

    References
    ----------
    .. [1] J. T. Lowry, Performance of Light Aircraft, ch. 9 (formulas of Example 9.1 read in a
       public worked example).

    Examples
    --------
    >>> polar = polar_from_best_glide(0.7860, 10.62, 7.38)
    >>> round(polar.cd0, 3), round(polar.oswald, 2)
    (0.037, 0.72)
    """
    # induced_drag_factor is 1/(pi e A): with e = 1 it carries the aspect ratio alone.
    k_at_1 = induced_drag_factor(1.0, aspect_ratio)
    cd0 = best_lift_coefficient / (2.0 * best_ratio)
    oswald = k_at_1 * best_lift_coefficient**2 / cd0
    # Along a constant ratio CD0 = slope * e.
    slope = 1.0 / (4.0 * k_at_1 * best_ratio**2)
    lowest = max(OSWALD_BOUNDS[0], cd0_bounds[0] / slope)
    highest = min(OSWALD_BOUNDS[1], cd0_bounds[1] / slope)
    if lowest <= highest:
        kept = min(max(oswald, lowest), highest)
        return Polar(slope * kept, kept, cd0, oswald)
    kept = OSWALD_BOUNDS[0] if slope * OSWALD_BOUNDS[0] > cd0_bounds[1] else OSWALD_BOUNDS[1]
    kept_cd0 = min(max(slope * kept, cd0_bounds[0]), cd0_bounds[1])
    return Polar(kept_cd0, kept, cd0, oswald)
