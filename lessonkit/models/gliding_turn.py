"""Height that a gliding turn costs at the constant speed a pilot flies.

More bank costs less height per degree up to 55 or 57 degrees at best-glide speed, but eats the
margin above the stall: so each height here comes with its stall margin, and a plan adds roll-in,
a delay and a reserve. The turn-back after an engine failure is an aerodynamics lesson here,
never a recommended procedure. The textbook optimum at a given lift coefficient stands in
`optimum_bank.py`.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.glide_path import glide_path_angle_deg
from lessonkit.models.limits import Numbers, checked, sentence
from lessonkit.models.load_factor import load_factor_in_gliding_turn
from lessonkit.models.stall import stall_eas
from lessonkit.models.turning import rate_of_turn_dps
from lessonkit.units import STANDARD_GRAVITY

# Gauss-Legendre nodes on 0..1: the height lost while rolling is a smooth integral over bank.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_NODES, _WEIGHTS = 0.5 * (_NODES + 1.0), 0.5 * _WEIGHTS


@dataclass(frozen=True)
class GlidingTurn:
    """What a gliding turn at constant speed costs; every field a float or array.

    Parameters
    ----------
    steady_height : float or array
        Height lost if the whole heading change were flown at full bank. [m]
    roll_height : float or array
        Extra height because rolling in and out turns slowly. [m]
    delay_height : float or array
        Height lost straight ahead during the reaction delay. [m]
    reserve_height : float or array
        Reserve on all of that. [m]
    total_height : float or array
        Sum of the four. [m]
    time : float or array
        Time from the start of the delay to wings level. [s]
    radius : float or array
        Radius of the turn through the air. [m]
    load_factor : float or array
        Lift over weight in the turn. [g]
    stall_eas : float or array
        Stall speed in the turn, equivalent airspeed. [m/s]
    stall_margin : float or array
        Equivalent airspeed flown minus the stall speed in the turn; negative: it stalls. [m/s]

    Examples
    --------
    >>> turn = GlidingTurn(60.0, 2.0, 14.0, 19.0, 95.0, 15.0, 140.0, 1.4, 29.0, 8.0)
    >>> turn.total_height
    95.0
    """

    steady_height: Numbers
    roll_height: Numbers
    delay_height: Numbers
    reserve_height: Numbers
    total_height: Numbers
    time: Numbers
    radius: Numbers
    load_factor: Numbers
    stall_eas: Numbers
    stall_margin: Numbers


def height_loss_at_speed(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    tas: ArrayLike,
    bank_deg: ArrayLike,
    turn_deg: ArrayLike,
) -> Numbers:
    """Height lost in a steady gliding turn at constant speed.

    Assumes constant bank; no rolling in or out, no delay, no reserve.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]
    tas : float or array
        True airspeed held in the turn. [m/s]
    bank_deg : float or array
        Bank angle without a side, above 0 and below 90. [deg]
    turn_deg : float or array
        Heading change; its side does not matter. [deg]

    Returns
    -------
    float or array
        Height lost, positive. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range or no steady glide exists.

    Notes
    -----
    Sink rate over rate of turn, times the heading change. Compare with `gliding_turn`, which
    adds what a pilot needs on top.

    References
    ----------
    .. [1] Balance of forces in a steady gliding turn; derived here.

    Examples
    --------
    >>> args = (1088.6, 16.165, 7.38, 0.037, 0.72, 1.225)
    >>> round(float(height_loss_at_speed(*args, 37.04, 45.0, 180.0)), 1)  # 72 kt
    61.3
    """
    bank_deg, turn_deg = checked(gliding_bank_deg=bank_deg, turn_deg=turn_deg)
    angle_deg = glide_path_angle_deg(
        mass, wing_area, aspect_ratio, cd0, oswald, density, tas, bank_deg
    )
    sink = checked(tas=tas) * np.sin(np.radians(-angle_deg))
    return sink * np.abs(turn_deg) / rate_of_turn_dps(tas, bank_deg)


def gliding_turn(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    cl_max: ArrayLike,
    tas: ArrayLike,
    bank_deg: ArrayLike,
    turn_deg: ArrayLike,
    roll_rate_dps: ArrayLike,
    delay: ArrayLike,
    reserve_fraction: ArrayLike,
) -> GlidingTurn:
    """Height that a whole gliding turn at constant speed costs, with its stall margin.

    Assumes coordinated flight at constant speed: straight ahead for the delay, rolling in at a
    steady rate, the turn at full bank, and rolling out at the same rate, wings level on the new
    heading.

    Parameters
    ----------
    mass : float or array
        Mass as flown. [kg]
    wing_area : float or array
        Reference wing area. [m2]
    aspect_ratio : float or array
        Span squared over wing area. [-]
    cd0 : float or array
        Zero-lift drag coefficient, propeller included. [-]
    oswald : float or array
        Oswald span efficiency. [-]
    density : float or array
        Air density. [kg/m3]
    cl_max : float or array
        Greatest lift coefficient with these flaps. [-]
    tas : float or array
        True airspeed held throughout. [m/s]
    bank_deg : float or array
        Full bank without a side, above 0 and below 90. [deg]
    turn_deg : float or array
        Heading change; its side does not matter. [deg]
    roll_rate_dps : float or array
        Roll rate in and out. [deg/s]
    delay : float or array
        Reaction delay before the roll, 4 s is a common teaching value (no source). [s]
    reserve_fraction : float or array
        Reserve on everything, 0.25 in older handbook advice (from memory). [-]

    Returns
    -------
    GlidingTurn
        Heights [m], time [s], radius [m], load factor [g], stall speed and margin. [m/s]

    Raises
    ------
    ValueError
        If an input lies outside its range, no steady glide exists, or the turn is over before
        the full bank is reached.

    Notes
    -----
    While rolling at the rate p the heading changes by -g ln(cos(bank)) / (V p), once in and once
    out; the height lost meanwhile is the integral of the steady sink rate over bank.

    References
    ----------
    .. [1] Balance of forces in a steady gliding turn; derived here. Reserve: older editions of
       FAA-H-8083-3 advise to find the height by trial and add about 25 % (from memory).

    Examples
    --------
    >>> args = (1088.6, 16.165, 7.38, 0.037, 0.72, 1.225, 1.54)
    >>> turn = gliding_turn(*args, 37.04, 45.0, 180.0, 20.0, 4.0, 0.25)
    >>> round(float(turn.steady_height), 1), bool(turn.total_height > 90.0)
    (61.3, True)
    """
    bank_deg, turn_deg, roll_rate_dps, delay, reserve_fraction = checked(
        gliding_bank_deg=bank_deg,
        turn_deg=turn_deg,
        roll_rate_dps=roll_rate_dps,
        delay=delay,
        reserve_fraction=reserve_fraction,
    )
    glider = (mass, wing_area, aspect_ratio, cd0, oswald, density)
    tas = checked(tas=tas)
    turn_deg = np.abs(turn_deg)

    def sink(bank):
        return tas * np.sin(np.radians(-glide_path_angle_deg(*glider, tas, bank)))

    rate_dps = rate_of_turn_dps(tas, bank_deg)
    full_turn_deg = turn_deg - 2.0 * _heading_while_rolling_deg(tas, bank_deg, roll_rate_dps)
    _require_full_bank(full_turn_deg, turn_deg, bank_deg)

    roll_time = 2.0 * bank_deg / roll_rate_dps  # in and out together
    sink_rolling = sum(
        weight * sink(node * bank_deg) for node, weight in zip(_NODES, _WEIGHTS, strict=True)
    )
    steady_height = sink(bank_deg) * turn_deg / rate_dps
    full_bank_height = sink(bank_deg) * full_turn_deg / rate_dps
    roll_height = full_bank_height + sink_rolling * roll_time - steady_height
    delay_height = sink(0.0 * bank_deg) * delay
    reserve_height = reserve_fraction * (steady_height + roll_height + delay_height)

    path_angle_deg = glide_path_angle_deg(*glider, tas, bank_deg)
    load_factor = load_factor_in_gliding_turn(bank_deg, path_angle_deg)
    eas = tas * np.sqrt(checked(density=density) / SEA_LEVEL_DENSITY)
    stall = stall_eas(mass, wing_area, cl_max, load_factor)
    return GlidingTurn(
        steady_height=steady_height,
        roll_height=roll_height,
        delay_height=delay_height,
        reserve_height=reserve_height,
        total_height=steady_height + roll_height + delay_height + reserve_height,
        time=delay + roll_time + full_turn_deg / rate_dps,
        # the circle over the ground plan: horizontal speed over rate of turn
        radius=tas * np.cos(np.radians(path_angle_deg)) / np.radians(rate_dps),
        load_factor=load_factor,
        stall_eas=stall,
        stall_margin=eas - stall,
    )


def _heading_while_rolling_deg(tas, bank_deg, roll_rate_dps):
    """Heading change while the bank goes from 0 to full, or back, at a steady roll rate."""
    fall = -np.log(np.cos(np.radians(bank_deg)))
    return np.degrees(STANDARD_GRAVITY * fall / (tas * np.radians(roll_rate_dps)))


def _require_full_bank(full_turn_deg, turn_deg, bank_deg):
    short = full_turn_deg < 0.0
    if np.any(short):
        turn_deg, bank_deg, short = np.broadcast_arrays(turn_deg, bank_deg, short)
        raise ValueError(
            sentence(
                "no_answer.short_turn",
                turn=f"{turn_deg[short][0]:.4g}",
                bank=f"{bank_deg[short][0]:.4g}",
            )
        )
