"""Where the hands have the controls, and what moved each of them last."""

from collections.abc import Mapping
from dataclasses import dataclass

from lessonkit.drills.controls import CONTROLS, KEYS, PAD, KeyFeel

LONGEST_READ_S = 0.1  # keys do not run on over time that was dropped


@dataclass(frozen=True)
class HandsNow:
    """What the hands do at one moment.

    Parameters
    ----------
    aileron : float
        Stick or wheel, + to the right. [share of full travel, -1..1]
    rudder : float
        Pedals, + right pedal. [share of full travel, -1..1]
    elevator : float
        Stick, + pulled back. [share of full travel, -1..1]
    throttle : float
        [share of full power, 0..1]
    sources : mapping
        For each control, what moved it last: "keys", "sliders" or "pad".
    source : str
        What was moved last of all.
    focused : bool
        The area has the keyboard.
    hidden : bool
        The page cannot be seen.
    last_touch : float
        When anything was moved last, on the clock of the hands. [s]
    """

    aileron: float
    rudder: float
    elevator: float
    throttle: float
    sources: Mapping[str, str]
    source: str
    focused: bool
    hidden: bool
    last_touch: float


class HandPlaces:
    """Places of all controls; keys move them with time, sliders and pads put them there.

    Parameters
    ----------
    feel : mapping of str to KeyFeel
        How keys move the controls that have them.

    Attributes
    ----------
    value : dict
        Place of each control. [share of full travel]
    sources : dict
        What moved each control last.
    source : str
        What was moved last of all.
    held : dict
        Which way each control's keys are held: -1, 0 (both) or 1.
    """

    def __init__(self, feel: Mapping[str, KeyFeel]) -> None:
        self._feel = dict(feel)
        self._at: float | None = None
        self.value = dict.fromkeys(CONTROLS, 0.0)
        self.sources = dict.fromkeys(CONTROLS, KEYS)
        self.source = KEYS
        self.held: dict[str, int] = {}

    def move_on(self, now: float) -> None:
        """Let keys move their controls up to a time; it never goes back [s]."""
        seconds = 0.0 if self._at is None else min(LONGEST_READ_S, max(0.0, now - self._at))
        self._at = now if self._at is None else max(now, self._at)
        for name, feel in self._feel.items():
            if self.sources[name] == KEYS:
                way = self.held.get(name, 0)
                place = feel.moved(self.value[name], way, CONTROLS[name].centred, seconds)
                self.value[name] = _within(name, place)

    def start_clock(self) -> None:
        """Forget the last time: the next one is the first of a run."""
        self._at = None

    def hold(self, held: dict[str, int]) -> None:
        """Hold these keys and no others; a control whose keys changed is theirs now."""
        for name in set(held) | set(self.held):
            if held.get(name) != self.held.get(name):
                self.sources[name] = self.source = KEYS
        self.held = held

    def take(self, name: str, value: float, source: str) -> None:
        """Put a control to a place within its travel [share of full travel]."""
        self.value[name] = _within(name, value)
        self.sources[name] = self.source = source

    def neutral(self, *names: str) -> None:
        """Put controls that have a centre to it; without names, all.

        Without names, what a pad moves stays the pad's: its next report counts.
        """
        for name in names or CONTROLS:
            if CONTROLS[name].centred:
                self.value[name] = 0.0
            if names or self.sources[name] != PAD:
                self.sources[name] = KEYS


def _within(name: str, value: float) -> float:
    return min(1.0, max(CONTROLS[name].low, value))
