"""What the questions of this lesson share: the airplane in roll and yaw, speeds, sides in words.

All of them are flown in standard air at sea level, where true and calibrated airspeed are the
same, at today's weight and with the flaps up.
"""

import numpy as np

from lessonkit.exercises import Fact, Phrase, Variable, remembered
from lessonkit.models.lateral_run import lateral_run
from lessonkit.models.stall import stall_eas
from lessonkit.models.steady_sideslip import steady_straight

LESSON = "coordination"
COARSE = 0.04  # s between samples: half the clock of the drills, for answers at once
RIGHT, LEFT = 1.0, -1.0

# What a card says of slips, as part of a word's key.
SLIPS = {
    "allowed": "allowed",
    "not with full flaps": "not_full_flaps",
    "not with flaps": "not_flaps",
    "prohibited": "prohibited",
}


def side(key="side"):
    """Return the variable for right (1) or left (-1)."""
    return Variable(key, "count", LEFT, RIGHT, 2.0)


def times_stall(key, low, high, step):
    """Return the variable for a speed in multiples of the stall speed, flaps up."""
    return Variable(key, "number", low, high, step)


def word(which):
    """Return "right" for a number above zero, else "left", as a phrase for the texts."""
    return Phrase("coordination.question.right" if which > 0.0 else "coordination.question.left")


def ways(which):
    """Return the phrases {way} and {other_way} of a question for the right or the left."""
    return {"way": word(which), "other_way": word(-which)}


@remembered
def _lateral(airplane, values):
    return airplane.lateral()


def lateral_of(airplane):
    """Return the airplane as the roll-yaw motion sees it, at today's weight."""
    return _lateral(airplane, {})


def speed(airplane, factor):
    """Return a multiple of the stall speed, flaps up, level, in m/s."""
    stall = airplane.stall_cas(0.0)
    if stall is None:  # IAS without a table: what the fit takes the wing to give
        flown = airplane.parameters()
        stall = float(stall_eas(flown.mass, flown.wing_area, flown.cl_max[0], 1.0))
    return factor * stall


@remembered
def _straight(airplane, values):
    return steady_straight(lateral_of(airplane), values["tas"], power=values["power"])


def straight(airplane, tas, power=0.0):
    """Return aileron and pedal that hold the nose straight before anything is moved.

    The airplane is rigged for cruise: at idle and slow it asks for a little of both.
    """
    return _straight(airplane, {"tas": tas, "power": power})


def rolled(airplane, tas, aileron, rudder=0.0):
    """Return the motion for aileron and pedal beyond those that hold straight, at idle."""
    held = straight(airplane, tas)
    hands, feet = held.aileron + aileron, held.rudder + rudder
    return lateral_run(lateral_of(airplane), hands, feet, tas, step=COARSE)


def dial(airplane, cas):
    """Return what the airspeed indicator shows, for the texts."""
    shown, kind = airplane.shown_speed(cas)
    return Fact(shown, "speed", suffix=kind)


def share(value, digits=0):
    """Return a share of full travel for the texts, without its sign."""
    return Fact(abs(value), "percent", digits)


def angle(value, digits=0):
    """Return an angle for the texts, without its sign."""
    return Fact(abs(value), "angle_deg", digits)


def pressed(amount, held_s, rest_s, press_s=0.3, step=COARSE):
    """Return a control against time: put in evenly, held, taken out, then left alone.

    Parameters
    ----------
    amount : float
        Share of full travel. [-]
    held_s, rest_s, press_s : float
        From the first movement to the last moment held; neutral afterwards; in and out. [s]
    step : float
        Time between samples. [s]

    Returns
    -------
    array
        Share of full travel at each sample. [-]

    Examples
    --------
    >>> pressed(0.5, 0.6, 0.4, press_s=0.2, step=0.2).round(3).tolist()
    [0.0, 0.5, 0.5, 0.5, 0.0, 0.0]
    """
    time = step * np.arange(round((held_s + rest_s) / step) + 1)
    corners = (0.0, press_s, held_s, held_s + press_s)
    return np.interp(time, corners, (0.0, amount, amount, 0.0))
