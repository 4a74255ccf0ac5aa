"""Points of a run, from how far the nose is off the path: our own scale.

What counts is the difference of the sideslip from that of the coordinated run of the same
airplane and the same aileron, so the swing of the heading that even perfect feet leave is not
held against anybody. It is measured in units of the feet-still run.
"""

from dataclasses import dataclass

import numpy as np

STILL_POINTS = 25.0  # what feet that do nothing get
POWER = 1.5  # above 1, so that the tremor of a good foot costs little
LEAST_SIDESLIP_DEG = 0.2  # of the feet-still run; with less there was nothing to coordinate


@dataclass(frozen=True)
class Score:
    """Points of a run and what they are made of.

    Parameters
    ----------
    points : float or None
        100 for the coordinated run, 25 for feet still; None where nothing was to be
        coordinated or nothing was noted. [-]
    error : float
        Root mean square of the sideslip less that of the coordinated run, over the same of the
        feet-still run. [-]
    sideslip_deg : float
        Root mean square of that difference. [deg]
    still_deg : float
        The same of the feet-still run. [deg]
    """

    points: float | None
    error: float
    sideslip_deg: float
    still_deg: float


def points_of(error):
    """Return the points of an error in units of the feet-still run.

    Parameters
    ----------
    error : float or array
        0 for the coordinated run, 1 for feet still. [-]

    Returns
    -------
    float or array
        Falls strictly, from 100 towards 0. [-]

    Notes
    -----
    points = 100 x (25/100)^(error^1.5): half the error of still feet gives 61 points, the same
    error 25, twice the error 2. Our own scale; no standard knows one.

    Examples
    --------
    >>> points_of(np.array([0.0, 0.5, 1.0, 2.0])).round(1).tolist()
    [100.0, 61.3, 25.0, 2.0]
    """
    return 100.0 * (STILL_POINTS / 100.0) ** (np.asarray(error, dtype=float) ** POWER)


def score(flown, coordinated, feet_still) -> Score:
    """Return the points of a run.

    Parameters
    ----------
    flown, coordinated, feet_still : Trace, LateralRun or mapping
        Each with `sideslip_deg`, sample by sample of the same aileron: as flown, with perfectly
        coordinated feet, with the feet still. [deg]

    Returns
    -------
    Score
        Samples that are not numbers are left out. [-]

    Raises
    ------
    ValueError
        If the three are not of one length.
    """
    ours, best, none = (_sideslip(run) for run in (flown, coordinated, feet_still))
    if not ours.shape == best.shape == none.shape:
        raise ValueError(
            f"The runs to be compared have {ours.size}, {best.size} and {none.size} samples: "
            "give one for each."
        )
    good = np.isfinite(ours) & np.isfinite(best) & np.isfinite(none)
    if not good.any():
        return Score(None, np.nan, np.nan, np.nan)
    off = _rms(ours[good] - best[good])
    still = _rms(none[good] - best[good])
    if still < LEAST_SIDESLIP_DEG:
        return Score(None, np.nan, off, still)
    return Score(float(points_of(off / still)), off / still, off, still)


def _sideslip(run):
    if hasattr(run, "sideslip_deg"):
        return np.asarray(run.sideslip_deg, dtype=float)
    return np.asarray(run["sideslip_deg"], dtype=float)


def _rms(values):
    return float(np.sqrt(np.mean(values**2)))
