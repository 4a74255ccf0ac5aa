"""What a diagnosis says: the kinds of fault and the numbers that go with them."""

from dataclasses import dataclass, field

import numpy as np

COORDINATED, STILL, UNCLEAR = "coordinated", "still", "unclear"
LATE, EARLY = "late", "early"
TOO_LITTLE, TOO_MUCH, ONE_SIDED, WRONG_SIDE = "too_little", "too_much", "one_sided", "wrong_side"
HUNTING, LEANING, UNSTEADY = "hunting", "leaning", "unsteady"
HELD_IN, BRIEF = "held_in", "brief"
KINDS = (
    COORDINATED,
    STILL,
    LATE,
    EARLY,
    TOO_LITTLE,
    TOO_MUCH,
    ONE_SIDED,
    HUNTING,
    WRONG_SIDE,
    LEANING,
    UNSTEADY,
    HELD_IN,
    BRIEF,
    UNCLEAR,
)
TOO_SHORT, NOTHING_NEEDED, NO_PATTERN = "too_short", "nothing_needed", "no_pattern"


@dataclass(frozen=True)
class Diagnosis:
    """What the feet did; numbers are None where they are not defined.

    Parameters
    ----------
    kind : str
        One of `KINDS`. [-]
    lag_s : float or None
        Of the feet behind what was needed, without the measured input delay; negative when they
        come before. Only where gain > 0.3 and correlation > 0.6. [s]
    gain_left, gain_right, gain : float or None
        Rudder used over rudder needed; None for keys, which know no amount, and for a side that
        was not asked for. [-]
    correlation : float
        Between the feet and their fit to the demand. [-]
    hunting_hz, hunting_share : float or None
        Frequency and amplitude of a swing that the demand does not explain. [Hz, share of travel]
    bias : float
        Constant pressure, + right. [share of travel]
    wandering : float
        Standard deviation of what neither demand nor a swing explains. [share of travel]
    moved : bool
        The feet did something.
    weak_side : str
        "left" or "right": the side whose amount is farther off; "" where both are alike. [-]
    costs : mapping of str to float
        For each fault found, how much of the mean square error it accounts for. [-]
    error : float
        Mean square of fitted rudder less needed, as the nose answers it (`felt`), over that of
        the needed rudder. [-]
    reason : str
        Why a diagnosis is unclear: "too_short", "nothing_needed", "no_pattern". [-]
    keys : bool
        Flown with keys: on or off, so timing and side only.
    side_gains : pair of float
        Gain to the left and to the right; for keys against their mean. NaN where not asked. [-]
    other_pedal : pair of bool
        Keys only: left needed and the right pedal really pressed, and the other way round.
    held : float
        Strength of what follows the bank and not the need, over that of the rudder used. [-]
    """

    kind: str
    lag_s: float | None = None
    gain_left: float | None = None
    gain_right: float | None = None
    gain: float | None = None
    correlation: float = 0.0
    hunting_hz: float | None = None
    hunting_share: float | None = None
    bias: float = 0.0
    wandering: float = 0.0
    moved: bool = False
    weak_side: str = ""
    costs: dict[str, float] = field(default_factory=dict)
    error: float = np.nan
    reason: str = ""
    keys: bool = False
    side_gains: tuple[float, float] = (np.nan, np.nan)
    other_pedal: tuple[bool, bool] = (False, False)
    held: float = 0.0

    @property
    def name_key(self) -> str:
        """Key of the kind's name in the words."""
        return f"drill_feedback.kind.{self.kind}"
