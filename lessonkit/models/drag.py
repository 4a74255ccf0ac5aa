"""Lift and drag coefficients: one parabola per flap setting."""

import math

from lessonkit.models.numeric import ARRAY


def lift_coefficient(load_factor, weight, density, true_airspeed, wing_area):
    """Lift coefficient at which the wing carries a load factor.

    Parameters
    ----------
    load_factor : float or array
        Lift over weight, as pulled. [-]
    weight : float or array
        Weight. [N]
    density : float or array
        Air density. [kg/m3]
    true_airspeed : float or array
        True airspeed, above 0. [m/s]
    wing_area : float or array
        Reference wing area. [m2]

    Returns
    -------
    float or array
        CL = n W / (rho/2 V^2 S). [-]

    References
    ----------
    .. [1] Definition of the lift coefficient.

    Examples
    --------
    >>> round(lift_coefficient(1.0, 10675.7, 1.225, 36.7, 16.165), 3)
    0.801
    """
    return load_factor * weight / (0.5 * density * true_airspeed**2 * wing_area)


def induced_drag_factor(oswald, aspect_ratio):
    """Factor k of the drag parabola CD = CD0 + k CL^2.

    Parameters
    ----------
    oswald : float or array
        Oswald span efficiency. [-]
    aspect_ratio : float or array
        Span squared over wing area. [-]

    Returns
    -------
    float or array
        k = 1 / (pi e A). [-]

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory).

    Examples
    --------
    >>> round(induced_drag_factor(0.72, 7.38), 5)
    0.0599
    """
    return 1.0 / (math.pi * oswald * aspect_ratio)


def drag_coefficient(lift_coefficient, cd0, induced_factor, ground_reduction=0.0):
    """Drag coefficient from the parabolic polar.

    Assumes no sideslip and lift below the stall; the polar of a flap setting follows a
    six-degree-of-freedom reference model within 2.5 % with flaps and 8 % clean.

    Parameters
    ----------
    lift_coefficient : float or array
        Lift coefficient. [-]
    cd0 : float or array
        Zero-lift drag coefficient, with the propeller in its state. [-]
    induced_factor : float or array
        Factor of CL squared, see `induced_drag_factor`. [-]
    ground_reduction : float or array
        Share of the induced drag that the ground takes away. [-]

    Returns
    -------
    float or array
        CD = CD0 + k (1 - sigma) CL^2. [-]

    References
    ----------
    .. [1] J. D. Anderson, Introduction to Flight, ch. 6 (from memory).

    Examples
    --------
    >>> round(drag_coefficient(0.8, 0.037, 0.0599), 4)
    0.0753
    """
    return cd0 + induced_factor * (1.0 - ground_reduction) * lift_coefficient * lift_coefficient


def polar_at_flap(parameters, flap_deg, functions=ARRAY):
    """Polar of a flap angle, also of one between two settings while the flaps move.

    Assumes that CD0 and the induced factor change in proportion to the angle between two
    neighbouring settings; beyond the last setting the values stay.

    Parameters
    ----------
    parameters : Parameters
        The airplane. [SI]
    flap_deg : float or array
        Flap angle, positive down. [deg]
    functions : namespace
        `ARRAY`, or `SCALAR` for one plain float inside a time step. [-]

    Returns
    -------
    cd0, induced_factor : float or array
        Both coefficients of CD = CD0 + k CL^2. [-]

    References
    ----------
    .. [1] Interpolation of the card's own settings; common practice, no source.

    Examples
    --------
    >>> from lessonkit.models.parameters import Parameters
    >>> p = Parameters(1000.0, 16.0, 11.0, 2.0, (0.0, 20.0), (0.03, 0.05), (0.7, 0.7), (1.5, 1.9))
    >>> round(float(polar_at_flap(p, 10.0)[0]), 3)
    0.04
    """
    cd0, induced = parameters.cd0[0], parameters.induced_factors[0]
    for start, width, cd0_rise, induced_rise in parameters.flap_steps:
        share = functions.unit_interval((flap_deg - start) / width)
        cd0 = cd0 + share * cd0_rise
        induced = induced + share * induced_rise
    return cd0, induced
