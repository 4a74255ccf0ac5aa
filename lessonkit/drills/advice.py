"""One thing to change next, as a sentence with numbers.

The kind of the diagnosis is the fault that costs most, so its cure is the change that gains most;
nothing else is said. A good run is told what was good about it.
"""

from dataclasses import dataclass, field

from lessonkit.drills import verdict as found
from lessonkit.drills.diagnosis import LEAST_TIME
from lessonkit.drills.verdict import Diagnosis
from lessonkit.words import say, show
from lessonkit.words.preferences import STANDARD, Preferences

ROLLS, STRAIGHT = "rolls", "straight"
LEFT, RIGHT = "left", "right"
# Shares that have a name; others are told in per cent, rounded to five.
NAMES = {0.25: "quarter", 0.33: "third", 0.5: "half", 0.67: "two_thirds", 0.75: "three_quarters"}
NEAR = 0.04  # from a share to its name
MOST = 3.0  # times as much pressure as before: more is not asked for at once
MOVES = 0.15  # share of the rudder needed; with less the foot is told to begin


@dataclass(frozen=True)
class Change:
    """What the sentence asks for, as numbers, rounded as they are said.

    Parameters
    ----------
    lag_s : float
        By how much earlier the feet should come; negative for later. [s]
    left, right : float
        Factor on the pressure, by side. [-]
    quieter : float
        Share of the swing that should go. [-]
    steadier : float
        Share of the wandering that should go. [-]
    bias : float
        Constant pressure to take off, + right. [share of travel]
    begin : tuple of str
        Sides whose foot should begin to press: "left", "right". [-]
    other_side : bool
        Press the other pedal.
    released : float
        Share of the pressure held for the bank that should go with the stick instead. [-]
    """

    lag_s: float = 0.0
    left: float = 1.0
    right: float = 1.0
    quieter: float = 0.0
    steadier: float = 0.0
    bias: float = 0.0
    begin: tuple[str, ...] = ()
    other_side: bool = False
    released: float = 0.0


NOTHING = Change()


@dataclass(frozen=True)
class Advice:
    """One sentence, its numbers, and the change it asks for.

    Parameters
    ----------
    key : str
        Of the sentence. [-]
    values : mapping of str to (str, value)
        What the sentence names: "lag", "period" or "time" [s], "share" or "times" [-], "side".
    change : Change
        Nothing where the run was good. [-]
    drill : str
        "rolls" or "straight": the same fault has other words there. [-]
    """

    key: str
    values: dict[str, tuple[str, float | str]] = field(default_factory=dict)
    change: Change = NOTHING
    drill: str = ROLLS

    def sentence(self, preferences: Preferences = STANDARD) -> str:
        """Return the advice in words, with numbers in the learner's own form."""
        said = {
            name: _said(kind, value, preferences) for name, (kind, value) in self.values.items()
        }
        return say(f"drill_feedback.{self.drill}.{self.key}", preferences=preferences, **said)


def advice(diagnosis: Diagnosis, drill: str = ROLLS) -> Advice:
    r"""Return the one thing to change next.

    Parameters
    ----------
    diagnosis : Diagnosis
        Of the run just flown. [-]
    drill : str
        "rolls" (rolls on a heading) or "straight" (hold the nose straight). [-]

    Returns
    -------
    Advice
        Of one fault only; for a good run what was good.

    Examples
    --------
    >>> late = Diagnosis("late", lag_s=0.42, gain_left=0.9, gain_right=0.9, gain=0.9)
    >>> advice(late).sentence().replace("\N{NO-BREAK SPACE}", " ")
    'Your feet come 0.4 s after the stick. Move both together.'
    """
    kind = diagnosis.kind
    if kind == found.UNCLEAR:
        key, values, change = _unclear(diagnosis)
    elif kind in (found.LATE, found.EARLY):
        lag = round(max(abs(diagnosis.lag_s), 0.1), 1)
        key, values = kind, {"lag": ("seconds", lag)}
        change = Change(lag_s=lag if kind == found.LATE else -lag)
    elif kind in (found.TOO_LITTLE, found.TOO_MUCH):
        key, values, change = _both_sides(diagnosis)
    elif kind == found.ONE_SIDED:
        key, values, change = _one_side(diagnosis)
    elif kind == found.HUNTING:
        key, values = kind, {"period": ("seconds", 1.0 / diagnosis.hunting_hz)}
        change = Change(quieter=1.0)
    elif kind == found.LEANING:
        key, values, change = _leaning(diagnosis)
    elif kind == found.HELD_IN:
        key, values, change = kind, {}, Change(released=1.0)
    elif kind == found.BRIEF:
        key, values, change = kind, {}, Change(begin=(LEFT, RIGHT))
    elif kind == found.UNSTEADY:
        # Heels on the floor cannot take all of a tremor away; half is a guess.
        values = {"share": ("percent", max(diagnosis.wandering, 0.01))}
        key, change = kind, Change(steadier=0.5)
    elif kind == found.STILL:
        key, values, change = kind, {}, Change(begin=(LEFT, RIGHT))
    elif kind == found.WRONG_SIDE:
        key, values, change = kind, {}, Change(other_side=True)
    else:
        key, values, change = _praise(diagnosis, drill)
    return Advice(key, values, change, drill)


def _unclear(diagnosis):
    if diagnosis.reason == found.TOO_SHORT:
        return diagnosis.reason, {"least": ("seconds_whole", LEAST_TIME)}, NOTHING
    if diagnosis.reason == found.NOTHING_NEEDED:
        return diagnosis.reason, {}, NOTHING
    return found.NO_PATTERN, {}, Change(begin=(LEFT, RIGHT))


def _leaning(diagnosis):
    rest = _rounded(abs(diagnosis.bias))
    side = RIGHT if diagnosis.bias > 0.0 else LEFT
    change = Change(bias=rest if side == RIGHT else -rest)
    values = {"side": ("side", side)}
    if diagnosis.keys:
        return "leaning_key", values, change
    return diagnosis.kind, {**values, "share": ("percent", rest)}, change


def _both_sides(diagnosis):
    gain = diagnosis.gain
    if gain is None:  # keys know no amount
        return found.NO_PATTERN, {}, Change(begin=(LEFT, RIGHT))
    if diagnosis.kind == found.TOO_LITTLE:
        if gain < MOVES:
            return found.NO_PATTERN, {}, Change(begin=(LEFT, RIGHT))
        share = share_said(gain)
        factor = min(1.0 / share, MOST)
        return diagnosis.kind, {"share": ("share", share)}, Change(left=factor, right=factor)
    times = round(gain, 1)
    return diagnosis.kind, {"times": ("times", times)}, Change(left=1.0 / times, right=1.0 / times)


def _one_side(diagnosis):
    side = diagnosis.weak_side
    gain = diagnosis.side_gains[0 if side == LEFT else 1]
    values = {"side": ("side", side)}
    wrong = diagnosis.other_pedal[0 if side == LEFT else 1] if diagnosis.keys else True
    if gain < -MOVES and wrong:
        return "one_sided_wrong", values, Change(begin=(side,))
    if gain < MOVES or diagnosis.keys:
        return "one_sided_none", values, Change(begin=(side,))
    if gain < 1.0:
        share = share_said(gain)
        change = Change(**{side: min(1.0 / share, MOST)})
        return "one_sided_little", {**values, "share": ("share", share)}, change
    times = round(gain, 1)
    change = Change(**{side: 1.0 / times})
    return "one_sided_much", {**values, "times": ("times", times)}, change


def _praise(diagnosis, drill):
    lag = max(0.1, round(abs(diagnosis.lag_s or 0.0), 1))
    values = {"lag": ("seconds", lag)}
    left, right = diagnosis.gain_left, diagnosis.gain_right
    if diagnosis.keys or (drill == ROLLS and (left is None or right is None)):
        return "coordinated_timing", values, NOTHING
    if drill == ROLLS:
        values |= {"left": ("percent", left), "right": ("percent", right)}
    else:
        values |= {"both": ("percent", diagnosis.gain)}
    return found.COORDINATED, values, NOTHING


def share_said(gain: float) -> float:
    """Return a share of the rudder needed as it is told: a named share, or rounded to 5 %.

    Examples
    --------
    >>> share_said(0.47), share_said(0.58)
    (0.5, 0.6)
    """
    near = min(NAMES, key=lambda share: abs(share - gain))
    return near if abs(near - gain) <= NEAR else _rounded(gain)


def _rounded(share):
    return max(round(share * 20.0) / 20.0, 0.05)


def _said(kind, value, preferences):
    """One value of a sentence as text."""
    if kind == "side":
        return say(f"drill_feedback.side.{value}", preferences=preferences)
    if kind == "seconds":
        return show(value, "time_s", preferences, digits=1)
    if kind == "seconds_whole":
        return show(value, "time_s", preferences)
    if kind == "share" and value in NAMES:
        return say(f"drill_feedback.share.{NAMES[value]}", preferences=preferences)
    if kind == "times":
        if value == 2.0:
            return say("drill_feedback.share.twice", preferences=preferences)
        number = show(value, "number", preferences, digits=1)
        return say("drill_feedback.share.times", preferences=preferences, number=number)
    return show(value, "percent", preferences)
