"""Pedals, sticks and gamepads: which axis of which device moves which control.

The page only reports the raw places of the axes; all meaning is given here. A control is
assigned by moving it: the axis that goes farthest from where it was is taken, and the way it went
counts as positive. Nothing is written to a file: the page keeps the assignments.
"""

import math
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

MOVED = 0.5  # of an axis's half travel: more than a resting hand or a worn axis does
LEAST_TRAVEL = 0.2  # a centre at the very end of an axis leaves no travel to divide by
DEAD_BAND = 0.05
WIDEST_DEAD_BAND = 0.5
MOST_AXES, LONGEST_NAME, MOST_PADS = 32, 200, 8


@dataclass(frozen=True)
class PadAxis:
    """One assigned axis.

    Parameters
    ----------
    pad : str
        Name of the device as the page reports it.
    index : int
        Its place among the devices, which tells two alike apart.
    axis : int
        Number of the axis on it, from 0.
    centre : float
        Where the axis rests. [-1..1]
    reversed : bool
        The axis grows the other way than the control.
    dead_band : float
        Share of the travel about the centre that counts as nothing. [0..0.5]
    """

    pad: str
    index: int
    axis: int
    centre: float = 0.0
    reversed: bool = False
    dead_band: float = DEAD_BAND

    def share(self, raw: float) -> float:
        """Return the share of travel of a control that has a centre.

        Parameters
        ----------
        raw : float
            Place of the axis. [-1..1]

        Returns
        -------
        float
            -1 to 1; exactly 0 within the dead band, and continuous at its edge. [share of travel]

        Examples
        --------
        >>> PadAxis("pedals", 0, 0, dead_band=0.5).share(0.75)
        0.5
        >>> PadAxis("pedals", 0, 0, centre=0.2, reversed=True, dead_band=0.0).share(1.0)
        -1.0
        """
        away = raw - self.centre
        travel = max(LEAST_TRAVEL, 1.0 - self.centre if away > 0.0 else 1.0 + self.centre)
        beyond = max(0.0, abs(away) / travel - self.dead_band) / (1.0 - self.dead_band)
        share = math.copysign(min(1.0, beyond), away)
        return -share if self.reversed and share else share

    def lever(self, raw: float) -> float:
        """Return the place of a lever that has two ends and no centre, 0 to 1.

        Examples
        --------
        >>> PadAxis("throttle", 0, 2).lever(-1.0), PadAxis("throttle", 0, 2).lever(0.5)
        (0.0, 0.75)
        """
        along = -raw if self.reversed else raw
        return min(1.0, max(0.0, 0.5 * (along + 1.0)))


@dataclass(frozen=True)
class PadPlace:
    """Where the axes of one device are [-1..1]."""

    name: str
    axes: tuple[float, ...]


class Pads:
    """All devices seen and all assignments.

    Attributes
    ----------
    assigned : dict
        A ``PadAxis`` for each assigned control.
    assigning : str or None
        The control whose axis is being looked for.
    """

    def __init__(self) -> None:
        self.assigned: dict[str, PadAxis] = {}
        self.assigning: str | None = None
        self._present: dict[int, str] = {}
        self._places: dict[int, PadPlace] = {}
        self._before: dict[int, PadPlace] = {}

    # ------------------------------------------------------------------ devices

    @property
    def names(self) -> list[str]:
        """Names of the devices that are plugged in."""
        return list(self._present.values())

    def plugged(self, present: Mapping[int, str]) -> dict[str, str]:
        """Take note of the devices there are; return the controls lost, with their device.

        Parameters
        ----------
        present : mapping
            Name of each device by its place.
        """
        held = {control for control in self.assigned if self.device_of(control) is not None}
        self._present = dict(present)
        self._places = {i: p for i, p in self._places.items() if present.get(i) == p.name}
        lost = [control for control in held if self.device_of(control) is None]
        return {control: self.assigned[control].pad for control in lost}

    def device_of(self, control: str) -> int | None:
        """Return the place of the device that moves a control, None if it is not plugged in."""
        axis = self.assigned.get(control)
        if axis is None:
            return None
        same = [index for index, name in self._present.items() if name == axis.pad]
        # A device put into another socket may get another place; two alike keep theirs.
        return axis.index if axis.index in same else next(iter(same), None)

    def wanted(self) -> list[int] | None:
        """Return the devices whose axes the page has to report; None for all of them."""
        if self.assigning is not None:
            return None
        return sorted({i for c in self.assigned if (i := self.device_of(c)) is not None})

    def raw(self, control: str) -> float | None:
        """Return where the axis of a control is, None while nothing is known [-1..1]."""
        index = self.device_of(control)
        if index is None or index not in self._places:
            return None
        axes, number = self._places[index].axes, self.assigned[control].axis
        return axes[number] if number < len(axes) else None

    def moved(self, places: Mapping[int, PadPlace]) -> str | None:
        """Take new places; return the control that this has just assigned, if any."""
        self._places.update({i: p for i, p in places.items() if self._present.get(i) == p.name})
        if self.assigning is None:
            return None
        farthest: tuple[float, int, int] | None = None
        for index, place in self._places.items():
            before = self._before.setdefault(index, place)
            for axis, (was, now) in enumerate(zip(before.axes, place.axes, strict=False)):
                if abs(now - was) > max(MOVED, abs(farthest[0]) if farthest else 0.0):
                    farthest = (now - was, index, axis)
        return None if farthest is None else self._take(*farthest)

    # ------------------------------------------------------------------ assigning

    def assign(self, control: str) -> None:
        """Look for the axis that is moved next; asked again for the same control, give up."""
        if self.assigning is None:
            # The page now reports every axis: where each is first is where it is moved from.
            self._before = {}
        self.assigning = None if self.assigning == control else control

    def _take(self, way: float, index: int, axis: int) -> str:
        control, place = self.assigning, self._places[index]
        self.assigning = None
        taken = PadAxis(place.name, index, axis, self._before[index].axes[axis], way < 0.0)
        for other, old in list(self.assigned.items()):
            if (old.pad, old.index, old.axis) == (taken.pad, taken.index, taken.axis):
                del self.assigned[other]  # one axis moves one control
        self.assigned[control] = taken
        return control

    def reverse(self, control: str) -> None:
        """Turn the direction of a control's axis round."""
        if axis := self.assigned.get(control):
            self.assigned[control] = replace(axis, reversed=not axis.reversed)

    def centre(self, control: str) -> None:
        """Take the present place of a control's axis as its centre."""
        raw = self.raw(control)
        if raw is not None:
            self.assigned[control] = replace(self.assigned[control], centre=raw)

    def set_dead_band(self, control: str, share: float) -> None:
        """Change the dead band of a control's axis [share of the travel]."""
        if axis := self.assigned.get(control):
            width = min(WIDEST_DEAD_BAND, max(0.0, share))
            self.assigned[control] = replace(axis, dead_band=width)

    def forget(self, control: str) -> None:
        """Take a control's axis away from it."""
        self.assigned.pop(control, None)

    # ------------------------------------------------------------------ kept by the page

    def stored(self) -> dict[str, dict[str, Any]]:
        """Return the assignments as plain data."""
        return {control: asdict(axis) for control, axis in self.assigned.items()}

    def restore(self, stored: Any, controls: tuple[str, ...], newer: bool = False) -> None:
        """Take over what the page had kept; anything that is no assignment is passed over.

        Parameters
        ----------
        stored : object
            What the page sent.
        controls : tuple of str
            The controls there are.
        newer : bool
            It was changed in another area of the page, and goes before what is assigned here.
        """
        kept = {c: _axis_of(stored.get(c) if isinstance(stored, dict) else None) for c in controls}
        if newer:
            self.assigned.clear()
        for control, axis in kept.items():
            if axis is not None:
                self.assigned.setdefault(control, axis)


def names_of(sent: Any) -> dict[int, str]:
    """Return the devices by place that the page sent; what is none is passed over.

    >>> names_of({"0": "pedals", "x": "stick"})
    {0: 'pedals'}
    """
    named = list(sent.items())[:MOST_PADS] if isinstance(sent, dict) else []
    return {int(i): str(name)[:LONGEST_NAME] for i, name in named if str(i).isdecimal()}


def places_of(sent: Any) -> dict[int, PadPlace]:
    """Return where the axes of each device are that the page sent."""
    found = {}
    for index, device in list(sent.items())[:MOST_PADS] if isinstance(sent, dict) else ():
        axes = device.get("axes") if isinstance(device, dict) else None
        if str(index).isdecimal() and isinstance(axes, list):
            numbers = [number_of(value) for value in axes[:MOST_AXES]]
            # An axis without a number rests: the others keep their places.
            kept = tuple(min(1.0, max(-1.0, 0.0 if n is None else n)) for n in numbers)
            found[int(index)] = PadPlace(str(device.get("name"))[:LONGEST_NAME], kept)
    return found


def number_of(value: Any) -> float | None:
    """Return a finite number that the page sent; None if it is none.

    >>> number_of(1), number_of("1"), number_of(float("nan")), number_of(True)
    (1.0, None, None, None)
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        return None
    return float(value)


def _axis_of(kept: Any) -> PadAxis | None:
    if not isinstance(kept, dict) or not isinstance(kept.get("pad"), str):
        return None
    index, axis = number_of(kept.get("index")), number_of(kept.get("axis"))
    centre, band = number_of(kept.get("centre")), number_of(kept.get("dead_band"))
    if None in (index, axis, centre, band) or not 0 <= axis < MOST_AXES or abs(centre) > 1.0:
        return None
    return PadAxis(
        kept["pad"][:LONGEST_NAME],
        int(index),
        int(axis),
        centre,
        kept.get("reversed") is True,
        min(WIDEST_DEAD_BAND, max(0.0, band)),
    )
