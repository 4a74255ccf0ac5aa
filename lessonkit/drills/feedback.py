"""Which try shows what: full traces at first, then every few tries.

The sentence of advice and the points come after every run. Traces with the needed rudder beside
them come after the first three and then after every third: knowledge of results that fades is
said to leave more behind than knowledge after each try (Salmoni, Schmidt and Walter, Psychological
Bulletin 95, 1984, from memory). The numbers 3 and 3 are common practice, no source.
"""

from dataclasses import dataclass

FIRST_TRIES = 3
THEN_EVERY = 3


@dataclass(frozen=True)
class Shown:
    """What is shown after a try.

    Parameters
    ----------
    traces : bool
        The traces with the needed rudder beside them.
    advice : bool
        The one thing to change next, and the points.
    next_traces : int
        Tries from this one to the next that shows traces. [-]
    """

    traces: bool
    advice: bool
    next_traces: int


def shown_after(try_number: int, first: int = FIRST_TRIES, every: int = THEN_EVERY) -> Shown:
    """Return what is shown after a try of one drill and level.

    Parameters
    ----------
    try_number : int
        1 for the first. [-]
    first : int
        Tries that show traces from the start. [-]
    every : int
        Later, one in so many. [-]

    Returns
    -------
    Shown

    Raises
    ------
    ValueError
        If the try's number is less than 1.

    Examples
    --------
    >>> [number for number in range(1, 13) if shown_after(number).traces]
    [1, 2, 3, 6, 9, 12]
    >>> shown_after(4).next_traces
    2
    """
    if try_number < 1:
        raise ValueError("Tries are counted from 1.")

    def full(number):
        return number <= first or (number - first) % every == 0

    following = next(n for n in range(try_number + 1, try_number + every + 2) if full(n))
    return Shown(traces=full(try_number), advice=True, next_traces=following - try_number)
