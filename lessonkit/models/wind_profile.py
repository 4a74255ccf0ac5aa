"""The wind over a flat field: how it grows with height, and the air the airplane flies in."""

from dataclasses import dataclass

from lessonkit.models.atmosphere import density_in_step
from lessonkit.models.numeric import ARRAY

REFERENCE_HEIGHT = 10.0  # m, where a reported surface wind is measured
WING_ABOVE_WHEELS = 2.0  # m, about; heights are those of the wheels, the wing meets the wind
OPEN_COUNTRY_EXPONENT = 1.0 / 7.0


@dataclass(frozen=True)
class Wind:
    """Steady wind and air over the field; each number may be an array over cases.

    Parameters
    ----------
    along : float or array
        Velocity of the air along the landing direction at 10 m; a head wind on final is
        negative. [m/s]
    across : float or array
        Velocity of the air to the right of the landing direction at 10 m; wind from the left
        of final is positive. [m/s]
    exponent : float or array
        Exponent of the growth with height; 0 is the same wind at all heights. [-]
    elevation : float or array
        Field elevation, which sets the density. [m]

    Examples
    --------
    >>> Wind(along=-5.0).along
    -5.0
    """

    along: float = 0.0
    across: float = 0.0
    exponent: float = OPEN_COUNTRY_EXPONENT
    elevation: float = 0.0

    def density(self, height, functions=ARRAY):
        """Air density in kg/m3 at a height above the field on a standard day."""
        return density_in_step(self.elevation + height, functions)


def wind_growth(height, exponent, functions=ARRAY):
    """Wind at a height as a multiple of the wind at 10 m, and how fast it grows.

    Assumes open, flat country and a steady wind; gusts, thermals and the shelter of trees
    and hangars are left out.

    Parameters
    ----------
    height : float or array
        Height of the wheels above the ground; below it the value at the ground. [m]
    exponent : float or array
        Exponent of the power law, 1/7 over open country. [-]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    factor, slope : float or array
        Factor on the wind at 10 m [-] and its change with height. [1/m]

    Notes
    -----
    ((h + 2 m) / 10 m)^exponent, h the height of the wheels: the wing flies about 2 m higher. At
    300 m the factor is 1.6.

    References
    ----------
    .. [1] One-seventh power law of the wind over open country (from memory).

    Examples
    --------
    >>> float(wind_growth(8.0, 1 / 7)[0])
    1.0
    """
    above = functions.maximum(height, 0.0) + WING_ABOVE_WHEELS
    factor = functions.power(above / REFERENCE_HEIGHT, exponent)
    return factor, factor * exponent / above
