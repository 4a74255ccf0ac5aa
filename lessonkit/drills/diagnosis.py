"""What the feet did in a run: in time, enough, on both sides, quiet; and which fault costs most.

The feet are compared with the rudder that a perfectly coordinated run needs for the aileron that
was flown. The fit of `demand_fit` gives lag and amount by side, `hunting` what swings beside it.
Each fault found is then taken away from the fitted rudder, one at a time, and the one that brings
it nearest to what was needed, as far as the nose answers, is the kind of the diagnosis. So the
advice that follows from the kind is the single change that gains most.
"""

from dataclasses import dataclass, field

import numpy as np

from lessonkit.drills.demand_fit import DemandFit, fit_demand
from lessonkit.drills.felt import answer_at, felt
from lessonkit.drills.hunting import Oscillation, strongest_oscillation, swelling_waves
from lessonkit.drills.trace import KEYS, Trace

COORDINATED, STILL, UNCLEAR = "coordinated", "still", "unclear"
LATE, EARLY = "late", "early"
TOO_LITTLE, TOO_MUCH, ONE_SIDED, WRONG_SIDE = "too_little", "too_much", "one_sided", "wrong_side"
HUNTING, LEANING, UNSTEADY = "hunting", "leaning", "unsteady"
KINDS = (
    COORDINATED,
    STILL,
    LATE,
    EARLY,
    TOO_LITTLE,
    TOO_MUCH,
    ONE_SIDED,
    HUNTING,
    WRONG_SIDE,
    LEANING,
    UNSTEADY,
    UNCLEAR,
)
TOO_SHORT, NOTHING_NEEDED, NO_PATTERN = "too_short", "nothing_needed", "no_pattern"

LAGS = (-0.6, 1.2)  # s, before the measured input delay is taken off
LAG_NEEDS_GAIN, LAG_NEEDS_CORRELATION = 0.3, 0.6
PATTERN = 0.6  # correlation below which large movements follow nothing
BY_CHANCE = 0.45  # correlation that a tremor reaches when the best lag is picked for it
LEAST_TIME = 8.0  # s of samples; less holds too few changes
LEAST_DEMAND = 0.01  # share of travel, standard deviation of what was needed
IN_TIME = 0.1  # s of lag either way that count as together
ENOUGH = (0.8, 1.25)  # gains that count as the right amount
SIDES_ALIKE = 0.65  # weaker side over stronger side,
ASKED = 0.3  # where the stronger one has at least this gain
NO_RESPONSE = 0.15  # gain below which the feet do not follow at all
TREMOR = 0.07  # share of travel, standard deviation that no muscle keeps below reliably
# Of the mean square error of still feet, by movement without a pattern: about what costs 10 points.
WANDERING = 0.022
HUNTING_ABOVE_REST = 6.0
HUNTING_SHARE = 0.25  # amplitude over the standard deviation of what was needed, and at least
HUNTING_LEAST = 0.04  # this share of travel
KEY_REST = 0.02  # share of travel, below which no key is held
HELD_KEY = 0.5  # share of the time
AT_THE_STOP = 0.99  # share of travel
LEAST_BIAS = 0.012  # share of travel; less constant pressure is taken as none
LEANING_LEAST = 0.03  # share of travel, and
LEANING_SHARE = 0.2  # over the standard deviation of what was needed


@dataclass(frozen=True)
class Diagnosis:
    """What the feet did; numbers are None where they are not defined.

    Parameters
    ----------
    kind : str
        One of `KINDS`. [-]
    lag_s : float or None
        Of the feet behind what was needed, without the measured input delay; negative when they
        come before. Only where gain > 0.3 and correlation > 0.6. [s]
    gain_left, gain_right, gain : float or None
        Rudder used over rudder needed; None for keys, which know no amount, and for a side that
        was not asked for. [-]
    correlation : float
        Between the feet and their fit to the demand. [-]
    hunting_hz, hunting_share : float or None
        Frequency and amplitude of a swing that the demand does not explain. [Hz, share of travel]
    bias : float
        Constant pressure, + right. [share of travel]
    wandering : float
        Standard deviation of what neither demand nor a swing explains. [share of travel]
    moved : bool
        The feet did something.
    weak_side : str
        "left" or "right": the side whose amount is farther off; "" where both are alike. [-]
    costs : mapping of str to float
        For each fault found, how much of the mean square error it accounts for. [-]
    error : float
        Mean square of fitted rudder less needed, as the nose answers it (`felt`), over that of
        the needed rudder. [-]
    reason : str
        Why a diagnosis is unclear: "too_short", "nothing_needed", "no_pattern". [-]
    keys : bool
        Flown with keys: on or off, so timing and side only.
    side_gains : pair of float
        Gain to the left and to the right; for keys against their mean. NaN where not asked. [-]
    """

    kind: str
    lag_s: float | None = None
    gain_left: float | None = None
    gain_right: float | None = None
    gain: float | None = None
    correlation: float = 0.0
    hunting_hz: float | None = None
    hunting_share: float | None = None
    bias: float = 0.0
    wandering: float = 0.0
    moved: bool = False
    weak_side: str = ""
    costs: dict[str, float] = field(default_factory=dict)
    error: float = np.nan
    reason: str = ""
    keys: bool = False
    side_gains: tuple[float, float] = (np.nan, np.nan)

    @property
    def name_key(self) -> str:
        """Key of the kind's name in the words."""
        return f"drill_feedback.kind.{self.kind}"


def diagnose(trace: Trace, needed_rudder) -> Diagnosis:
    """Say what the feet did in a run.

    Parameters
    ----------
    trace : Trace
        With `time` and `rudder`; its source and input delay count. [s, share of travel]
    needed_rudder : array
        Rudder of the coordinated run for the aileron that was flown, sample by sample.
        [share of travel]

    Returns
    -------
    Diagnosis
        Unclear, with a reason, where nothing can be said.

    Raises
    ------
    ValueError
        If the needed rudder is not as long as the trace.
    """
    time, rudder, needed = _even_samples(trace, needed_rudder)
    keys = trace.source == KEYS
    if time.size < 2 or time[-1] - time[0] < LEAST_TIME:
        return Diagnosis(UNCLEAR, reason=TOO_SHORT, keys=keys)
    moved = bool(np.std(rudder) > 0.01 or abs(np.mean(rudder)) > KEY_REST)
    demand = float(np.std(needed))
    if demand < LEAST_DEMAND:
        return Diagnosis(UNCLEAR, moved=moved, reason=NOTHING_NEEDED, keys=keys)
    if keys:
        rudder = _pressed(rudder)
    delay = trace.input_delay_s
    fit, swing = _fit_both(time, rudder, needed, delay, _free_of_stops(rudder, keys))
    return _judged(_Run(time, rudder, needed, demand, delay, keys, moved), fit, swing)


@dataclass(frozen=True)
class _Run:
    """What a run holds, on even samples."""

    time: np.ndarray
    rudder: np.ndarray
    needed: np.ndarray
    demand: float
    delay: float
    keys: bool
    moved: bool


def _even_samples(trace, needed_rudder):
    """Put feet and demand on equal steps without the samples that are not numbers."""
    needed = np.asarray(needed_rudder, dtype=float)
    time, rudder = trace["time"], trace["rudder"]
    if needed.shape != time.shape:
        raise ValueError(
            f"The needed rudder has {needed.size} samples, the trace has {time.size}: "
            "give one for each."
        )
    good = np.isfinite(time) & np.isfinite(rudder) & np.isfinite(needed)
    time, rudder, needed = time[good], rudder[good], needed[good]
    if time.size < 2:
        return time, rudder, needed
    even = np.arange(time[0], time[-1] + 0.5 * trace.step, trace.step)
    return even, np.interp(even, time, rudder), np.interp(even, time, needed)


def _pressed(rudder):
    """Tell from a control that a key moves when the key is held: 1 right, -1 left, 0 let go.

    The control takes its time to its place and back; that is not the learner's lag.
    """
    way = np.sign(rudder) * (np.abs(rudder) > KEY_REST)
    coming_back = np.diff(rudder, prepend=rudder[0]) * way < 0.0
    return np.where(coming_back, 0.0, way)


def _free_of_stops(rudder, keys):
    """Find the samples off the pedals' stops, if they are most; keys know only stops."""
    free = np.abs(rudder) < AT_THE_STOP
    return free if not keys and np.mean(free) > 0.5 else np.ones_like(free)


def _fit_both(time, rudder, needed, delay, used):
    """Fit the demand, then the swing in what is left, then the demand beside the swing."""
    lags = LAGS[0] + min(delay, 0.0), LAGS[1] + max(delay, 0.0)
    step = float(time[1] - time[0])
    fit = fit_demand(time, rudder, needed, lags, used=used)
    constant = abs(fit.bias) > LEAST_BIAS
    if not constant:
        fit = fit_demand(time, rudder, needed, lags, None, used, constant)
    swing = strongest_oscillation(fit.residual, step)
    if not _is_hunting(swing, float(np.std(needed))):
        return fit, None
    for _ in range(2):
        fit = fit_demand(time, rudder, needed, lags, swelling_waves(time, swing.hz), used, constant)
        swing = strongest_oscillation(fit.residual, step)
    return fit, swing if _is_hunting(swing, float(np.std(needed))) else None


def _is_hunting(swing: Oscillation, demand: float) -> bool:
    return (
        swing.above_rest > HUNTING_ABOVE_REST
        and swing.amplitude > HUNTING_LEAST
        and swing.amplitude > HUNTING_SHARE * demand
    )


def _judged(run: _Run, fit: DemandFit, swing: Oscillation | None) -> Diagnosis:
    lag = fit.lag - run.delay
    defined = fit.gain > LAG_NEEDS_GAIN and fit.correlation > LAG_NEEDS_CORRELATION
    unit = fit.gain if run.keys and fit.gain > NO_RESPONSE else 1.0
    left, right = fit.gain_left / unit, fit.gain_right / unit
    costs, error = _costs(run, fit, swing, unit, defined)
    kind, reason = _kind(run, fit, swing, (left, right), costs)
    return Diagnosis(
        kind=kind,
        lag_s=lag if defined else None,
        gain_left=_number(left, run.keys),
        gain_right=_number(right, run.keys),
        gain=_number(fit.gain, run.keys),
        correlation=fit.correlation,
        hunting_hz=None if swing is None else swing.hz,
        hunting_share=None if swing is None else swing.amplitude,
        bias=fit.bias,
        wandering=float(np.std(fit.residual)),
        moved=run.moved,
        weak_side=_weak_side(left, right),
        costs=costs,
        error=error,
        reason=reason,
        keys=run.keys,
        side_gains=(left, right),
    )


def _number(value, hidden):
    return None if hidden or not np.isfinite(value) else float(value)


def _sides(left, right):
    """Gains of the sides that were asked for."""
    return [gain for gain in (left, right) if np.isfinite(gain)]


def _one_sided(left, right):
    """Tell whether one foot does much less than the other."""
    gains = _sides(left, right)
    return len(gains) == 2 and max(gains) > ASKED and min(gains) < SIDES_ALIKE * max(gains)


def _weak_side(left, right):
    """Name the side whose amount is farther from what is needed, where the sides differ."""
    if not _one_sided(left, right):
        return ""
    return "left" if abs(np.log(max(left, 0.02))) > abs(np.log(max(right, 0.02))) else "right"


def _costs(run, fit, swing, unit, lag_defined):
    """Mean square error that goes when one fault goes, for each fault; and the error itself."""
    left, right = (gain / unit for gain in fit.both)
    lag, step = fit.lag - run.delay, float(run.time[1] - run.time[0])
    scale = float(np.mean(felt(run.needed, step) ** 2))
    # A key that is let go leaves nothing; only one held most of the time is like a resting foot.
    steady = 0.0 if run.keys and abs(fit.bias) < HELD_KEY else fit.bias**2 / scale
    swings = 0.0
    if swing is not None:
        swings = 0.5 * (swing.amplitude / unit * answer_at(swing.hz)) ** 2 / scale

    def of(lag, left, right):
        feet = fit.model(run.time, run.needed, lag, left, right)
        return float(np.mean(felt(feet - run.needed, step) ** 2)) / scale

    now = of(lag, left, right)
    costs = {}
    if lag_defined and abs(lag) > IN_TIME:
        costs["timing"] = now - of(0.0, left, right)
    gains = _sides(fit.gain_left / unit, fit.gain_right / unit)
    if min(gains) < ENOUGH[0] or max(gains) > ENOUGH[1]:
        weak = _weak_side(fit.gain_left / unit, fit.gain_right / unit)
        better = (1.0 if weak != "right" else left, 1.0 if weak != "left" else right)
        costs["amount"] = now - of(lag if lag_defined else 0.0, *better)
    if swing is not None:
        costs["hunting"] = swings
    if steady and abs(fit.bias) > max(LEANING_LEAST, LEANING_SHARE * run.demand):
        costs["leaning"] = steady
    return costs, now + steady + swings


def _kind(run, fit, swing, gains, costs):
    """Choose the kind: first what needs no weighing, then the fault that costs most."""
    rest = float(np.std(fit.residual))
    step = float(run.time[1] - run.time[0])
    wander = np.mean(felt(fit.residual, step) ** 2) / np.mean(felt(run.needed, step) ** 2)
    wander = 0.0 if run.keys else float(wander)
    quiet = rest < TREMOR and swing is None
    strongest = max(abs(gain) for gain in _sides(fit.gain_left, fit.gain_right))
    responds = strongest > max(NO_RESPONSE, 3.0 * fit.gain_error)
    responds = responds and abs(fit.correlation) > BY_CHANCE
    if not responds and quiet:
        # Feet that do not follow cost as much as the whole demand; a heavy rest may cost more.
        return (LEANING if costs.get("leaning", 0.0) > 1.0 else STILL), ""
    if fit.gain < -NO_RESPONSE and fit.correlation < -LAG_NEEDS_CORRELATION:
        return WRONG_SIDE, ""
    if swing is None and abs(fit.correlation) < PATTERN and rest > 0.5 * run.demand:
        if not quiet:
            return UNCLEAR, NO_PATTERN
    if not costs:
        return (UNSTEADY if wander > WANDERING else COORDINATED), ""
    worst = max(costs, key=costs.get)
    if worst == "timing":
        return (LATE if fit.lag > run.delay else EARLY), ""
    if worst == "amount":
        if _one_sided(*gains):
            return ONE_SIDED, ""
        return (TOO_LITTLE if fit.gain < 1.0 else TOO_MUCH), ""
    return worst, ""
