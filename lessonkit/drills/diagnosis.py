"""What the feet did in a run: in time, enough, on both sides, quiet; and which fault costs most.

The feet are compared with the rudder that a perfectly coordinated run needs for the aileron that
was flown. The fit of `demand_fit` gives lag and amount by side, `hunting` what swings beside it.
Each fault found is then taken away from the fitted rudder, one at a time, and the one that brings
it nearest to what was needed, as far as the nose answers, is the kind of the diagnosis. So the
advice that follows from the kind is the single change that gains most.
"""

from dataclasses import dataclass

import numpy as np

from lessonkit.drills.demand_fit import DemandFit, fit_demand
from lessonkit.drills.felt import answer_at, felt
from lessonkit.drills.holding import held_part
from lessonkit.drills.hunting import Oscillation, periods, strongest_oscillation, swelling_waves
from lessonkit.drills.key_presses import KEY_REST, held_keys, other_pedal, short_but_right
from lessonkit.drills.trace import KEYS, Trace
from lessonkit.drills.verdict import (
    BRIEF,
    COORDINATED,
    EARLY,
    HELD_IN,
    HUNTING,
    KINDS,
    LATE,
    LEANING,
    NO_PATTERN,
    NOTHING_NEEDED,
    ONE_SIDED,
    STILL,
    TOO_LITTLE,
    TOO_MUCH,
    TOO_SHORT,
    UNCLEAR,
    UNSTEADY,
    WRONG_SIDE,
    Diagnosis,
)

__all__ = ["KINDS", "Diagnosis", "diagnose"]

LAGS = (-0.6, 1.2)  # s, before the measured input delay is taken off
AT_THE_EDGE = 0.05  # s from an end of the range, where the best lag may lie outside of it
LAG_NEEDS_GAIN, LAG_NEEDS_CORRELATION = 0.3, 0.6
PATTERN = 0.6  # correlation below which large movements follow nothing
BY_CHANCE = 0.45  # correlation that a tremor reaches when the best lag is picked for it
LEAST_TIME = 8.0  # s of samples; less holds too few changes
LEAST_DEMAND = 0.01  # share of travel, standard deviation of what was needed
IN_TIME = 0.1  # s of lag either way that count as together
ENOUGH = (0.85, 1.15)  # gains that count as the right amount; beyond, ten points are lost
SIDES_ALIKE = 0.65  # weaker side over stronger side,
ASKED = 0.3  # where the stronger one has at least this gain
NO_RESPONSE = 0.15  # gain below which the feet do not follow at all
TREMOR = 0.07  # share of travel, standard deviation that no muscle keeps below reliably
# Of the mean square error of still feet, by movement without a pattern: about what costs 10 points.
WANDERING = 0.022
HUNTING_ABOVE_REST = 6.0
KEYS_SWING = 0.5  # of the swing's periods, to be seen in the keys themselves
HUNTING_PERIODS = 3.0  # back and forth; a press or two are no swinging
HUNTING_SHARE = 0.25  # amplitude over the standard deviation of what was needed, and at least
HUNTING_LEAST = 0.04  # this share of travel
HELD_KEY = 0.5  # share of the time
AT_THE_STOP = 0.99  # share of travel
LEAST_BIAS = 0.012  # share of travel; less constant pressure is taken as none
LEANING_LEAST = 0.03  # share of travel, and
LEANING_SHARE = 0.2  # over the standard deviation of what was needed


def diagnose(trace: Trace, needed_rudder) -> Diagnosis:
    """Say what the feet did in a run.

    Parameters
    ----------
    trace : Trace
        With `time` and `rudder`; its source and input delay count. With `bank_deg` feet that stay
        in while the bank lasts are told from late ones. [s, share of travel, deg]
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
    time, rudder, needed, bank = _even_samples(trace, needed_rudder)
    keys = trace.source == KEYS
    if time.size < 2 or time[-1] - time[0] < LEAST_TIME:
        return Diagnosis(UNCLEAR, reason=TOO_SHORT, keys=keys)
    moved = bool(np.std(rudder) > 0.01 or abs(np.mean(rudder)) > KEY_REST)
    demand = float(np.std(needed))
    if demand < LEAST_DEMAND:
        return Diagnosis(UNCLEAR, moved=moved, reason=NOTHING_NEEDED, keys=keys)
    if keys:
        rudder = held_keys(rudder)
    delay = trace.input_delay_s
    held = held_part(time, rudder, needed, bank, _lags(delay))
    fit, swing = _fit_both(time, rudder, needed, delay, keys)
    return _judged(_Run(time, rudder, needed, demand, delay, keys, moved, held), fit, swing)


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
    held: float

    def at_the_edge(self, lag):
        """Tell whether a lag lies at an end of the range looked at."""
        first, last = _lags(self.delay)
        return not first + AT_THE_EDGE < lag < last - AT_THE_EDGE


def _even_samples(trace, needed_rudder):
    """Put feet and demand on equal steps without the samples that are not numbers."""
    needed = np.asarray(needed_rudder, dtype=float)
    time, rudder = trace["time"], trace["rudder"]
    if needed.shape != time.shape:
        raise ValueError(
            f"The needed rudder has {needed.size} samples, the trace has {time.size}: "
            "give one for each."
        )
    bank = np.nan_to_num(trace["bank_deg"]) if "bank_deg" in trace else np.zeros(time.size)
    good = np.isfinite(time) & np.isfinite(rudder) & np.isfinite(needed)
    time, *columns = (column[good] for column in (time, rudder, needed, bank))
    if time.size < 2:
        return time, *columns
    even = np.arange(time[0], time[-1] + 0.5 * trace.step, trace.step)
    return even, *(np.interp(even, time, column) for column in columns)


def _lags(delay):
    """Range of lags looked at, with the measured delay."""
    return LAGS[0] + min(delay, 0.0), LAGS[1] + max(delay, 0.0)


def _free_of_stops(rudder, keys):
    """Find the samples off the pedals' stops, if they are most; keys know only stops."""
    free = np.abs(rudder) < AT_THE_STOP
    return free if not keys and np.mean(free) > 0.5 else np.ones_like(free)


def _fit_both(time, rudder, needed, delay, keys):
    """Fit the demand, then the swing in what is left, then the demand beside the swing."""
    used = _free_of_stops(rudder, keys)
    lags, step = _lags(delay), float(time[1] - time[0])
    fit = fit_demand(time, rudder, needed, lags, used=used)
    constant = abs(fit.bias) > LEAST_BIAS
    if not constant:
        fit = fit_demand(time, rudder, needed, lags, None, used, constant)
    swing = strongest_oscillation(fit.residual, step)
    pressed = periods(rudder, float(np.std(rudder))) / (time[-1] - time[0])
    if keys and pressed < KEYS_SWING * swing.hz:
        return fit, None  # what is left of single presses can look like a swing
    if not _is_hunting(swing, float(np.std(needed))):
        return fit, None
    for _ in range(2):
        fit = fit_demand(time, rudder, needed, lags, swelling_waves(time, swing.hz), used, constant)
        swing = strongest_oscillation(fit.residual, step)
    return fit, swing if _is_hunting(swing, float(np.std(needed))) else None


def _is_hunting(swing: Oscillation, demand: float) -> bool:
    return (
        swing.above_rest > HUNTING_ABOVE_REST
        and swing.periods >= HUNTING_PERIODS
        and swing.amplitude > HUNTING_LEAST
        and swing.amplitude > HUNTING_SHARE * demand
    )


def _judged(run: _Run, fit: DemandFit, swing: Oscillation | None) -> Diagnosis:
    lag = fit.lag - run.delay
    defined = fit.gain > LAG_NEEDS_GAIN and fit.correlation > LAG_NEEDS_CORRELATION
    defined = defined and not run.held and not run.at_the_edge(fit.lag)
    unit = fit.gain if run.keys and fit.gain > NO_RESPONSE else 1.0
    left, right = fit.gain_left / unit, fit.gain_right / unit
    costs, error = _costs(run, fit, swing, unit, defined)
    kind, reason = _kind(run, fit, swing, (left, right), costs)
    hidden = run.keys or kind == HELD_IN
    return Diagnosis(
        kind=kind,
        lag_s=lag if defined else None,
        gain_left=_number(left, hidden),
        gain_right=_number(right, hidden),
        gain=_number(fit.gain, hidden),
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
        other_pedal=_other_pedal(run, fit.lag if defined else run.delay),
        held=run.held,
    )


def _other_pedal(run, lag):
    return other_pedal(run.time, run.rudder, run.needed, lag) if run.keys else (False, False)


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
    let_go = run.keys and min(abs(fit.bias), abs(np.mean(run.rudder))) < HELD_KEY
    steady = 0.0 if let_go else fit.bias**2 / scale
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
    gains = [gain / unit for gain in _sides(fit.gain_left, fit.gain_right)]
    off = min(gains) < ENOUGH[0] or max(gains) > ENOUGH[1]
    # A key knows no amount: only one foot that does less than the other can be told.
    if off and (not run.keys or _one_sided(fit.gain_left, fit.gain_right)):
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
    if run.held:
        return HELD_IN, ""
    if run.keys:
        without_pattern = _keys_without_pattern(run, fit, swing, costs)
    else:
        without_pattern = _feet_without_pattern(run, fit, swing, costs)
    if without_pattern:
        return without_pattern
    if fit.gain < -NO_RESPONSE and fit.correlation < -LAG_NEEDS_CORRELATION:
        return WRONG_SIDE, ""
    if abs(fit.correlation) > LAG_NEEDS_CORRELATION and run.at_the_edge(fit.lag):
        # Whatever these feet follow, it is not what was needed a moment ago.
        return (HUNTING, "") if swing is not None else (UNCLEAR, NO_PATTERN)
    if not costs:
        return (UNSTEADY if _wanders(run, fit) else COORDINATED), ""
    worst = max(costs, key=costs.get)
    if worst == "timing":
        return (LATE if fit.lag > run.delay else EARLY), ""
    if worst == "amount":
        if _one_sided(*gains):
            if abs(fit.correlation) > PATTERN:
                return ONE_SIDED, ""
            return (HUNTING, "") if swing is not None else (UNCLEAR, NO_PATTERN)
        return (TOO_LITTLE if fit.gain < 1.0 else TOO_MUCH), ""
    return worst, ""


def _wanders(run, fit):
    """Tell whether movement without a pattern costs about ten points; keys do not tremble."""
    step = float(run.time[1] - run.time[0])
    wander = np.mean(felt(fit.residual, step) ** 2) / np.mean(felt(run.needed, step) ** 2)
    return not run.keys and wander > WANDERING


def _feet_without_pattern(run, fit, swing, costs):
    """Kind and reason of feet on pedals that do not follow what was needed, or None."""
    rest = float(np.std(fit.residual))
    quiet = rest < TREMOR and swing is None
    strongest = max(abs(gain) for gain in _sides(fit.gain_left, fit.gain_right))
    responds = strongest > max(NO_RESPONSE, 3.0 * fit.gain_error)
    responds = responds and abs(fit.correlation) > BY_CHANCE
    if not responds and quiet:
        # Feet that do not follow cost as much as the whole demand; a heavy rest may cost more.
        return (LEANING if costs.get("leaning", 0.0) > 1.0 else STILL), ""
    if swing is None and abs(fit.correlation) < PATTERN and rest > 0.5 * run.demand:
        if not quiet:
            return UNCLEAR, NO_PATTERN
    return None


def _keys_without_pattern(run, fit, swing, costs):
    """Kind and reason of keys that were not held with what was needed, or None."""
    if not run.rudder.any():
        return STILL, ""
    if abs(fit.correlation) > PATTERN:
        return None
    if short_but_right(run.time, run.rudder, run.needed, run.delay):
        return BRIEF, ""
    if "leaning" in costs:
        return LEANING, ""
    return (HUNTING, "") if swing is not None else (UNCLEAR, NO_PATTERN)
