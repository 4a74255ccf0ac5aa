"""Inputs and results of the table of quantities: names with units, and their way to SI."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from lessonkit import units


@dataclass(frozen=True)
class Input:
    """One input of the table.

    Parameters
    ----------
    argument : str
        Keyword of the model behind the table. [text]
    limits : str or None
        Key of `LIMITS`; None for a word or a bare number of any size. [text]
    to_si, from_si : callable
        Conversion of the input's unit. [-]

    Examples
    --------
    >>> round(float(INPUTS["altitude_ft"].to_si(1000.0)), 6)
    304.8
    """

    argument: str
    limits: str | None
    to_si: Callable
    from_si: Callable


def _same(value):
    return value


def _numbers(convert):
    def apply(value):
        return convert(np.asarray(value, dtype=float))

    return apply


def _input(argument, to_si=_same, from_si=_same, limits=None):
    return Input(argument, limits or argument, _numbers(to_si), from_si)


def _speed(argument, limits=None):
    return _input(argument, units.mps_from_kt, units.kt_from_mps, limits)


def _length(argument, limits=None):
    return _input(argument, units.m_from_ft, units.ft_from_m, limits)


def _mass(argument):
    return _input(argument, units.kg_from_lb, units.lb_from_kg)


def _word(argument):
    return Input(argument, None, _same, _same)


INPUTS: dict[str, Input] = {
    "tas_kt": _speed("tas"),
    "new_tas_kt": _speed("new_tas", "new_speed"),
    "cas_kt": _speed("cas"),
    "speed_kt": _speed("speed"),
    "stall_speed_kt": _speed("stall_speed"),
    "stall_speed_kcas": _speed("stall_speed"),
    "ground_speed_kt": _speed("ground_speed"),
    "wind_kt": _speed("wind_speed"),
    "headwind_kt": _speed("headwind"),
    "crosswind_kt": _speed("crosswind"),
    "sink_fpm": _input("sink_rate", units.mps_from_fpm, units.fpm_from_mps),
    "altitude_ft": _length("altitude"),
    "pressure_altitude_ft": _length("pressure_altitude"),
    "elevation_ft": _length("elevation"),
    "altimeter_inhg": _input("altimeter_setting", units.pa_from_inhg, units.inhg_from_pa),
    "oat_degc": _input("temperature", units.k_from_degc, units.degc_from_k),
    "bank_deg": _input("bank_deg"),
    "turn_rate_dps": _input("turn_rate_dps"),
    "turn_deg": _input("turn_deg"),
    "angle_deg": _input("angle_deg"),
    "sideslip_deg": _input("sideslip_deg"),
    "derivative_set": _word("derivative_set"),
    "path_angle_deg": _input("descent_angle_deg"),
    "radius_ft": _length("radius"),
    "load_factor": _input("load_factor"),
    "weight_lb": _mass("mass"),
    "new_weight_lb": _mass("new_mass"),
    "wing_area_ft2": _input("wing_area", units.m2_from_ft2, units.ft2_from_m2),
    "aspect_ratio": _input("aspect_ratio"),
    "cd0": _input("cd0"),
    "oswald": _input("oswald"),
    "lift_coefficient": _input("lift_coefficient"),
    "lift_drag_ratio": _input("lift_drag_ratio"),
    "drag_lift_ratio": _input("drag_lift_ratio"),
    "h_over_b": _input("height_over_span"),
    "height_ft": _length("height"),
    "distance_ft": _length("distance"),
    "distance_nm": _input("distance", units.m_from_nm, units.nm_from_m),
    "runway_width_ft": _length("runway_width"),
    "power_coefficient_static": _input("power_coefficient_static"),
    "power_coefficient": _input("power_coefficient"),
    "density_ratio": _input("density_ratio"),
    "dropoff": _input("dropoff"),
    "advance_ratio": _input("advance_ratio"),
    "static_rpm": _input("static_rpm"),
    "diameter_ft": _length("diameter"),
    "rpm_ratio": _input("rpm_ratio"),
    "certificate": _word("certificate"),
    "task": _word("task"),
    "measure": _word("measure"),
    "target": Input("target", None, _numbers(_same), _same),
    "flown": Input("flown", None, _numbers(_same), _same),
}


def _percent(fraction):
    return 100.0 * fraction


_FROM_SI = {
    "kt": units.kt_from_mps,
    "KCAS": units.kt_from_mps,
    "fpm": units.fpm_from_mps,
    "ft": units.ft_from_m,
    "nm": units.nm_from_m,
    "lbf": units.lbf_from_n,
    "hp": units.hp_from_w,
    "inHg": units.inhg_from_pa,
    "degC": units.degc_from_k,
    "%": _percent,
}


def from_si(value, unit):
    """Convert a result from SI to the unit of its row; other units are the model's own.

    Parameters
    ----------
    value : float or array
        Result of a model. [SI, or the unit itself]
    unit : str
        Unit of the row. [text]

    Returns
    -------
    float or array
        Result. [unit]

    Examples
    --------
    >>> from_si(0.5, "%")
    50.0
    """
    return _FROM_SI.get(unit, _same)(value)
