"""The airplane as a point with lift, drag and bank: the motion of the approach lessons.

State rows, in this order (see `State`): x, y, height [m], true airspeed [m/s], path angle,
heading, bank [rad], flap angle [deg]. The path angle and the heading are those of the motion
through the air. Axes: x along the landing direction, y to its right, height above the runway;
heading from +x toward +y; bank positive right wing down; path angle positive up.
"""

from typing import Any, NamedTuple

from lessonkit.models.drag import drag_coefficient, polar_at_flap
from lessonkit.models.ground_effect import induced_drag_reduction
from lessonkit.models.numeric import ARRAY
from lessonkit.models.wind_profile import wind_growth
from lessonkit.units import STANDARD_GRAVITY

GRAVITY = STANDARD_GRAVITY
FLAP_TIME_CONSTANT = 2.0  # s; most of the travel in 4 s, common practice, no source


class State(NamedTuple):
    """Rows of the state of a point-mass airplane; see the module for units and signs."""

    x: Any
    y: Any
    height: Any
    true_airspeed: Any
    path_angle: Any
    heading: Any
    bank: Any
    flap_deg: Any


class Controls(NamedTuple):
    """What moves a point-mass airplane.

    Parameters
    ----------
    load_factor : float or array
        Lift over weight, as pulled. [-]
    bank_rate : float or array
        Roll rate, positive to the right. [rad/s]
    flap_deg : float or array
        Flap lever; the flaps follow with a time constant of 2 s. [deg]
    thrust : float or array
        Thrust beyond what the card's propeller state holds; 0 at idle. [N]
    """

    load_factor: Any
    bank_rate: Any
    flap_deg: Any
    thrust: Any


class Flow(NamedTuple):
    """The air at a state and the directions of the motion through it, worked out once.

    Parameters
    ----------
    sin_path, cos_path, sin_heading, cos_heading, sin_bank, cos_bank : float or array
        Sines and cosines of the angles of the state. [-]
    density : float or array
        Air density. [kg/m3]
    pressure_area : float or array
        Dynamic pressure times wing area. [N]
    cd0, induced_factor : float or array
        Coefficients of CD = CD0 + k CL^2 at the flap angle and the height. [-]
    wind_factor, wind_slope : float or array
        Wind as a multiple of the one at 10 m [-] and its growth with height. [1/m]
    wind_ahead, wind_right : float or array
        Wind at 10 m resolved along the heading (a tail wind is positive) and to its right. [m/s]
    """

    sin_path: Any
    cos_path: Any
    sin_heading: Any
    cos_heading: Any
    sin_bank: Any
    cos_bank: Any
    density: Any
    pressure_area: Any
    cd0: Any
    induced_factor: Any
    wind_factor: Any
    wind_slope: Any
    wind_ahead: Any
    wind_right: Any


def flow_at(state, parameters, wind, functions=ARRAY):
    """Work out the air at a state and the directions of the motion through it.

    Parameters
    ----------
    state : State
        The state. [SI, rad]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    Flow
        See there. [SI]

    References
    ----------
    .. [1] Resolution of a vector along and across a heading.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> s = State(0.0, 0.0, 10.0, 36.0, 0.0, 0.0, 0.0, 0.0)
    >>> float(flow_at(s, p, Wind(along=-5.0)).wind_ahead)
    -5.0
    """
    density = wind.density(state.height, functions)
    cd0, induced = polar_at_flap(parameters, state.flap_deg, functions)
    wing_height = functions.maximum(state.height, 0.0) + parameters.wing_height
    reduction = induced_drag_reduction(wing_height / parameters.span, functions)
    factor, slope = wind_growth(state.height, wind.exponent, functions)
    sin_heading, cos_heading = functions.sin(state.heading), functions.cos(state.heading)
    # Path angle and bank stay within a right angle: the root is cheaper than a second cosine.
    sin_path, sin_bank = functions.sin(state.path_angle), functions.sin(state.bank)
    return Flow(
        sin_path,
        functions.sqrt(1.0 - sin_path * sin_path),
        sin_heading,
        cos_heading,
        sin_bank,
        functions.sqrt(1.0 - sin_bank * sin_bank),
        density,
        0.5 * density * state.true_airspeed * state.true_airspeed * parameters.wing_area,
        cd0,
        induced * (1.0 - reduction),
        factor,
        slope,
        wind.along * cos_heading + wind.across * sin_heading,
        wind.across * cos_heading - wind.along * sin_heading,
    )


def drag_force(load_factor, flow, parameters):
    """Drag at a load factor.

    Parameters
    ----------
    load_factor : float or array
        Lift over weight. [-]
    flow : Flow
        Air, flap angle and nearness of the ground at the state. [SI]
    parameters : Parameters
        The airplane. [SI]

    Returns
    -------
    float or array
        Drag. [N]

    References
    ----------
    .. [1] CD = CD0 + k (1 - sigma) CL^2, see `drag` and `ground_effect`.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> s = State(0.0, 0.0, 300.0, 36.0, 0.0, 0.0, 0.0, 0.0)
    >>> round(float(drag_force(1.0, flow_at(s, p, Wind()), p)))
    912
    """
    cl = load_factor * parameters.weight / flow.pressure_area
    return flow.pressure_area * drag_coefficient(cl, flow.cd0, flow.induced_factor)


def derivatives(state, controls, parameters, wind, functions=ARRAY):
    """Rates of change of a point-mass airplane in a wind that changes with height.

    Assumes coordinated flight (no side force), a flat earth and a horizontal, steady wind.

    Parameters
    ----------
    state : sequence of 8 rows
        See `State`. [SI, rad]
    controls : Controls, or callable
        Load factor, roll rate, flap lever and thrust as held, or ``controls(state, flow)`` for
        a pilot who reacts to what happens. [SI, rad]
    parameters : Parameters
        The airplane. [SI]
    wind : Wind
        The air. [SI]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    tuple of 8 rows
        Rates in the order of `State`. [SI, rad, per s]

    Notes
    -----
    m dV/dt = T - D - m g sin(gamma) - m (dw/dt along the path); V dgamma/dt = g (n cos(bank) -
    cos(gamma)) + shear; V cos(gamma) dpsi/dt = g n sin(bank) + shear. dw/dt is the change of
    wind that the airplane meets as it changes height. Valid below the stall.

    References
    ----------
    .. [1] Point-mass equations of motion in a moving atmosphere, for instance R. F. Stengel,
       Flight Dynamics, ch. 3 (from memory).

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> from lessonkit.models.wind_profile import Wind
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0,), (0.037,), (0.72,), (1.5,))
    >>> rates = derivatives([0.0, 0.0, 300.0, 36.0, 0.0, 0.0, 0.0, 0.0],
    ...                     Controls(1.0, 0.0, 0.0, 0.0), p, Wind())
    >>> round(float(rates[3]), 2)
    -0.91
    """
    state = State(*state)
    flow = flow_at(state, parameters, wind, functions)
    held = controls(state, flow) if callable(controls) else controls
    speed = state.true_airspeed
    climb = speed * flow.sin_path
    forward = speed * flow.cos_path
    met = climb * flow.wind_slope  # change of the wind factor that the airplane meets, 1/s
    shear_ahead = met * flow.wind_ahead
    drag = drag_force(held.load_factor, flow, parameters)
    lift = GRAVITY * held.load_factor
    return (
        forward * flow.cos_heading + wind.along * flow.wind_factor,
        forward * flow.sin_heading + wind.across * flow.wind_factor,
        climb,
        (held.thrust - drag) / parameters.mass
        - GRAVITY * flow.sin_path
        - shear_ahead * flow.cos_path,
        (lift * flow.cos_bank - GRAVITY * flow.cos_path + shear_ahead * flow.sin_path) / speed,
        (lift * flow.sin_bank - met * flow.wind_right) / forward,
        held.bank_rate,
        (held.flap_deg - state.flap_deg) / FLAP_TIME_CONSTANT,
    )
