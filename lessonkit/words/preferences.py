"""How one learner wants numbers and sentences: units, decimal mark, language, paper."""

import re
from dataclasses import dataclass

SPEED_UNITS = ("kt", "mph")
MASS_UNITS = ("lb", "kg")
DECIMAL_MARKS = (".", ",")
PAPERS = ("letter", "A4")
_LANGUAGE = re.compile(r"[a-z]{2}")


@dataclass(frozen=True)
class Preferences:
    """Units, decimal mark, language and paper of one learner.

    Parameters
    ----------
    speed_unit : {"kt", "mph"}
        Unit of airspeeds. Wind stays in knots, as it is reported.
    mass_unit : {"lb", "kg"}
        Unit of weights.
    decimal_mark : {".", ","}
        Mark before the decimals; the other one separates thousands.
    language : str
        Two small letters, such as "en". Sentences that a language lacks appear in English.
    paper : {"letter", "A4"}
        Paper of the printer.

    Raises
    ------
    ValueError
        With one sentence, when a setting is none of the allowed ones.

    Examples
    --------
    >>> Preferences(speed_unit="mph").speed_unit
    'mph'
    """

    speed_unit: str = "kt"
    mass_unit: str = "lb"
    decimal_mark: str = "."
    language: str = "en"
    paper: str = "letter"

    def __post_init__(self) -> None:
        _require("speed unit", self.speed_unit, SPEED_UNITS)
        _require("weight unit", self.mass_unit, MASS_UNITS)
        _require("decimal mark", self.decimal_mark, DECIMAL_MARKS)
        _require("paper", self.paper, PAPERS)
        if not isinstance(self.language, str) or not _LANGUAGE.fullmatch(self.language):
            from lessonkit.words.sentences import say

            raise ValueError(say("numbers.preferences.language", value=_short(self.language)))


def _require(setting: str, value: object, allowed: tuple[str, ...]) -> None:
    if value in allowed:
        return
    # Imported here because sentences take their language from Preferences.
    from lessonkit.words.sentences import say

    raise ValueError(
        say(
            "numbers.preferences.choice",
            setting=setting,
            value=_short(value),
            first=allowed[0],
            second=allowed[1],
        )
    )


def _short(value: object) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 20 else text[:20] + "…"


STANDARD = Preferences()  # what a newcomer has before choosing
