"""From the airspeed that the dial shows to calibrated airspeed and back."""

from dataclasses import dataclass

import numpy as np

from lessonkit.airplane.card import Card, Figure
from lessonkit.airplane.schema import CAS


@dataclass(frozen=True)
class AirspeedCorrection:
    """A handbook's airspeed calibration table.

    Assumes straight lines between the rows; outside the table the difference of its end row
    stays, so that both ways are exact inverses of each other.

    Parameters
    ----------
    ias, cas : tuple of float
        Rising from row to row, same length. [m/s]

    Examples
    --------
    >>> table = AirspeedCorrection((20.0, 40.0), (24.0, 40.0))
    >>> table.cas_from_ias(30.0), table.ias_from_cas(32.0)
    (32.0, 30.0)
    """

    ias: tuple[float, ...]
    cas: tuple[float, ...]

    def cas_from_ias(self, ias: float) -> float:
        """Return the calibrated airspeed at an indicated one, both in m/s."""
        return _along(ias, self.ias, self.cas)

    def ias_from_cas(self, cas: float) -> float:
        """Return the indicated airspeed at a calibrated one, both in m/s."""
        return _along(cas, self.cas, self.ias)

    def covers_cas(self, cas: float) -> bool:
        """Tell whether a calibrated airspeed in m/s lies inside the table."""
        return self.cas[0] <= cas <= self.cas[-1]


def _along(value, given, wanted):
    if value < given[0]:
        return value + (wanted[0] - given[0])
    if value > given[-1]:
        return value + (wanted[-1] - given[-1])
    return float(np.interp(value, given, wanted))


def correction_of(card: Card, flap_deg: float = 0.0) -> AirspeedCorrection | None:
    """Return the table that holds at a flap setting.

    Parameters
    ----------
    card : Card
    flap_deg : float
        Flap angle, positive down; above 0 the table for flaps down. [deg]

    Returns
    -------
    AirspeedCorrection or None
        The only table, where the card has just one; None without any.
    """
    wanted, other = "airspeed.flaps_up", "airspeed.flaps_down"
    if flap_deg > 0.0:
        wanted, other = other, wanted
    pairs = card[wanted] or card[other]
    if pairs is None:
        return None
    return AirspeedCorrection(
        tuple(ias.value for ias, _ in pairs), tuple(cas.value for _, cas in pairs)
    )


def cas_of(card: Card, figure: Figure | None, flap_deg: float = 0.0) -> float | None:
    """Return the calibrated airspeed of a figure of the card.

    Parameters
    ----------
    card : Card
    figure : Figure or None
        An airspeed, CAS or IAS.
    flap_deg : float
        Flap angle at which it is flown. [deg]

    Returns
    -------
    float or None
        CAS. [m/s] None when there is no figure, or when it is IAS and the card has no table.
    """
    if figure is None:
        return None
    if figure.airspeed == CAS:
        return figure.value
    table = correction_of(card, flap_deg)
    return None if table is None else table.cas_from_ias(figure.value)


def best_cas_of(card: Card, figure: Figure | None, flap_deg: float = 0.0) -> float | None:
    """Return the calibrated airspeed of a figure, or the dial's where there is no table.

    Only for speeds well above the stall, where the dial of a light single is a few knots off at
    most; whoever uses it shows the result as an estimate. Never for a stall speed.

    Parameters
    ----------
    card, figure, flap_deg
        As in `cas_of`.

    Returns
    -------
    float or None
        CAS. [m/s] None only without a figure.
    """
    found = cas_of(card, figure, flap_deg)
    return figure.value if found is None and figure is not None else found
