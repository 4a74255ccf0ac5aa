"""How far the feet follow what is needed: lag and amount by side, by least squares.

The rudder is taken as gain x needed(t - lag) + constant, with one gain for the demand to the
right and one for that to the left. For each lag of a fine grid the gains and the constant are the
least-squares ones (a cross-correlation with two templates at once); the best lag is refined by a
parabola through its neighbours.
"""

from dataclasses import dataclass

import numpy as np

LAG_STEP = 0.04  # s
SIDE_SHARE = 0.1  # of the demand's energy: with less, a side was not asked for


@dataclass(frozen=True)
class DemandFit:
    """The best fit and what is left over.

    Parameters
    ----------
    lag : float
        Of the rudder behind the demand; negative when it comes before. [s]
    gain_left, gain_right : float
        Rudder over needed rudder; NaN for a side that was not asked for. [-]
    gain : float
        Of both sides together. [-]
    bias : float
        Constant part, + right. [share of travel]
    correlation : float
        Between rudder and fit, negative when the feet go the wrong way. [-]
    residual : array
        Rudder less fit; an oscillation given to the fit stays in it. [share of travel]
    gain_error : float
        Standard error of the gain if the residual has 4 independent values a second. [-]
    """

    lag: float
    gain_left: float
    gain_right: float
    gain: float
    bias: float
    correlation: float
    residual: np.ndarray
    gain_error: float

    @property
    def both(self):
        """Gain to the left and to the right; a side hardly asked for has that of the other."""
        left, right = self.gain_left, self.gain_right
        return (right if np.isnan(left) else left), (left if np.isnan(right) else right)

    def model(self, time, needed, lag=None, left=None, right=None):
        """Return the fitted rudder without its constant, at other lag or gains if given."""
        shifted = np.interp(time - (self.lag if lag is None else lag), time, needed)
        left = self.both[0] if left is None else left
        right = self.both[1] if right is None else right
        return np.where(shifted > 0.0, right, left) * shifted


def sides_asked(needed) -> tuple[bool, bool]:
    """Tell whether the demand goes to the left and to the right by more than a trifle."""
    energy = np.sum(needed**2)
    left = np.sum(needed[needed < 0.0] ** 2)
    return bool(left > SIDE_SHARE * energy), bool(energy - left > SIDE_SHARE * energy)


def fit_demand(time, rudder, needed, lag_range, waves=None, used=None, constant=True) -> DemandFit:
    """Return the best lag, gains and constant.

    Parameters
    ----------
    time : array
        At equal steps. [s]
    rudder, needed : array
        What the feet did and what was needed, + right. [share of travel]
    lag_range : pair of float
        Least and greatest lag tried. [s]
    waves : array, optional
        Columns fitted beside the demand, such as an oscillation, shape (samples, columns). [-]
    used : array of bool, optional
        Samples that count; a pedal at its stop says nothing about the amount. All without it.
    constant : bool
        Fit a constant pressure too. It shares what the gains of the two sides explain, so they
        are known better without it where there is none.

    Returns
    -------
    DemandFit
        Of the least sum of squares. [s, -, share of travel]
    """
    asked = sides_asked(needed)
    free = np.ones((time.size, int(constant)))
    if waves is not None:
        free = np.hstack((free, waves))
    weight = np.ones(time.size) if used is None else used.astype(float)
    lags = np.arange(lag_range[0], lag_range[1] + 0.5 * LAG_STEP, LAG_STEP)
    # The demand is slow: every second sample tells the lag as well.
    few = slice(None, None, 2)
    base, _ = np.linalg.qr((free * weight[:, None])[few])
    clean = (rudder * weight)[few]
    clean = clean - base @ (base.T @ clean)
    sums = _left_over(time[few], clean, needed, time, base, asked, lags, weight[few])
    lag = _refined(lags, sums)
    return _final(time, rudder, needed, free, asked, lag, weight, constant)


def _columns(shifted, asked):
    """Demand to the left and to the right; in one piece where one side was hardly asked for."""
    return [np.minimum(shifted, 0.0), np.maximum(shifted, 0.0)] if all(asked) else [shifted]


def _left_over(time, clean, needed, needed_time, base, asked, lags, weight):
    """Sum of squares that each lag leaves, with the best gains."""
    shifted = np.interp(time[None, :] - lags[:, None], needed_time, needed)
    columns = np.array(_columns(shifted * weight, asked))
    with_rudder = columns @ clean
    shared = columns @ base  # what the constant and the waves could explain of the demand
    products = np.einsum("ilt,jlt->lij", columns, columns)
    products -= np.einsum("ilk,jlk->lij", shared, shared)
    # A ridge far below any real demand keeps a column without energy solvable.
    ridge = 1e-9 * (1e-12 + np.trace(products, axis1=1, axis2=2)).max()
    products = products + ridge * np.eye(len(columns))
    gains = np.linalg.solve(products, with_rudder.T[..., None])[..., 0]
    return clean @ clean - np.sum(gains * with_rudder.T, axis=1)


def _refined(lags, sums):
    """Least of a parabola through the best lag and its neighbours."""
    best = int(np.argmin(sums))
    if not 0 < best < lags.size - 1:
        return float(lags[best])
    before, here, after = sums[best - 1 : best + 2]
    bend = before - 2.0 * here + after
    return float(lags[best] + (0.5 * (before - after) / bend * LAG_STEP if bend > 0.0 else 0.0))


def _final(time, rudder, needed, free, asked, lag, weight, constant):
    """Fit once more at the lag found, and say how well."""
    shifted = np.interp(time - lag, time, needed)
    columns = np.column_stack([*_columns(shifted, asked), free])
    solved = np.linalg.lstsq(columns * weight[:, None], rudder * weight, rcond=None)[0]
    demand = 2 if all(asked) else 1
    follows = columns[:, :demand] @ solved[:demand]
    bias = float(solved[demand]) if constant else 0.0
    residual = (rudder - follows - bias) * weight
    gains = iter(solved[:demand])
    left, right = (float(next(gains)) if wanted else np.nan for wanted in asked)
    moving = shifted - shifted.mean()
    energy = float(moving @ moving)
    gain = float(moving @ (follows - follows.mean())) / energy if energy > 0.0 else 0.0
    rest = (rudder - columns @ solved) * weight
    spread = np.std(rudder)
    correlation = np.std(follows) / np.hypot(np.std(follows), np.std(residual)) if spread else 0.0
    independent = max(4.0 * (time[-1] - time[0]), 1.0)
    error = np.std(rest) / max(np.std(shifted), 1e-9) / np.sqrt(independent)
    return DemandFit(
        lag=lag,
        gain_left=left,
        gain_right=right,
        gain=gain,
        bias=bias,
        correlation=float(np.copysign(correlation, gain)),
        residual=residual,
        gain_error=float(error),
    )
