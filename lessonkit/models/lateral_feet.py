"""The kit's own feet and hands: the controls that keep the sideslip at zero or reach a bank."""

from lessonkit.models.lateral_motion import lateral_rates
from lessonkit.models.numeric import SCALAR

# How fast the kit's own feet and hands take out what is left of an error.
FEET_FREQUENCY = 6.0  # rad/s
HANDS_FREQUENCY = 4.0  # rad/s
_PROBE = 1.0e-4  # s over which a rate of change is felt


def coordinated_rudder(airplane, state, controls):
    """Rudder that keeps the sideslip at zero, or brings it there; not yet limited.

    Assumes one case of plain floats, and that the rudder of `controls` is what is held now.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats. [rad, rad/s]
    controls : LateralControls
        With the aileron as it will be held, and the rudder that is held now. [SI]

    Returns
    -------
    float
        Share of full pedal, right positive; beyond 1 where the pedal is not enough. [-]

    Notes
    -----
    Inverse of the motion: beta'' is made -2 w beta' - w^2 beta. It changes in a straight line with
    rudder through p' and r', so two trials give the answer.

    References
    ----------
    .. [1] Algebra of `lateral_rates`; w is a choice of the kit.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_motion import STRAIGHT, LateralControls
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> right = LateralControls(0.5, 0.0, 31.0, 1.225)
    >>> 0.0 < coordinated_rudder(scaled(SETS["B"], light), STRAIGHT, right) < 1.0
    True
    """
    now = lateral_rates(state, controls, airplane, SCALAR)
    pressed = lateral_rates(
        state, controls._replace(rudder=controls.rudder + 1.0), airplane, SCALAR
    )
    bending = _bending(airplane, state, controls, now, now)
    more = _bending(airplane, state, controls, now, pressed) - bending
    w = FEET_FREQUENCY
    wanted = -2.0 * w * now.sideslip - w * w * state[0]
    return controls.rudder + (wanted - bending) / more


def settled_rudder(airplane, state, controls):
    """Rudder that stops the yawing acceleration: where feet stand before anything moves.

    Assumes one case of plain floats.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats. [rad, rad/s]
    controls : LateralControls
        Their rudder does not matter. [SI]

    Returns
    -------
    float
        Share of full pedal, right positive, within the stops. [-]

    References
    ----------
    .. [1] Balance of yawing moments.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_motion import STRAIGHT, LateralControls
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> settled_rudder(scaled(SETS["B"], light), STRAIGHT, LateralControls(0, 0, 31.0, 1.225))
    0.0
    """
    free = lateral_rates(state, controls._replace(rudder=0.0), airplane, SCALAR).yaw_rate
    full = lateral_rates(state, controls._replace(rudder=1.0), airplane, SCALAR).yaw_rate
    return max(-1.0, min(1.0, 0.0 - free / (full - free)))


def aileron_toward(airplane, state, controls, wanted):
    """Aileron that bends the bank as a demand asks; not yet limited.

    Assumes one case of plain floats, and that the controls are what is held now.

    Parameters
    ----------
    airplane : LateralAirplane
        The airplane. [SI]
    state : LateralState, or sequence of its five rows
        Floats. [rad, rad/s]
    controls : LateralControls
        What is held. [SI]
    wanted : tuple of three floats
        Demanded bank, its rate and second rate. [rad, rad/s, rad/s2]

    Returns
    -------
    float
        Share of full aileron, right positive; beyond 1 where it is not enough. [-]

    Notes
    -----
    phi'' is made w'' + 2 f (w' - phi') + f^2 (w - phi), w the demand.

    References
    ----------
    .. [1] Inverse of `lateral_rates`; f is a choice of the kit.

    Examples
    --------
    >>> from lessonkit.models.lateral_airplane import scaled
    >>> from lessonkit.models.lateral_motion import STRAIGHT, LateralControls
    >>> from lessonkit.models.lateral_sets import SETS
    >>> from lessonkit.models.parameters import Parameters
    >>> light = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> still = LateralControls(0.0, 0.0, 31.0, 1.225)
    >>> aileron_toward(scaled(SETS["B"], light), STRAIGHT, still, (0.1, 0.0, 0.0)) > 0.0
    True
    """
    now = lateral_rates(state, controls, airplane, SCALAR)
    more = lateral_rates(state, controls._replace(aileron=controls.aileron + 1.0), airplane, SCALAR)
    f = HANDS_FREQUENCY
    bank, rate, bending = wanted
    asked = bending + 2.0 * f * (rate - now.bank) + f * f * (bank - state[3])
    return controls.aileron + (asked - now.roll_rate) / (more.roll_rate - now.roll_rate)


def _bending(airplane, state, controls, now, moved):
    """Second rate of the sideslip when p and r change as in `moved`, by a short look ahead."""
    rates = (now.sideslip, moved.roll_rate, moved.yaw_rate, now.bank, now.heading)
    ahead = [s + _PROBE * rate for s, rate in zip(state, rates, strict=True)]
    return (lateral_rates(ahead, controls, airplane, SCALAR).sideslip - now.sideslip) / _PROBE
