"""What the practice at altitude says: where to be when, what altitude changes, what forbids it."""

import math

from lessonkit.lessons.power_off_approach.altitude_picture import height_text, say_it
from lessonkit.lessons.power_off_approach.flights import MARK
from lessonkit.models.altitude_practice import RECOVERY_ALLOWANCE
from lessonkit.models.approach_review import GATE_HEIGHT
from lessonkit.panels.forms import TableBlock
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt
from lessonkit.words import show

COLUMNS = ("point", "time", "height", "altitude", "heading")
CALM = mps_from_kt(0.5)
TOLD = m_from_ft(50.0)  # how far before the mark the runway's height is passed, to be told


def callout_table(context) -> TableBlock:
    """Return the empty table of the callouts."""
    return TableBlock(
        say_it(context, "table.caption"), [say_it(context, f"table.{key}") for key in COLUMNS]
    )


def callout_rows(result, context) -> list[list[str]]:
    """Return a row for each callout; none where the practice is refused."""
    if result.practice is None:
        return []
    return [
        [
            say_it(context, f"call.{call.key}"),
            show(call.time, "time_s", context.preferences),
            height_text(context, call.height),
            height_text(context, call.altitude),
            show(call.heading_deg, "heading_deg", context.preferences),
        ]
        for call in result.practice.callouts
    ]


def sentence(result, context, compared: bool = True) -> str:
    """Say where to start and to go around, and what altitude changes; or what forbids it."""
    if result.practice is None:
        return _too_low(result, context)
    practice = result.practice
    parts = [
        say_it(
            context,
            "say.altitudes",
            start=height_text(context, practice.start_altitude),
            gate=height_text(context, practice.go_around_altitude),
            line=height_text(context, practice.line_altitude),
            floor=height_text(context, practice.floor_altitude),
        ),
        _lined_up(practice, context),
        _grows(practice, context) if compared else "",
        _end(practice, context),
    ]
    if abs(result.wind.along) > CALM or abs(result.wind.across) > CALM:
        parts.append(say_it(context, "say.wind"))
    return " ".join(part for part in parts if part)


def _too_low(result, context):
    lowest = m_from_ft(math.ceil(ft_from_m(result.lowest) / 10.0 - 1e-6) * 10.0)
    return say_it(
        context,
        "say.too_low",
        lowest=height_text(context, lowest),
        floor=show(result.values["floor"], "height", context.preferences),
        allowance=show(RECOVERY_ALLOWANCE, "height", context.preferences),
    )


def keeps_gate(practice) -> bool:
    """Tell whether the final begins at the gate or above it."""
    return any(call.key == "final" and call.height >= GATE_HEIGHT for call in practice.callouts)


def _lined_up(practice, context):
    """Say where the final begins, and whether that is above the gate."""
    final = [call for call in practice.callouts if call.key == "final"]
    if not final:
        return say_it(context, "say.not_lined_up")
    values = {
        "altitude": height_text(context, final[0].altitude),
        "time": show(final[0].time, "time_s", context.preferences),
    }
    if keeps_gate(practice):
        return say_it(context, "say.lined_up", **values)
    return say_it(context, "say.below_gate", **values)


def _grows(practice, context):
    preferences = context.preferences
    values = {
        "line": height_text(context, practice.line_altitude),
        "radius": show(practice.turn_radius, "distance_ft", preferences, digits=-1),
        "at_field": show(practice.turn_radius_at_field, "distance_ft", preferences, digits=-1),
    }
    faster, wider = practice.speed_ratio, practice.turn_radius / practice.turn_radius_at_field
    if faster < 1.0:
        return say_it(context, "say.lower", **values)
    return say_it(
        context,
        "say.grows",
        faster=show(faster - 1.0, "percent", preferences),
        wider=show(wider - 1.0, "percent", preferences),
        **values,
    )


def _end(practice, context):
    """Say what the round-out and the float would have added at the field."""
    before = MARK - practice.approach.touchdown.x
    if not before > TOLD:  # nor where the height is never passed
        return ""
    distance = show(before, "distance_ft", context.preferences, digits=-1)
    return say_it(context, "say.end", distance=distance)
