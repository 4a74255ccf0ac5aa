"""Two profiles of a stabilised approach, and an approach held against them."""

from dataclasses import dataclass, replace

import numpy as np

from lessonkit.models.approach_review import GATE_HEIGHT
from lessonkit.models.standards import tolerance
from lessonkit.units import m_from_ft, mps_from_fpm, mps_from_kt

_SPEED = tolerance("private", "normal_landing", "airspeed_kt")
WINGS_LEVEL_DEG = 8.0  # bank up to which wings count as level; common practice, no source
ON_CENTRELINE = m_from_ft(60.0)  # off the centreline at most, at the gate; no source
FLAP_SET_DEG = 2.0  # of the landing flap still missing at most; no source
LAST_HEIGHT = m_from_ft(30.0)  # below it the round-out begins; Airplane Flying Handbook, memory

CRITERIA = ("lined_up", "speed", "flaps", "sink")


@dataclass(frozen=True)
class Profile:
    """What has to hold from a height on the final, the gate, down to the round-out.

    Parameters
    ----------
    key : str
        "powered" or "power_off". [-]
    gate_height : float
        Above the runway. [m]
    fast, slow : float
        Speed above and below the one for final, both positive. [m/s]
    sink_limit : float or None
        Greatest rate of descent; None: no limit. [m/s]
    """

    key: str
    gate_height: float
    fast: float
    slow: float
    sink_limit: float | None


# Gate 500 ft in light VFR flying: common practice, from memory. Speed: private standard of the
# normal landing, +10/-5 kt. Sink of at most 500 ft/min: read on a public teaching page; a setting.
POWERED = Profile(
    "powered",
    m_from_ft(500.0),
    mps_from_kt(_SPEED.high),
    mps_from_kt(-_SPEED.low),
    mps_from_fpm(500.0),
)
# Turn to final complete at or above 300 ft: Airplane Flying Handbook FAA-H-8083-3A p. 8-24. No
# limit of sink: with full flap 900 ft/min is normal at idle (6-DoF comparison, tests/sixdof).
POWER_OFF = replace(POWERED, key="power_off", gate_height=GATE_HEIGHT, sink_limit=None)


@dataclass(frozen=True)
class Criterion:
    """One thing that has to hold, and how it was.

    Parameters
    ----------
    key : str
        One of `CRITERIA`. [-]
    met : bool
        Whether it held. [-]
    value : float
        What decides: height at which lined up [m], deviation of speed [m/s], flap at the gate
        [deg], greatest rate of descent [m/s].
    limit : float
        What it is held against: gate height [m], the nearer speed limit [m/s], landing flap
        [deg], sink limit [m/s]; infinite where there is none.
    """

    key: str
    met: bool
    value: float
    limit: float


@dataclass(frozen=True)
class Final:
    """A final against height, arrays of one length, in the order flown.

    Parameters
    ----------
    height : array
        Above the runway. [m]
    offset : array
        From the centreline. [m]
    bank_deg, flap_deg : array
        Bank, and flaps as selected. [deg]
    cas : array
        Calibrated airspeed. [m/s]
    sink_rate : array
        Rate of descent. [m/s]
    """

    height: np.ndarray
    offset: np.ndarray
    bank_deg: np.ndarray
    flap_deg: np.ndarray
    cas: np.ndarray
    sink_rate: np.ndarray


def assess(final, profile, final_cas, landing_flap_deg):
    """Hold a final against a profile.

    Assumes that heights fall steadily; what happens below the round-out is not judged.

    Parameters
    ----------
    final : Final
        What was flown. [SI, deg]
    profile : Profile
        What has to hold. [SI]
    final_cas : float
        Speed meant for the final. [m/s]
    landing_flap_deg : float
        Flap meant for the landing. [deg]

    Returns
    -------
    tuple of Criterion
        In the order of `CRITERIA`. [SI, deg]

    Raises
    ------
    ValueError
        If the final does not reach down through the gate.

    References
    ----------
    .. [1] Stabilised approach: Airplane Flying Handbook FAA-H-8083-3C ch. 9, from memory; speed:
       FAA-S-ACS-6B/6C task IV.B (read in public transcriptions).

    Examples
    --------
    >>> import numpy as np
    >>> height = np.linspace(200.0, 0.0, 41)
    >>> steady = np.ones(41)
    >>> flown = Final(height, 0.0 * steady, 0.0 * steady, 30.0 * steady, 33.0 * steady,
    ...               4.6 * steady)
    >>> [one.met for one in assess(flown, POWER_OFF, 33.0, 30.0)]
    [True, True, True, True]
    >>> [one.met for one in assess(flown, POWERED, 33.0, 30.0)]
    [True, True, True, False]
    """
    below = (final.height <= profile.gate_height) & (final.height >= LAST_HEIGHT)
    if not below.any() or final.height.max() < profile.gate_height:
        raise ValueError("The approach does not pass the gate: begin it higher.")
    lined_up_at = _lined_up_height(final)
    deviation = final.cas[below] - final_cas
    fast, slow = float(deviation.max()), float(deviation.min())
    # The side that lies nearer to its limit, or farther beyond it, is the one to speak of.
    is_fast = fast / profile.fast >= -slow / profile.slow
    worst, allowed = (fast, profile.fast) if is_fast else (slow, -profile.slow)
    flap = float(np.interp(profile.gate_height, final.height[::-1], final.flap_deg[::-1]))
    sink = float(final.sink_rate[below].max())
    sink_limit = np.inf if profile.sink_limit is None else profile.sink_limit
    rounding = 1e-9
    return (
        Criterion(
            "lined_up",
            lined_up_at >= profile.gate_height - rounding,
            lined_up_at,
            profile.gate_height,
        ),
        Criterion("speed", abs(worst) <= abs(allowed) + rounding, worst, allowed),
        Criterion("flaps", flap >= landing_flap_deg - FLAP_SET_DEG, flap, landing_flap_deg),
        Criterion("sink", sink <= sink_limit + rounding, sink, float(sink_limit)),
    )


def _lined_up_height(final):
    """Return the height from which on wings are level and the centreline is held to the end."""
    judged = final.height >= LAST_HEIGHT
    good = (np.abs(final.bank_deg) <= WINGS_LEVEL_DEG) & (np.abs(final.offset) <= ON_CENTRELINE)
    bad = np.flatnonzero(judged & ~good)
    if not bad.size:
        return float(final.height[0])
    after = bad[-1] + 1
    return float(final.height[min(after, final.height.size - 1)])
