"""What counts as good enough: tolerances of the airman certification standards, as data.

Each limit carries its source and how it was obtained: `read` in public transcriptions of the
standard (not in the official PDF), or `memory`. Where transcriptions differ, the value that
matches FAA-S-ACS-6B is used. Check the current standard before a test.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from lessonkit.models.limits import sentence

_INFINITY = float("inf")
_ROUNDING = 1e-6  # a limit met exactly in feet must survive the way through metres


@dataclass(frozen=True)
class Tolerance:
    """One limit of one task.

    Parameters
    ----------
    certificate : str
        `private` or `commercial`. [text]
    task : str
        Task of the standard. [text]
    measure : str
        What is measured, with its unit. [text]
    low, high : float
        Range of flown minus target, both ends inside; of flown itself when `absolute`.
        [unit of the measure]
    source : str
        Document and item. [text]
    provenance : str
        `read` (in a public transcription) or `memory`. [text]
    absolute : bool
        True when the limit does not depend on a target, such as a lowest height. [-]

    Examples
    --------
    >>> tolerance("private", "normal_landing", "touchdown_ft_beyond").high
    400.0
    """

    certificate: str
    task: str
    measure: str
    low: float
    high: float
    source: str
    provenance: str
    absolute: bool = False


@dataclass(frozen=True)
class Regulation:
    """One figure of a regulation that lessons and exercises use.

    Parameters
    ----------
    key : str
        What it limits. [text]
    value : float
        The figure. [unit]
    unit : str
        Its unit. [text]
    source : str
        Paragraph. [text]
    provenance : str
        `read` or `memory`. [text]

    Examples
    --------
    >>> REGULATIONS["demonstrated_crosswind"].value
    0.2
    """

    key: str
    value: float
    unit: str
    source: str
    provenance: str


def _rows(certificate, task, source, provenance, **limits):
    document = {"private": "FAA-S-ACS-6B/6C PA.", "commercial": "FAA-S-ACS-7A/7B CA."}
    return [
        Tolerance(
            certificate,
            task,
            measure,
            float(low),
            float(high),
            document[certificate] + source,
            provenance,
            absolute=measure.startswith(("lowest_", "highest_")),
        )
        for measure, (low, high) in limits.items()
    ]


def _about(width):
    return (-width, width)


def _at_least(value):
    return (value, _INFINITY)


def _at_most(value):
    return (-_INFINITY, value)


_STALL_PRIVATE = {
    "heading_deg": _about(10),
    "bank_deg": _about(10),
    "highest_bank_deg": _at_most(20),
    "lowest_height_agl_ft": _at_least(1500),
}
_STALL_COMMERCIAL = {
    "heading_deg": _about(10),
    "bank_deg": _about(5),
    "highest_bank_deg": _at_most(20),
}

TOLERANCES: tuple[Tolerance, ...] = tuple(
    _rows(
        "private",
        "slow_flight",
        "VII.A",
        "read",
        altitude_ft=_about(100),
        heading_deg=_about(10),
        airspeed_kt=(0, 10),
        bank_deg=_about(10),
        lowest_height_agl_ft=_at_least(1500),
    )
    + _rows("private", "power_off_stall", "VII.B", "read", **_STALL_PRIVATE)
    + _rows(
        "private",
        "power_on_stall",
        "VII.C",
        "read",
        **_STALL_PRIVATE,
        lowest_power_pct=_at_least(65),
    )
    + _rows(
        "private",
        "steep_turn",
        "V.A",
        "read",
        altitude_ft=_about(100),
        airspeed_kt=_about(10),
        bank_deg=_about(5),
        rollout_heading_deg=_about(10),
    )
    + _rows(
        "private",
        "ground_reference",
        "V.B",
        "read",
        altitude_ft=_about(100),
        airspeed_kt=_about(10),
        highest_distance_sm=_at_most(0.75),
    )
    + _rows(
        "private",
        "normal_landing",
        "IV.B",
        "read",
        airspeed_kt=(-5, 10),
        touchdown_ft_beyond=(0, 400),
    )
    + _rows("private", "soft_field_landing", "IV.D", "read", airspeed_kt=(-5, 10))
    + _rows(
        "private",
        "short_field_landing",
        "IV.F",
        "read",
        airspeed_kt=(-5, 10),
        touchdown_ft_beyond=(0, 200),
    )
    + _rows("private", "forward_slip_landing", "IV.M", "read", touchdown_ft_beyond=(0, 400))
    + _rows("private", "go_around", "IV.N", "read", airspeed_kt=(-5, 10))
    + _rows(
        "private",
        "traffic_pattern",
        "III.B",
        "memory",
        altitude_ft=_about(100),
        airspeed_kt=_about(10),
    )
    + _rows("private", "emergency_approach", "IX.B", "read", airspeed_kt=_about(10))
    + _rows(
        "private",
        "instrument_straight_and_level",
        "VIII.A",
        "read",
        altitude_ft=_about(200),
        heading_deg=_about(20),
        airspeed_kt=_about(10),
    )
    + _rows(
        "commercial",
        "slow_flight",
        "VII.A",
        "read",
        altitude_ft=_about(50),
        heading_deg=_about(10),
        airspeed_kt=(0, 5),
        bank_deg=_about(5),
    )
    + _rows("commercial", "power_off_stall", "VII.B", "read", **_STALL_COMMERCIAL)
    + _rows(
        "commercial",
        "steep_turn",
        "V.A",
        "read",
        altitude_ft=_about(100),
        airspeed_kt=_about(10),
        bank_deg=_about(5),
        rollout_heading_deg=_about(10),
    )
    + _rows(
        "commercial",
        "steep_spiral",
        "V.B",
        "read",
        lowest_turns=_at_least(3),
        highest_bank_deg=_at_most(60),
        airspeed_kt=_about(10),
        rollout_heading_deg=_about(10),
        lowest_height_agl_ft=_at_least(1500),
    )
    + _rows("commercial", "power_off_180", "IV.M", "read", touchdown_ft_beyond=(0, 200))
    + _rows(
        "commercial",
        "normal_landing",
        "IV.B",
        "memory",
        airspeed_kt=_about(5),
        touchdown_ft_beyond=(0, 200),
    )
    + _rows(
        "commercial",
        "short_field_landing",
        "IV.F",
        "memory",
        airspeed_kt=_about(5),
        touchdown_ft_beyond=(0, 100),
    )
)

REGULATIONS: dict[str, Regulation] = {
    row.key: row
    for row in (
        Regulation("landing_reference_speed", 1.3, "x VS0", "14 CFR 23.73(a), old", "read"),
        Regulation("landing_distance_gradient", 5.2, "%", "14 CFR 23.75(a)(1), old", "read"),
        Regulation("landing_screen_height", 50.0, "ft", "14 CFR 23.75, 23.2130", "read"),
        Regulation("demonstrated_crosswind", 0.2, "x VS0", "FAA-H-8083-3C p. 9-19", "read"),
        Regulation("stall_warning_margin", 5.0, "kt", "14 CFR 23.207, old", "read"),
        Regulation("highest_vs0", 61.0, "kt", "14 CFR 23.49(c), Amdt 23-62", "read"),
        Regulation("aerobatic_floor", 1500.0, "ft above the surface", "14 CFR 91.303(e)", "read"),
        Regulation("parachute_bank", 60.0, "deg", "14 CFR 91.307(c)(1)", "read"),
        Regulation("parachute_pitch", 30.0, "deg", "14 CFR 91.307(c)(2)", "read"),
        Regulation(
            "height_over_congested_area",
            1000.0,
            "ft above obstacles within 2,000 ft",
            "14 CFR 91.119(b)",
            "read",
        ),
        Regulation("height_elsewhere", 500.0, "ft", "14 CFR 91.119(c)", "read"),
    )
}


def tolerance(certificate: str, task: str, measure: str) -> Tolerance:
    """Look up one limit.

    Parameters
    ----------
    certificate : str
        `private` or `commercial`. [text]
    task : str
        Task of the standard, such as `power_off_180`. [text]
    measure : str
        What is measured, such as `touchdown_ft_beyond`. [text]

    Returns
    -------
    Tolerance
        The limit with its source. [unit of the measure]

    Raises
    ------
    ValueError
        Naming what the table does not know and what it knows instead.

    References
    ----------
    .. [1] FAA-S-ACS-6B/6C and 7A/7B, read in public transcriptions; see each row.

    Examples
    --------
    >>> tolerance("commercial", "power_off_180", "touchdown_ft_beyond").high
    200.0
    """
    rows = [row for row in TOLERANCES if row.certificate == certificate]
    if not rows:
        known = _list(row.certificate for row in TOLERANCES)
        raise ValueError(sentence("standard.certificate", given=certificate, known=known))
    of_task = [row for row in rows if row.task == task]
    if not of_task:
        known = _list(row.task for row in rows)
        raise ValueError(
            sentence("standard.task", given=task, certificate=certificate, known=known)
        )
    for row in of_task:
        if row.measure == measure:
            return row
    known = _list(row.measure for row in of_task)
    raise ValueError(sentence("standard.measure", given=measure, task=task, known=known))


def within_standard(
    certificate: str, task: str, measure: str, target: ArrayLike, flown: ArrayLike
) -> np.bool_ | np.ndarray:
    """Tell whether what was flown meets the standard; the limits themselves are inside.

    Assumes the plain reading of the task. Headings are compared the short way round. A missing
    measurement (NaN) does not meet a standard.

    Parameters
    ----------
    certificate : str
        `private` or `commercial`. [text]
    task : str
        Task of the standard, such as `power_off_180`. [text]
    measure : str
        What is measured, such as `touchdown_ft_beyond`. [text]
    target : float or array
        What was aimed at; without effect on limits such as a lowest height.
        [unit of the measure]
    flown : float or array
        What was flown. [unit of the measure]

    Returns
    -------
    bool or array of bool
        True inside the limits. [-]

    Raises
    ------
    ValueError
        If the table does not know the certificate, task or measure.

    References
    ----------
    .. [1] FAA-S-ACS-6B/6C and 7A/7B, read in public transcriptions; see each row.

    Examples
    --------
    >>> bool(within_standard("private", "slow_flight", "airspeed_kt", 48.0, 58.0))
    True
    """
    limit = tolerance(certificate, task, measure)
    value = np.asarray(flown, dtype=float)
    if not limit.absolute:
        value = value - np.asarray(target, dtype=float)
    if measure.endswith("heading_deg"):
        value = (value + 180.0) % 360.0 - 180.0
    return (value >= limit.low - _ROUNDING) & (value <= limit.high + _ROUNDING)


def _list(names):
    return ", ".join(dict.fromkeys(names))
