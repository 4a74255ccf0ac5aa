"""Swinging the pedals back and forth: a narrow band that the demand does not explain."""

from dataclasses import dataclass

import numpy as np

BAND = (0.27, 1.15)  # Hz: 0.3 to 1 Hz and a little beside
LOOKED_AT = (0.15, 2.0)  # Hz, for how strong the rest of the residual is
WIDTH = 0.10  # Hz on either side of the peak that belong to it
PADDING = 4  # times the samples, for a fine grid of frequencies
SLOWER = 0.1  # Hz; stronger movement from here to the band is not swinging but pressing
TURNED = 0.4  # of the amplitude, to either side, before the way has changed
BENDS = 2  # the oscillation may swell and fade like a polynomial of this degree


@dataclass(frozen=True)
class Oscillation:
    """The strongest narrow band of a residual.

    Parameters
    ----------
    hz : float
        Its frequency. [Hz]
    amplitude : float
        Of a steady oscillation of the same power. [share of travel]
    above_rest : float
        Mean power density within the band over that of the rest. [-]
    periods : float
        How often the residual really goes to one side and back; 0 where slower movement is
        stronger than the band. [-]
    """

    hz: float
    amplitude: float
    above_rest: float
    periods: float = 0.0


def strongest_oscillation(residual, step) -> Oscillation:
    """Return the strongest narrow band between 0.27 and 1.15 Hz.

    Parameters
    ----------
    residual : array
        What the demand does not explain. [share of travel]
    step : float
        Between two samples. [s]

    Returns
    -------
    Oscillation
        Of no amplitude where the residual is too short to hold two swings. [Hz, share of travel]
    """
    count = residual.size
    if count * step < 2.0 / BAND[0]:
        return Oscillation(BAND[0], 0.0, 0.0)
    window = np.hanning(count)
    swing = (residual - residual.mean()) * window
    padded = PADDING * count
    power = np.abs(np.fft.rfft(swing, padded)) ** 2
    hz = np.fft.rfftfreq(padded, step)
    # Parseval: the sum over these bins, counted twice, is the residual's mean square.
    power *= 2.0 / (padded * np.sum(window**2))
    inside = (hz >= BAND[0]) & (hz <= BAND[1])
    peak = hz[inside][np.argmax(power[inside])]
    near = np.abs(hz - peak) <= WIDTH
    looked = (hz >= LOOKED_AT[0]) & (hz <= LOOKED_AT[1]) & (np.abs(hz - peak) > 1.5 * WIDTH)
    weight = power[near] / power[near].sum() if power[near].sum() else np.zeros(near.sum())
    amplitude = np.sqrt(2.0 * power[near].sum())
    rest = power[looked].mean()
    above = power[near].mean() / rest if rest > 0.0 else 0.0
    centre = float(weight @ hz[near]) if weight.any() else float(peak)
    slower = power[(hz >= SLOWER) & (hz < BAND[0])].max(initial=0.0)
    real = periods(residual, amplitude) if slower < power[inside].max() else 0.0
    return Oscillation(centre, float(amplitude), float(above), real)


def periods(values, amplitude) -> float:
    """Count how often values go over to the other side of their mean and back.

    Parameters
    ----------
    values : array
        [share of travel]
    amplitude : float
        Of the swing looked for; what stays well within it changes no side. [share of travel]

    Returns
    -------
    float
        Half the number of changes. [-]
    """
    around = values - values.mean()
    sides = np.sign(around)[np.abs(around) > TURNED * amplitude]
    return 0.5 * float(np.count_nonzero(np.diff(sides)))


def swelling_waves(time, hz):
    """Return columns that fit an oscillation which swells and fades slowly.

    Parameters
    ----------
    time : array
        [s]
    hz : float
        Frequency. [Hz]

    Returns
    -------
    array
        Shape (samples, 2 x (1 + degree)). [-]
    """
    angle = 2.0 * np.pi * hz * time
    place = 2.0 * (time - time[0]) / max(time[-1] - time[0], 1e-9) - 1.0
    powers = [place**degree for degree in range(BENDS + 1)]
    return np.column_stack(
        [wave * power for wave in (np.sin(angle), np.cos(angle)) for power in powers]
    )
