"""Least height per degree turned in a glide at a given lift coefficient.

A formula to understand, flown close to the stall and never a plan; what a pilot plans with is
the turn at constant speed in `gliding_turn.py`.
"""

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.drag import drag_coefficient, induced_drag_factor
from lessonkit.models.limits import Numbers, checked, sentence


def height_loss_at_lift_coefficient(
    mass: ArrayLike,
    wing_area: ArrayLike,
    aspect_ratio: ArrayLike,
    cd0: ArrayLike,
    oswald: ArrayLike,
    density: ArrayLike,
    bank_deg: ArrayLike,
    lift_coefficient: ArrayLike,
    turn_deg: ArrayLike,
) -> Numbers:
    """Height lost in a steady gliding turn at a given lift coefficient.

    Assumes constant bank and lift coefficient, so that the speed rises with bank; no rolling in
    or out. Near the greatest lift coefficient this checks the formula and is no plan.

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
    bank_deg : float or array
        Bank angle without a side, above 0 and below 90. [deg]
    lift_coefficient : float or array
        Lift coefficient held in the turn. [-]
    turn_deg : float or array
        Heading change; its side does not matter. [deg]

    Returns
    -------
    float or array
        Height lost, positive. [m]

    Raises
    ------
    ValueError
        If an input lies outside its range.

    Notes
    -----
    dh/dpsi = (2 W / (rho g S CL)) k cos(bank) / ((cos^2(bank) + k^2) sin(bank)), k = CD / CL.

    References
    ----------
    .. [1] Balance of forces in a steady gliding turn; derived here. The same problem in
       J. T. Lowry, Performance of Light Aircraft, pp. 294-296 (read as quoted).

    Examples
    --------
    >>> args = (1088.6, 16.165, 7.38, 0.037, 0.72, 1.225)
    >>> round(float(height_loss_at_lift_coefficient(*args, 45.0, 1.397, 180.0)), 1)
    53.2
    """
    mass, wing_area, density = checked(mass=mass, wing_area=wing_area, density=density)
    aspect_ratio, cd0, oswald = checked(aspect_ratio=aspect_ratio, cd0=cd0, oswald=oswald)
    bank_deg, lift, turn_deg = checked(
        gliding_bank_deg=bank_deg, lift_coefficient=lift_coefficient, turn_deg=turn_deg
    )
    k = drag_coefficient(lift, cd0, induced_drag_factor(oswald, aspect_ratio)) / lift
    cosine, sine = np.cos(np.radians(bank_deg)), np.sin(np.radians(bank_deg))
    length = 2.0 * mass / (density * wing_area * lift)  # 2 W / (rho g S CL)
    return np.abs(np.radians(turn_deg)) * length * k * cosine / ((cosine**2 + k**2) * sine)


def optimum_bank_deg(drag_lift_ratio: ArrayLike) -> Numbers:
    """Bank of least height per degree turned at a given lift coefficient.

    Assumes a steady gliding turn at constant lift coefficient, so that speed rises with bank.
    At constant *speed* the optimum lies higher, at 55 to 57 degrees for best glide.

    Parameters
    ----------
    drag_lift_ratio : float or array
        CD / CL at the lift coefficient held. [-]

    Returns
    -------
    float or array
        Bank angle, without a side. [deg]

    Raises
    ------
    ValueError
        If an input lies outside its range or the ratio is above 0.354: no bank is best.

    Notes
    -----
    cos^2(bank) = (1 + sqrt(1 - 8 k^2)) / 4. Lowry's cos(bank) = sqrt((1 - k^2) / 2) gives 0.4
    degrees less for a light trainer, of no practical weight.

    References
    ----------
    .. [1] Follows from `height_loss_at_lift_coefficient`. Lowry's form: Performance of Light
       Aircraft, pp. 294-296 (read as quoted).

    Examples
    --------
    >>> round(float(optimum_bank_deg(0.116)), 1)
    45.8
    """
    k = checked(drag_lift_ratio=drag_lift_ratio)
    inner = 1.0 - 8.0 * k**2
    if np.any(inner < 0.0):
        raise ValueError(sentence("no_answer.optimum_bank", ratio=f"{np.nanmax(k):.3g}"))
    return np.degrees(np.arccos(np.sqrt((1.0 + np.sqrt(inner)) / 4.0)))
