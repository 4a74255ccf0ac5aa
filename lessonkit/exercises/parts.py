"""Answers of several parts as one line: "Height abeam: 850 ft; Distance abeam: 0.60 nm"."""

import re
from collections.abc import Iterable, Sequence

from lessonkit.words import Preferences, to_shown

SEPARATOR = "; "


def joined(parts: Iterable[tuple[str, str]]) -> str:
    """Return names and values as one line.

    Examples
    --------
    >>> joined([("Height", "850 ft"), ("Flaps", "20°")])
    'Height: 850 ft; Flaps: 20°'
    """
    return SEPARATOR.join(f"{name}: {value}" for name, value in parts)


def split(text: str, names: Sequence[str]) -> list[str] | None:
    """Return the values of a line in the order of the names; None when some are missing.

    Values stand behind their names, or alone in the order of the names.

    Examples
    --------
    >>> split("flaps: 20°; height: 850 ft", ["Height", "Flaps"])
    ['850 ft', '20°']
    >>> split("850 ft; 20°", ["Height", "Flaps"])
    ['850 ft', '20°']
    >>> split("850 ft", ["Height", "Flaps"]) is None
    True
    """
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    if len(parts) != len(names):
        return None
    found = {}
    for part in parts:
        for name in names:
            if part.casefold().startswith(f"{name.casefold()}:"):
                found[name] = part[len(name) + 1 :].strip()
    if len(found) == len(names):
        return [found[name] for name in names]
    return parts if not found else None


def digits_for(step: float, kind: str, preferences: Preferences) -> int:
    """Return how many decimals show steps of a size in the learner's unit [step in SI].

    Examples
    --------
    >>> digits_for(0.05 * 1852.0, "distance_nm", Preferences())
    2
    >>> digits_for(3.048, "height", Preferences())
    0
    """
    shown = abs(to_shown(step, kind, preferences) - to_shown(0.0, kind, preferences))
    fewest = next((n for n in range(4) if shown * 10**n >= 0.999), 4)
    return next((n for n in range(fewest, 4) if abs(round(shown, n) - shown) < 1e-6), fewest)
