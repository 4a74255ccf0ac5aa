"""Feet made of known faults, to find out whether the diagnosis sees them and the advice helps."""

from dataclasses import dataclass, replace

import numpy as np

TREMOR_HZ = 2.0  # above which the tremor of a leg on a pedal fades
COMPLIANCE = 0.7  # share of an advised change that is made
SPREAD = 0.1  # of that share, from one run to the next
FIRST_PRESS = 0.6  # share of the rudder needed of a foot that begins to move


@dataclass(frozen=True)
class SyntheticPilot:
    """Feet that follow what is needed with known faults.

    Parameters
    ----------
    late_s : float
        Behind the demand, negative before it. [s]
    gain : float
        Rudder used over rudder needed, on both sides. [-]
    left_gain, right_gain : float
        Times `gain`, by side. [-]
    hunting_hz, hunting_share : float
        Frequency and amplitude of a swing back and forth. [Hz, share of travel]
    noise : float
        Standard deviation of the tremor. [share of travel]
    seed : int
        Of everything that is drawn; each pilot has its own. [-]
    bias : float
        Constant pressure, + right. [share of travel]
    timing_spread_s : float
        Standard deviation of a slow wandering of the lag. [s]
    held_share : float
        Rudder held at the greatest bank over the greatest rudder needed: feet that stay in as long
        as the bank lasts. [-]
    run : int
        Counts the runs: each has a tremor of its own. [-]
    """

    late_s: float = 0.0
    gain: float = 1.0
    left_gain: float = 1.0
    right_gain: float = 1.0
    hunting_hz: float = 0.0
    hunting_share: float = 0.0
    noise: float = 0.03
    seed: int = 0
    bias: float = 0.0
    timing_spread_s: float = 0.0
    held_share: float = 0.0
    run: int = 0

    def rudder(self, needed, step=0.02, bank_deg=None):
        """Return what these feet do for a demand.

        Parameters
        ----------
        needed : array
            Rudder of the coordinated run. [share of travel]
        step : float
            Between two samples. [s]
        bank_deg : array, optional
            Of the run, for feet that are held in. [deg]

        Returns
        -------
        array
            Within the travel. [share of travel]
        """
        needed = np.asarray(needed, dtype=float)
        draw = np.random.default_rng((self.seed, self.run))
        time = np.arange(needed.size) * step
        lag = self.late_s
        if self.timing_spread_s:
            lag = lag + self.timing_spread_s * _smooth_noise(draw, needed.size, step, 0.3)
        shifted = np.interp(time - lag, time, needed)
        amount = self.gain * np.where(shifted > 0.0, self.right_gain, self.left_gain)
        feet = amount * shifted + self.bias
        if self.held_share and bank_deg is not None:
            held = np.interp(time - lag, time, bank_deg) / np.abs(bank_deg).max()
            feet = feet + self.held_share * np.abs(needed).max() * held
        feet = feet + self.noise * _smooth_noise(draw, needed.size, step, TREMOR_HZ)
        return np.clip(feet + self._swing(draw, time, step), -1.0, 1.0)

    def _swing(self, draw, time, step):
        """Swing at a frequency that wanders a little; the strength swells and fades."""
        if not self.hunting_share:
            return 0.0
        hz = self.hunting_hz * (1.0 + 0.04 * _smooth_noise(draw, time.size, step, 0.3))
        strength = np.clip(1.0 + 0.2 * _smooth_noise(draw, time.size, step, 0.2), 0.0, None)
        phase = draw.uniform(0.0, 2.0 * np.pi) + 2.0 * np.pi * np.cumsum(hz) * step
        return self.hunting_share * strength * np.sin(phase)

    def following(self, advice) -> "SyntheticPilot":
        """Return the pilot of the next run, who tries what the advice says and nothing else.

        Parameters
        ----------
        advice : Advice
            Only its `change` is read: what the sentence tells, rounded as it is said. [-]

        Returns
        -------
        SyntheticPilot
            With about 70 % of the change made, drawn anew each time.
        """
        draw = np.random.default_rng((self.seed, self.run, 7))
        done = float(np.clip(draw.normal(COMPLIANCE, SPREAD), 0.3, 1.0))
        change = advice.change
        after = {
            "run": self.run + 1,
            "late_s": self.late_s - done * change.lag_s,
            "left_gain": self.left_gain * change.left**done,
            "right_gain": self.right_gain * change.right**done,
            "bias": self.bias - done * change.bias,
            "noise": self.noise * (1.0 - done * change.steadier),
            "hunting_share": self.hunting_share * (1.0 - done * change.quieter),
        }
        if change.released:
            # The foot presses as before, and comes off earlier: what was held goes with the stick.
            off = done * change.released * self.held_share
            after |= {"held_share": self.held_share - off, "gain": self.gain + off}
        if change.other_side:
            after["gain"] = abs(self.gain)
        for side in change.begin:
            # A foot that begins to move does too little at first; never less than before.
            before = self.gain * getattr(self, f"{side}_gain")
            after[f"{side}_gain"] = max(FIRST_PRESS, before) / (self.gain or 1.0)
        if change.begin and not self.gain:
            after["gain"] = 1.0
        return replace(self, **after)


def _smooth_noise(draw, count, step, hz):
    """Noise of standard deviation 1, low-passed twice at a frequency."""
    keep = np.exp(-2.0 * np.pi * hz * step)
    lead = int(4.0 / (2.0 * np.pi * hz * step)) + 1
    values = draw.standard_normal(count + lead)
    for _ in range(2):
        values = _low_passed(values, keep)
    # Each pass of a first-order filter over white noise has a known strength; the second sees the
    # first one's memory, so the product is put right by the closed form of two equal poles.
    variance = (1.0 - keep) ** 4 * (1.0 + keep**2) / (1.0 - keep**2) ** 3
    return values[lead:] / np.sqrt(variance)


def _low_passed(values, keep):
    """First-order low-pass by convolution with its impulse response."""
    length = min(values.size, int(12.0 / max(-np.log(keep), 1e-9)) + 1)
    response = (1.0 - keep) * keep ** np.arange(length)
    return np.convolve(values, response)[: values.size]
