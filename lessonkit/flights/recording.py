"""One flight, or part of one, against time."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np

from lessonkit.flights.schema import ALTITUDE_DATUMS, HEADER_RANGES, NUMBER_COLUMNS


class RecordingError(ValueError):
    """A recording that cannot be used; the message is one sentence with its cure."""


@dataclass(frozen=True, eq=False)
class Recording:
    """Columns of one length in SI, under the names of `schema`.

    Assumes nothing about the steps in time: they may differ.

    Parameters
    ----------
    columns : mapping of str to array (points,)
        Numbers by column name; NaN where nothing was recorded. [unit in the name]
    texts : mapping of str to sequence of str
        Columns of text: events, and every column that the schema does not know.
    header : mapping of str to str
        What stands above the columns, such as ``alt_datum``.

    Raises
    ------
    ValueError
        If the columns differ in length, or a column of numbers is none of the schema.

    Examples
    --------
    >>> flight = Recording({"time_s": [0.0, 1.0], "alt_m": [300.0, 299.0]})
    >>> len(flight), "ias_mps" in flight, flight.altitude_datum
    (2, False, 'unknown')
    """

    columns: Mapping[str, np.ndarray]
    texts: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    header: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        unknown = [name for name in self.columns if name not in NUMBER_COLUMNS]
        unknown += [name for name in self.texts if name in NUMBER_COLUMNS]
        if unknown:
            raise ValueError(f"no such column of a recording: {', '.join(unknown)}")
        columns = {}
        for name, values in self.columns.items():
            column = np.array(values, dtype=float)  # a copy: nobody else may change it
            column.setflags(write=False)
            columns[name] = column
        texts = {name: tuple(values) for name, values in self.texts.items()}
        lengths = {len(values) for values in (*columns.values(), *texts.values())}
        if len(lengths) > 1:
            raise ValueError("the columns of a recording differ in length")
        object.__setattr__(self, "columns", MappingProxyType(columns))
        object.__setattr__(self, "texts", MappingProxyType(texts))
        object.__setattr__(self, "header", MappingProxyType(dict(self.header)))

    def __len__(self) -> int:
        """Return the number of points in time."""
        return next((len(column) for column in self.columns.values()), 0)

    def __contains__(self, name: object) -> bool:
        """Tell whether a column of numbers holds at least one value."""
        return name in self.columns and bool(np.any(np.isfinite(self.columns[name])))

    def __getitem__(self, name: str) -> np.ndarray:
        """Return a column of numbers; KeyError names a column that was not recorded."""
        return self.columns[name]

    @property
    def altitude_datum(self) -> str:
        """What the altitudes are counted from; "unknown" where the file does not say."""
        datum = self.header.get("alt_datum", "unknown")
        return datum if datum in ALTITUDE_DATUMS else "unknown"

    def header_number(self, key: str) -> float | None:
        """Return a number of the header, such as ``rwy_true_deg``; None where it is missing.

        Parameters
        ----------
        key : str
            One of the numeric header keys of `schema`.

        Returns
        -------
        float or None
            [unit in the key]

        Raises
        ------
        KeyError
            If the schema knows no such number.
        """
        if key not in HEADER_RANGES:
            raise KeyError(f"no header number {key}")
        text = self.header.get(key)
        return float(text) if text else None
