"""A pilot's habit or spread: one small type from the debrief to the plan."""

from dataclasses import dataclass

MEASURED, OBSERVED, ASSUMED = "measured", "observed", "assumed"
ORIGINS = (MEASURED, OBSERVED, ASSUMED)


@dataclass(frozen=True)
class Habit:
    """What one pilot usually does, or by how much it scatters, and how that is known.

    A debrief measures habits, an instructor's form or a tally observes them, a lesson may assume
    them; the plan and the consistency picture take all three and show which is which.

    Parameters
    ----------
    quantity : str
        Name of the quantity in SI, such as "final_cas" or "abeam_distance". A spread carries the
        ending "_spread" and is one standard deviation.
    value : float
        Best estimate. [SI unit of the quantity]
    low, high : float
        Bounds that hold the true value nine times out of ten; wide where it is assumed.
        [SI unit of the quantity]
    origin : str
        "measured" from a recording, "observed" by an instructor, or "assumed".

    Raises
    ------
    ValueError
        If the bounds do not enclose the value, a spread is negative, or the origin is unknown.

    Examples
    --------
    >>> Habit("final_cas_spread", 2.0, 1.0, 4.0, ASSUMED).is_spread
    True
    """

    quantity: str
    value: float
    low: float
    high: float
    origin: str

    def __post_init__(self):
        """Refuse what contradicts itself."""
        if self.origin not in ORIGINS:
            raise ValueError(f"The origin of {self.quantity} must be one of {', '.join(ORIGINS)}.")
        if not self.low <= self.value <= self.high:
            raise ValueError(f"The bounds of {self.quantity} must enclose its value.")
        if self.is_spread and self.low < 0.0:
            raise ValueError(f"The spread {self.quantity} must not be negative.")

    @property
    def is_spread(self):
        """True for a scatter, False for a habit."""
        return self.quantity.endswith("_spread")
