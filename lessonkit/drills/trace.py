"""What happened in one run of a drill, sample by sample, in columns made beforehand."""

from collections.abc import Iterable

import numpy as np

KEYS, SLIDERS, PAD = "keys", "sliders", "pad"
SOURCES = (KEYS, SLIDERS, PAD)
DURATION, STEP = 30.0, 0.02  # s
COLUMNS = (
    "time",
    "aileron",
    "rudder",
    "sideslip_deg",
    "bank_deg",
    "heading_deg",
    "ball_deg",
    "lateral_load",
    "tas",
    "power",
)


class Trace:
    """Columns of one run; nothing is allocated while it runs.

    Parameters
    ----------
    columns : iterable of str
        Names, such as those of a `LateralRun`. `rudder` and `time` are needed for the diagnosis,
        `sideslip_deg` for the score. [SI, or the unit in the name]
    duration_s : float
        Length of the run for which there is room. [s]
    step : float
        Between two samples. [s]
    source : str
        What moved the pedals: "keys", "sliders" or "pad". [-]
    input_delay_s : float
        Measured time from the foot to the control of the model and back to the picture; the
        diagnosis takes it off the lag. [s]
    level : str
        Which level of the drill was flown. [-]

    Raises
    ------
    ValueError
        If the source is none of the three.

    Examples
    --------
    >>> trace = Trace(("time", "rudder"), duration_s=1.0)
    >>> trace.add(time=0.0, rudder=0.1)
    True
    >>> trace.arrays()["rudder"].tolist(), len(trace)
    ([0.1], 1)
    """

    def __init__(
        self,
        columns: Iterable[str] = COLUMNS,
        duration_s: float = DURATION,
        step: float = STEP,
        source: str = PAD,
        input_delay_s: float = 0.0,
        level: str = "",
    ):
        if source not in SOURCES:
            raise ValueError(f"The source of a trace must be one of {', '.join(SOURCES)}.")
        self.step = step
        self.source = source
        self.input_delay_s = input_delay_s
        self.level = level
        self._room = round(duration_s / step) + 1
        self._columns = {name: np.full(self._room, np.nan) for name in columns}
        self._count = 0

    @classmethod
    def from_arrays(cls, columns, **about) -> "Trace":
        """Return the trace of a run that was computed at once.

        Parameters
        ----------
        columns : mapping of str to array, or an object that has the columns as attributes
            Of one length; a `LateralRun` will do. [SI, or the unit in the name]
        **about
            Source, input delay and level as of a new trace. [-]

        Returns
        -------
        Trace
            Full.
        """
        if not hasattr(columns, "keys"):
            columns = {name: getattr(columns, name) for name in COLUMNS if hasattr(columns, name)}
        time = np.asarray(columns["time"], dtype=float)
        step = float(np.median(np.diff(time))) if time.size > 1 else STEP
        trace = cls(columns, duration_s=step * max(time.size - 1, 0), step=step, **about)
        for name, column in columns.items():
            trace._columns[name][: time.size] = column
        trace._count = time.size
        return trace

    def __len__(self):
        return self._count

    @property
    def full(self) -> bool:
        """True when there is no room for another sample."""
        return self._count >= self._room

    def add(self, **values: float) -> bool:
        """Note one sample; columns not named stay empty (NaN).

        Returns
        -------
        bool
            False when the trace was full and nothing was noted.

        Raises
        ------
        KeyError
            Naming a column that the trace does not have.
        """
        if self.full:
            return False
        for name, value in values.items():
            self._columns[name][self._count] = value
        self._count += 1
        return True

    def arrays(self) -> dict[str, np.ndarray]:
        """Return what has been noted so far, a view of each column."""
        return {name: column[: self._count] for name, column in self._columns.items()}

    def __getitem__(self, name: str) -> np.ndarray:
        return self._columns[name][: self._count]

    def __contains__(self, name: str) -> bool:
        return name in self._columns
