"""The texts of the area for hands, as the page shows them."""

from collections.abc import Sequence
from typing import Any

from lessonkit.drills.controls import CONTROLS
from lessonkit.drills.pads import Pads
from lessonkit.words import Preferences, say, show, texts

AREA = "drill_inputs.area."
# The page fills these in itself: they are handed on as they stand.
_LATER = {"name": "{name}", "share": "{share}"}


def setup_texts(controls: Sequence[str], preferences: Preferences) -> dict[str, Any]:
    """Return names and keys of the controls and every fixed text of the area."""
    rows = []
    for name in controls:
        control = CONTROLS[name]
        row = {"key": name, "low": control.low, "codes": {"-": control.less, "+": control.more}}
        for part in ("name", "less", "more"):
            row[part] = say(f"drill_inputs.{name}.{part}", preferences=preferences)
        rows.append(row)
    area = {
        key.removeprefix(AREA): say(key, preferences=preferences, **_LATER)
        for key in texts("drill_inputs")
        if key.startswith(AREA)
    }
    return {"controls": rows, "texts": area}


def desk_texts(pads: Pads, controls: Sequence[str], preferences: Preferences) -> dict[str, Any]:
    """Return what the part for pedals, stick and gamepad shows."""
    names = ", ".join(pads.names)
    seen = "seen" if names else "none"
    return {
        "sentence": say(f"drill_inputs.pad.{seen}", preferences=preferences, devices=names),
        "rows": {name: _desk_row(pads, name, preferences) for name in controls},
    }


def _desk_row(pads: Pads, name: str, preferences: Preferences) -> dict[str, Any]:
    axis = pads.assigned.get(name)
    if pads.assigning == name:
        key = "move"
    elif axis is None:
        key = "free"
    else:
        key = "away" if pads.device_of(name) is None else "assigned"
    text = say(
        f"drill_inputs.pad.{key}",
        preferences=preferences,
        device=axis.pad if axis else "",
        axis=axis.axis + 1 if axis else "",
        way=say(f"drill_inputs.{name}.way", preferences=preferences),
    )
    return {
        "text": text,
        "assigning": pads.assigning == name,
        "assigned": axis is not None,
        "reversed": axis is not None and axis.reversed,
        "dead_band": axis.dead_band if axis else 0.0,
    }


def place_text(value: float, preferences: Preferences) -> str:
    """Return where a control is, such as "25 %"."""
    return show(value, "percent", preferences)
