"""A clock that only moves when it is told to, for runs that take no time."""


class VirtualClock:
    """Returns the same time until it is set.

    Attributes
    ----------
    now : float
        The time. [s]

    Examples
    --------
    >>> clock = VirtualClock()
    >>> clock.now += 1.5
    >>> clock()
    1.5
    """

    def __init__(self, now: float = 0.0) -> None:
        self.now = now

    def __call__(self) -> float:
        """Return the time [s]."""
        return self.now
