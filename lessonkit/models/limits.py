"""Where the models hold: the range of every input, checked in one place.

Every model passes its inputs through `checked`, which turns scalars, lists and arrays into
float arrays, lets NaN through (a gap in a recording stays a gap) and refuses a value outside
the range with one sentence. The ranges are those of light single-engine airplanes below the
tropopause; the table of quantities (`quantities.py`) shows them to the learner.
"""

from dataclasses import dataclass

import numpy as np

from lessonkit.units import ft2_from_m2, ft_from_m, kt_from_mps, lb_from_kg

# What a model returns: a NumPy float for plain numbers, an array for arrays.
Numbers = np.float64 | np.ndarray

# How a refused value is shown: models work in SI, pilots read these.
_SHOWN = {
    "m/s": (kt_from_mps, "kt"),
    "m": (ft_from_m, "ft"),
    "m2": (ft2_from_m2, "ft2"),
    "kg": (lb_from_kg, "lb"),
    "deg": (float, "degrees"),
    "deg/s": (float, "degrees per second"),
}


@dataclass(frozen=True)
class Limits:
    """The range of one input.

    Parameters
    ----------
    low, high : float
        Ends of the range. [unit]
    unit : str
        Unit of both ends; empty for a pure number.
    low_open, high_open : bool
        True where the end itself is already outside.
    """

    low: float
    high: float
    unit: str
    low_open: bool = False
    high_open: bool = False

    def hold(self, value):
        """Tell for each value whether it lies inside; NaN counts as inside.

        Parameters
        ----------
        value : array
            Values to test. [unit of the limits]

        Returns
        -------
        array of bool
            True inside the range. [-]
        """
        below = value <= self.low if self.low_open else value < self.low
        above = value >= self.high if self.high_open else value > self.high
        return ~(below | above)


def _positive(high, unit):
    return Limits(0.0, high, unit, low_open=True)


LIMITS = {
    # air
    "altitude": Limits(-1000.0, 11000.0, "m"),
    "pressure_altitude": Limits(-1000.0, 11000.0, "m"),
    "elevation": Limits(-500.0, 6000.0, "m"),
    "density": _positive(1.6, "kg/m3"),
    "density_ratio": Limits(0.25, 1.3, ""),
    "temperature": Limits(180.0, 340.0, "K"),
    "pressure": Limits(22600.0, 114000.0, "Pa"),
    "altimeter_setting": Limits(90000.0, 110000.0, "Pa"),
    # speeds: above 150 m/s (290 kt) air can no longer be taken as incompressible
    "tas": _positive(150.0, "m/s"),
    "cas": _positive(150.0, "m/s"),
    "eas": _positive(150.0, "m/s"),
    "speed": Limits(0.0, 150.0, "m/s"),
    "new_speed": Limits(0.0, 150.0, "m/s"),
    "stall_speed": _positive(75.0, "m/s"),
    "ground_speed": _positive(150.0, "m/s"),
    "wind_speed": Limits(0.0, 50.0, "m/s"),
    "headwind": Limits(-50.0, 50.0, "m/s"),
    "crosswind": Limits(-50.0, 50.0, "m/s"),
    "sink_rate": Limits(0.0, 50.0, "m/s"),
    # attitudes and turns
    "bank_deg": Limits(-90.0, 90.0, "deg", True, True),
    "gliding_bank_deg": Limits(0.0, 90.0, "deg", True, True),
    "angle_deg": Limits(-360.0, 360.0, "deg"),
    "sideslip_deg": Limits(-30.0, 30.0, "deg"),
    "direction_deg": Limits(-360.0, 720.0, "deg"),
    "turn_deg": Limits(-720.0, 720.0, "deg"),
    "turn_rate_dps": Limits(-90.0, 90.0, "deg/s"),
    "roll_rate_dps": _positive(120.0, "deg/s"),
    "path_angle_deg": Limits(-90.0, 90.0, "deg", True, True),
    "descent_angle_deg": Limits(0.0, 90.0, "deg", True, True),
    "radius": _positive(100000.0, "m"),
    "load_factor": Limits(0.0, 12.0, "g", low_open=True),
    "turn_load_factor": Limits(1.0, 12.0, "g"),
    # airplane
    "mass": _positive(6000.0, "kg"),
    "new_mass": _positive(6000.0, "kg"),
    "wing_area": _positive(100.0, "m2"),
    "aspect_ratio": Limits(2.0, 40.0, ""),
    "cd0": Limits(0.005, 0.3, ""),
    "oswald": Limits(0.3, 1.1, ""),
    "cl_max": Limits(0.5, 4.0, ""),
    "lift_coefficient": _positive(4.0, ""),
    "lift_drag_ratio": _positive(60.0, ""),
    "drag_lift_ratio": _positive(1.0, ""),
    "drag": Limits(-1.0e6, 1.0e6, "N"),
    "thrust": Limits(-1.0e6, 1.0e6, "N"),
    "glide_ratio_factor": Limits(0.5, 1.5, ""),
    # propeller and engine
    "advance_ratio": Limits(0.0, 3.0, ""),
    "static_rpm": _positive(6000.0, "rpm"),
    "diameter": _positive(5.0, "m"),
    "rpm_ratio": _positive(3.0, ""),
    "power_coefficient": _positive(1.0, ""),
    "power_coefficient_static": _positive(1.0, ""),
    "dropoff": Limits(0.0, 0.5, "", high_open=True),
    # geometry and time
    "height": Limits(0.0, 11000.0, "m"),
    "eye_height": _positive(11000.0, "m"),
    "distance": Limits(0.0, 200000.0, "m"),
    "ground_distance": _positive(200000.0, "m"),
    "runway_width": _positive(300.0, "m"),
    "runway_length": _positive(10000.0, "m"),
    "flare_distance": Limits(0.0, 3000.0, "m"),
    "height_over_span": Limits(0.0, 1000.0, ""),
    "delay": Limits(0.0, 60.0, "s"),
    "reserve_fraction": Limits(0.0, 2.0, ""),
}


def checked(**inputs):
    """Turn inputs into float arrays and refuse values outside their range.

    Parameters
    ----------
    **inputs : float, list or array
        Keyword names are keys of `LIMITS`; values in the unit given there. [unit of LIMITS]

    Returns
    -------
    array, or list of arrays
        The inputs in the given order; a bare array when there was only one. [as given]

    Raises
    ------
    ValueError
        With the name of the input, its range and the first value that lies outside.

    Examples
    --------
    >>> float(checked(bank_deg=30))
    30.0
    """
    arrays = []
    for name, value in inputs.items():
        array = np.asarray(value, dtype=float)
        limits = LIMITS[name]
        inside = limits.hold(array)
        if not np.all(inside):
            first = np.atleast_1d(array)[~np.atleast_1d(inside)][0]
            raise ValueError(outside(name, first))
        arrays.append(array)
    return arrays[0] if len(arrays) == 1 else arrays


def outside(name, given):
    """Say in one sentence that an input lies outside its range.

    Parameters
    ----------
    name : str
        Key of `LIMITS`. [text]
    given : float
        The value that was refused. [unit of LIMITS]

    Returns
    -------
    str
        One sentence, in knots, feet and pounds where the range is in SI. [text]

    Examples
    --------
    >>> outside("bank_deg", 95.0)
    'The bank angle must be above -90 degrees and below 90 degrees, but it is 95 degrees.'
    """
    limits = LIMITS[name]
    convert, unit = _SHOWN.get(limits.unit, (float, limits.unit))

    def shown(value):
        return f"{convert(value):.4g} {unit}".strip()

    return sentence(
        "outside",
        name=sentence(f"name.{name}"),
        low=sentence("above" if limits.low_open else "from", value=shown(limits.low)),
        high=sentence("below" if limits.high_open else "to", value=shown(limits.high)),
        given=shown(given),
    )


def sentence(key, **values):
    """Fetch a sentence of the models' text file, loading the words only when one is needed.

    Parameters
    ----------
    key : str
        Key below `models`. [text]
    **values : str or number
        What the sentence names. [text]

    Returns
    -------
    str
        The sentence. [text]

    Examples
    --------
    >>> sentence("name.bank_deg")
    'The bank angle'
    """
    from lessonkit.words import say

    return say(f"models.{key}", **values)
