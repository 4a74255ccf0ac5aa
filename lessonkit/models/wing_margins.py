"""Turns with too much or too little rudder, and which wing is then nearer the stall.

The angle of attack along the span: the inside wing meets slower air, the wing toward the wind of
a dihedral wing meets it at a greater angle, a down-going aileron lets its wing stall earlier, and
a descending turn rolls slowly along its path. Left out: washout, the slipstream over the roots, the
fuselage's wake on the wing away from the wind and the drift of air along that wing (both bring
the stall of that wing nearer), and all that happens once a wing has stalled. Then yaw decides
which wing drops and how fast: toward the side to which the nose swings.
"""

from dataclasses import dataclass

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.lateral_airplane import LateralAirplane
from lessonkit.models.steady_flight import SteadyFlight, steady_flight

AILERON_FROM, AILERON_TO = 0.55, 0.95  # of the semi-span; usual for light singles, from memory
# A plain flap lifts the greatest lift about half as much as the lift at one angle, so that its
# section stalls earlier by half of what the flap is worth (from memory).
AILERON_STALL_SHARE = 0.5
COMPARED_AT = 0.75  # of the semi-span, the middle of the ailerons
DIHEDRAL_DEG = {"high": 2.0, "low": 6.0}  # by wing position; common practice, no source
# Effects left out are of this size (estimate): a smaller difference says nothing.
TOO_CLOSE_DEG = 0.5
# With the ball out the assumed dihedral decides: 2 or 6 degrees of it, times 10 degrees of
# sideslip, take 0.3 or 1.0 degree from one wing and give as much to the other, so that the
# difference moves by 1.4 degrees; the assumed worth of a lowered aileron moves it as much again.
BALL_OUT_TOO_CLOSE_DEG = 2.0


@dataclass(frozen=True)
class WingMargins:
    """Degrees of angle of attack left before the stall.

    Parameters
    ----------
    left_deg, right_deg : float or array
        Left over the middle of each aileron; below 0 the wing is past its stall. [deg]
    middle_deg : float or array
        Left on average, without yaw, sideslip and ailerons. [deg]
    yaw_deg, roll_deg, dihedral_deg, aileron_deg : float or array
        What each cause takes from the right wing there; the left wing gains as much. [deg]
    """

    left_deg: float
    right_deg: float
    middle_deg: float
    yaw_deg: float
    roll_deg: float
    dihedral_deg: float
    aileron_deg: float

    @property
    def difference_deg(self) -> float:
        """How much nearer its stall the right wing is; below 0 the left one."""
        return self.left_deg - self.right_deg

    @property
    def nearer(self) -> str:
        """Wing nearer its stall, "right" or "left"; "neither" where the difference says nothing."""
        if abs(self.difference_deg) < TOO_CLOSE_DEG:
            return "neither"
        return "right" if self.difference_deg > 0.0 else "left"


@dataclass(frozen=True)
class SteadyTurn:
    """A steady turn at one bank, the same turn without sideslip, and the margins of its wings.

    Parameters
    ----------
    flight, coordinated : SteadyFlight
        As flown, and with the rudder that keeps the nose on the path. [deg, shares of travel]
    wings, coordinated_wings : WingMargins
        Of both. [deg]
    """

    flight: SteadyFlight
    coordinated: SteadyFlight
    wings: WingMargins
    coordinated_wings: WingMargins

    @property
    def inside(self) -> str:
        """Name of the low wing, "right" or "left"."""
        return "right" if self.coordinated.bank_deg >= 0.0 else "left"

    @property
    def ball_to_inside_deg(self) -> float:
        """Angle of the ball toward the inside of the turn; a slip is positive, a skid negative."""
        return self.flight.ball_deg * (1.0 if self.inside == "right" else -1.0)


def wing_margins(
    airplane: LateralAirplane,
    flight: SteadyFlight,
    tas: float,
    dihedral_deg: float = DIHEDRAL_DEG["high"],
    path_angle_deg: float = 0.0,
) -> WingMargins:
    """Angle of attack left at the two wings in a steady flight.

    Assumes strips of wing that stall at one angle, a straight lift curve up to the stall and
    ailerons over the outer part of an untapered wing.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    flight : SteadyFlight
        As `steady_turn` or `steady_flight` gives it. [deg]
    tas : float
        True airspeed. [m/s]
    dihedral_deg : float
        Angle of each wing above level. [deg]
    path_angle_deg : float
        Of the path, + climbing. [deg]

    Returns
    -------
    WingMargins
        [deg]

    Notes
    -----
    At a distance y to the right: alpha r y / V for the slower air of the inside wing, p y / V with
    p = -turn rate sin(path angle), dihedral times sideslip, and half of the aileron's worth
    cl_aileron delta / (a (t2^2 - t1^2) / 4).

    References
    ----------
    .. [1] Strip theory of the wing: B. Etkin, Dynamics of Flight (from memory). Down-going
       aileron and stall, cross-control stall: FAA-H-8083-3C ch. 5 (from memory).

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> one = scaled(SETS["B"], light)
    >>> level = steady_flight(one, 36.0, straight=True, sideslip=0.0)
    >>> abs(wing_margins(one, level, 36.0).difference_deg) < 1e-9  # both alike
    True
    """
    out = COMPARED_AT * 0.5 * airplane.span / tas
    alpha = airplane.alpha(flight.lift_coefficient)
    turn = np.radians(flight.turn_rate_dps)
    yaw = alpha * turn * np.cos(np.radians(flight.bank_deg)) * out
    roll = -turn * np.sin(np.radians(path_angle_deg)) * out
    dihedral = np.radians(dihedral_deg) * np.radians(flight.sideslip_deg)
    # rolls right: the right aileron is up, which takes nothing from its wing but adds
    rolling = airplane.reference.cl_aileron * np.radians(airplane.full_aileron_deg * flight.aileron)
    worth = rolling / (airplane.lift_slope * (AILERON_TO**2 - AILERON_FROM**2) / 4.0)
    aileron = -AILERON_STALL_SHARE * worth
    left = (airplane.cl_max - flight.lift_coefficient) / airplane.lift_slope
    taken = yaw + roll + dihedral + aileron
    degrees = (left + taken, left - taken, left, yaw, roll, dihedral, aileron)
    return WingMargins(*(_plain(np.degrees(value)) for value in degrees))


def _plain(value):
    return value if np.ndim(value) else float(value)


def steady_turn(
    airplane: LateralAirplane,
    tas: float,
    bank_deg: float,
    density: float = SEA_LEVEL_DENSITY,
    power: float = 0.0,
    *,
    rudder: float | None = None,
    sideslip_deg: float | None = None,
    dihedral_deg: float = DIHEDRAL_DEG["high"],
    path_angle_deg: float = 0.0,
) -> SteadyTurn:
    """Steady turn at a held bank, with a rudder or a sideslip of the pilot's choice.

    Assumes a pilot who holds bank with aileron and the path with elevator; neither given is the
    coordinated turn.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    tas : float
        True airspeed. [m/s]
    bank_deg : float
        + right wing down, within +/-60. [deg]
    density : float
        Air density. [kg/m3]
    power : float
        Share of full power, 0 to 1. [-]
    rudder : float or array, optional
        Share of full pedal, + right; an array gives arrays in `flight` and `wings`. [-]
    sideslip_deg : float, optional
        + wind from the right. [deg]
    dihedral_deg : float
        Angle of each wing above level. [deg]
    path_angle_deg : float
        Of the path, + climbing. [deg]

    Returns
    -------
    SteadyTurn
        [deg, shares of travel]

    Raises
    ------
    ValueError
        If both a rudder and a sideslip are given, or the bank is steeper than 60 degrees.

    References
    ----------
    .. [1] As in `steady_flight` and `wing_margins`.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> turn = steady_turn(scaled(SETS["B"], light), 36.0, 30.0, sideslip_deg=-5.0)
    >>> turn.ball_to_inside_deg < 0.0  # nose too far into the turn: a skid, the ball outside
    True
    """
    if rudder is not None and sideslip_deg is not None:
        raise ValueError("Rudder decides the sideslip: give one of the two.")
    if not abs(bank_deg) <= 60.0:
        raise ValueError("No turn steeper than 60 degrees of bank is computed here: bank less.")
    bank = np.radians(bank_deg)

    def turn(**given):
        return steady_flight(airplane, tas, density, power, bank=bank, **given)

    def wings(flight):
        return wing_margins(airplane, flight, tas, dihedral_deg, path_angle_deg)

    coordinated = turn(sideslip=0.0)
    if rudder is not None:
        flight = turn(rudder=rudder)
    else:
        flight = turn(sideslip=np.radians(sideslip_deg)) if sideslip_deg else coordinated
    return SteadyTurn(flight, coordinated, wings(flight), wings(coordinated))
