"""The forward slip: drag for height, how much of it, and the bank that goes with it.

Sideslip is the angle between nose and path, positive with the wind from the right (nose left of the
path); rudder is a share of full pedal, right positive, as everywhere in the kit; a slip to either
side costs the same. The airplane keeps
its track: the nose is yawed off it and a little bank balances the side force, so that to the
point mass a slip is drag alone.
"""

import math
from dataclasses import dataclass

import numpy as np

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.drag import drag_coefficient
from lessonkit.models.numeric import smooth_step
from lessonkit.models.power_off_pilot import ApproachPlan, PowerOffPilot

# A six-degree-of-freedom model of a light four-seat single holds 11.5 to 12 deg of sideslip with
# full rudder at idle, and sinks 24 to 38 % faster at 65 to 75 kt; at another loading 28 to 41 %
# (comparisons made for this kit, tests/sixdof/test_slip.py).
FULL_RUDDER_SIDESLIP_DEG = 12.0
# Drag coefficient per sideslip squared that lies inside those bounds: 0.0276 at 12 deg.
SLIP_DRAG_FACTOR = 0.63  # 1/rad2
# CYbeta of a light single, -0.564 (R. C. Nelson, Flight Stability and Automatic Control, app. B,
# general-aviation airplane), fuselage included, less what full rudder takes back: some 0.1.
SIDE_FORCE_SLOPE = 0.46  # 1/rad
FADE_HEIGHT = 9.0  # m of height over which the rudder goes in or comes out: about two seconds


@dataclass(frozen=True)
class SteadySlip:
    """A steady forward slip at idle.

    Parameters
    ----------
    sideslip_deg, bank_deg : float or array
        Nose off the path, and bank toward the low wing; same sign: wind from the right, right
        wing low, is positive. [deg]
    sink_rate, straight_sink_rate : float or array
        Rate of descent in the slip, and at the same speed without it. [m/s]
    sink_rise : float or array
        How much faster the slip sinks, as a fraction of the straight glide's sink. [-]
    """

    sideslip_deg: float
    bank_deg: float
    sink_rate: float
    straight_sink_rate: float
    sink_rise: float


def sideslip_of_rudder(rudder, full_sideslip_deg=FULL_RUDDER_SIDESLIP_DEG):
    """Sideslip that a rudder holds in a steady slip.

    Assumes sideslip in proportion to rudder, and no more than full rudder: that is the practical
    limit of a slip, more bank then only turns the airplane.

    Parameters
    ----------
    rudder : float or array
        Share of full pedal, right positive, -1 to 1. [-]
    full_sideslip_deg : float
        Sideslip at full rudder. [deg]

    Returns
    -------
    float or array
        Sideslip, wind from the right positive: left pedal. [deg]

    Raises
    ------
    ValueError
        If more than full rudder is asked for.

    References
    ----------
    .. [1] Practical slip limit: Airplane Flying Handbook FAA-H-8083-3C p. 9-13. About 12 deg:
       comparison with a six-degree-of-freedom model.

    Examples
    --------
    >>> sideslip_of_rudder(-0.5)
    6.0
    """
    if np.any(np.abs(rudder) > 1.0):
        raise ValueError("More than full rudder cannot be held: ask for 100 % or less.")
    return 0.0 - rudder * full_sideslip_deg


def slip_drag_coefficient(sideslip_deg, factor=SLIP_DRAG_FACTOR):
    """Drag coefficient that a steady sideslip adds.

    Parameters
    ----------
    sideslip_deg : float or array
        Angle between nose and path, either side. [deg]
    factor : float
        Growth with the square of the sideslip. [1/rad2]

    Returns
    -------
    float or array
        Added drag coefficient on the wing area. [-]

    Notes
    -----
    dCD = factor beta^2. Light singles differ; up to about 15 deg. Full slips are the better known:
    the reference's own table grows in proportion to sideslip, and at half rudder this formula
    gives about 40 % of it.

    References
    ----------
    .. [1] Nearer to quadratic than to linear, and the size: comparison with a
       six-degree-of-freedom model of a light four-seat single, 24 to 38 % more sink with full
       rudder at 65 to 75 kt.

    Examples
    --------
    >>> round(slip_drag_coefficient(12.0), 4)
    0.0276
    """
    sideslip = sideslip_deg * (math.pi / 180.0)
    return factor * sideslip * sideslip


def slip_bank_deg(sideslip_deg, pressure_area, weight, slope=SIDE_FORCE_SLOPE):
    """Bank that balances the side force of a steady, straight slip.

    Parameters
    ----------
    sideslip_deg : float or array
        Nose left of the path is positive. [deg]
    pressure_area : float or array
        Dynamic pressure times wing area. [N]
    weight : float or array
        Weight as flown. [N]
    slope : float
        Side force coefficient per sideslip, rudder's part taken off. [1/rad]

    Returns
    -------
    float or array
        Bank toward the low wing, right wing down positive. [deg]

    Raises
    ------
    ValueError
        If the side force is greater than the weight: no such slip exists.

    Notes
    -----
    W sin(bank) = q S slope beta, path taken as level. Steeper at higher speed. Least certain of
    all: the reference model needs 2 deg of bank where this gives 7.

    References
    ----------
    .. [1] Balance of forces across the path; side force: R. C. Nelson, Flight Stability and
       Automatic Control, app. B (general-aviation airplane).

    Examples
    --------
    >>> round(slip_bank_deg(12.0, 12000.0, 10000.0), 1)
    6.6
    """
    sine = pressure_area * slope * sideslip_deg * (math.pi / 180.0) / weight
    if np.any(np.abs(sine) >= 1.0):
        raise ValueError("No bank balances this much sideslip at this speed: slow down.")
    return np.degrees(np.arcsin(sine)) if np.ndim(sine) else math.degrees(math.asin(sine))


def steady_slip(
    parameters,
    cas,
    rudder,
    flap_deg=0.0,
    density=SEA_LEVEL_DENSITY,
    factor=SLIP_DRAG_FACTOR,
    full_sideslip_deg=FULL_RUDDER_SIDESLIP_DEG,
):
    """Sink, sideslip and bank of a steady forward slip at a held speed.

    Assumes idle power, wings' lift as in the straight glide, and unchanged track.

    Parameters
    ----------
    parameters : Parameters
        The airplane. [SI]
    cas : float or array
        Calibrated airspeed held. The dial may read wrong in a slip. [m/s]
    rudder : float or array
        Share of full pedal, right positive, -1 to 1. [-]
    flap_deg : float
        One of the flap settings. [deg]
    density : float
        Air density. [kg/m3]
    factor : float
        Drag coefficient per sideslip squared. [1/rad2]
    full_sideslip_deg : float
        Sideslip at full rudder. [deg]

    Returns
    -------
    SteadySlip
        [SI, deg]

    Raises
    ------
    ValueError
        If the airplane lacks the flap setting or more than full rudder is asked for.

    Notes
    -----
    sin(gamma) = D/W with CD = CD0 + k CL^2 + factor beta^2 and CL = W cos(gamma)/(q S).

    References
    ----------
    .. [1] Balance of forces along the path; slip drag as in `slip_drag_coefficient`.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> slip = steady_slip(p, 36.0, -1.0)  # left pedal
    >>> round(slip.sideslip_deg), round(100 * slip.sink_rise)
    (12, 38)
    """
    if flap_deg not in parameters.flap_deg:
        raise ValueError("The airplane has no such flap setting: choose one that it has.")
    index = parameters.flap_deg.index(flap_deg)
    pressure_area = 0.5 * SEA_LEVEL_DENSITY * cas * cas * parameters.wing_area
    tas = cas * np.sqrt(SEA_LEVEL_DENSITY / density)
    sideslip_deg = sideslip_of_rudder(rudder, full_sideslip_deg)

    def sink(extra):
        sine = 0.0
        for _ in range(12):  # the path angle changes the lift by a percent or two: it converges
            cl = parameters.weight * np.sqrt(1.0 - sine * sine) / pressure_area
            cd = drag_coefficient(cl, parameters.cd0[index], parameters.induced_factors[index])
            sine = (cd + extra) * pressure_area / parameters.weight
        return tas * sine

    straight, slipping = sink(0.0), sink(slip_drag_coefficient(sideslip_deg, factor))
    bank_deg = slip_bank_deg(sideslip_deg, pressure_area, parameters.weight)
    return SteadySlip(sideslip_deg, bank_deg, slipping, straight, slipping / straight - 1.0)


@dataclass(frozen=True)
class SlipPlan(ApproachPlan):
    """An approach with a forward slip on final; each number may be an array over cases.

    Parameters
    ----------
    slip_rudder : float or array
        Share of full pedal, right positive, -1 to 1; 0 is no slip. [-]
    full_sideslip_deg : float or array
        Sideslip at full rudder. [deg]
    slip_from_height, slip_to_height : float or array
        Height at which the slip is begun, if on final by then, and by which it is out. [m]
    """

    slip_rudder: float = 0.0
    full_sideslip_deg: float = FULL_RUDDER_SIDESLIP_DEG
    slip_from_height: float = 150.0
    slip_to_height: float = 30.0


class SlipPilot(PowerOffPilot):
    """The pilot of a `SlipPlan`: the base pilot, with a slip held between two heights."""

    def sideslip_deg(self, height, final):
        """Sideslip held at a height, in degrees; it comes in and goes out smoothly."""
        plan, f = self.plan, self.functions
        begun = smooth_step(plan.slip_from_height - height, 0.0, FADE_HEIGHT, f)
        held = smooth_step(height - plan.slip_to_height, 0.0, FADE_HEIGHT, f)
        return -plan.slip_rudder * plan.full_sideslip_deg * begun * held * final

    def thrust(self, state, flow, base, final):
        """Return the drag of the slip as negative thrust in N."""
        others = super().thrust(state, flow, base, final)
        drag = slip_drag_coefficient(self.sideslip_deg(state.height, final)) * flow.pressure_area
        return others - drag
