"""What can be moved by hand, by which keys, and how a key moves it."""

from dataclasses import dataclass

KEYS, SLIDERS, PAD = "keys", "sliders", "pad"


@dataclass(frozen=True)
class HandControl:
    """One control of the airplane as the hands know it.

    Parameters
    ----------
    key : str
        Name: aileron, rudder, elevator or throttle.
    less, more : str
        Physical keys (the page's codes) that move it towards its lower and upper end.
    low : float
        Lower end of its travel; the upper end is 1. [share of full travel]
    centred : bool
        It goes back to neutral when let go.
    """

    key: str
    less: str
    more: str
    low: float = -1.0
    centred: bool = True


# Physical keys: they lie together on every layout, whatever is printed on them. The left hand
# has the pedals and the power, the right hand the stick.
CONTROLS = {
    control.key: control
    for control in (
        HandControl("aileron", "ArrowLeft", "ArrowRight"),
        HandControl("elevator", "ArrowUp", "ArrowDown"),
        HandControl("rudder", "KeyZ", "KeyX"),
        HandControl("throttle", "KeyF", "KeyR", low=0.0, centred=False),
    )
}


@dataclass(frozen=True)
class KeyFeel:
    """How a held key moves a control.

    Parameters
    ----------
    rate : float
        While the key is held. [share of full travel/s]
    back : float
        Towards neutral after it is let go. [share of full travel/s]
    travel : float
        How far a held key takes it. [share of full travel]
    """

    rate: float = 2.5
    back: float = 4.0
    travel: float = 1.0

    def __post_init__(self) -> None:
        if not (self.rate > 0.0 and self.back > 0.0 and 0.0 < self.travel <= 1.0):
            raise ValueError("a key needs rates above zero and a travel above zero, at most one")

    def moved(self, value: float, way: int, centred: bool, seconds: float) -> float:
        """Return where a control is after some time with a key held this way (-1, 0 or 1).

        Examples
        --------
        >>> KeyFeel(rate=2.0).moved(0.0, -1, True, 0.25)
        -0.5
        >>> KeyFeel(back=4.0).moved(0.5, 0, True, 1.0)
        0.0
        """
        if way == 0 and not centred:
            return value
        goal = way * self.travel
        # A control on the other side comes back at the quicker rate first.
        returning = way == 0 or value * way < 0.0
        if returning:
            needed = abs(value) / self.back
            if needed >= seconds:
                return value - self.back * seconds * (1.0 if value > 0.0 else -1.0)
            value, seconds = 0.0, seconds - needed
        step = self.rate * seconds
        return goal if abs(goal - value) <= step else value + step * (1.0 if goal > value else -1.0)
