"""The kneeboard card: the power-off approach practised at altitude over a line on the ground.

One sheet on its side, folded in the middle into two halves of about 5.5 by 8.5 inches (A5): what
is agreed on the ground, and what is flown, in large type.
"""

import math
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from lessonkit.airplane import Airplane
from lessonkit.airplane.schema import CAS
from lessonkit.models.standards import tolerance
from lessonkit.prints.markup import Markup, element, table
from lessonkit.prints.shell import Head, caution, document, running_head
from lessonkit.units import mps_from_kt
from lessonkit.words import Preferences, say, show

if TYPE_CHECKING:
    from lessonkit.models.altitude_practice import AltitudePractice
    from lessonkit.models.wind_profile import Wind

TRIES = 3  # lines of the table that is filled in by hand
NOTES = 2  # empty lines to write on
CARBURETTOR = "carburettor"
# Sentences of each part; a name that begins with "heat" is for a carburettor only.
_PARTS = {
    "before": ("checked", "controls", "handover", "clearing", "area", "altimeter"),
    "engine": ("heat", "close", "clear"),
    "go_around": ("when", "power", "heat_cold", "flaps"),
    "result": ("made", "missed"),
}


def kneeboard_card(
    airplane: Airplane,
    practice: "AltitudePractice",
    preferences: Preferences | None = None,
    paper: str = "",
    dated: str = "",
    wind: "Wind | None" = None,
) -> str:
    """Return the kneeboard card as a whole HTML text.

    Parameters
    ----------
    airplane : Airplane
    practice : AltitudePractice
        Altitudes, headings and callouts; speeds and flaps are those of the plan that it flew.
    preferences : Preferences, optional
        Units, decimal mark, language; the card's own units without it.
    paper : {"letter", "A4"}
        The one of the preferences without it; laid on its side.
    dated : str
        The date; a line to write it on without one.
    wind : Wind, optional
        The wind that the callouts were computed with, to be named; not named without it.

    Returns
    -------
    str
    """
    preferences = preferences or airplane.card.preferences()
    title = say("prints.kneeboard.title", preferences=preferences)
    head = Head(title, (airplane.name,), dated)
    return document(
        head,
        element(
            "div",
            element("section", *_briefing(head, airplane, practice, preferences), css="half"),
            element(
                "section", *_flying(head, airplane, practice, wind, preferences), css="half fly"
            ),
            css="halves",
        ),
        paper=paper,
        preferences=preferences,
        landscape=True,
        bare=True,
    )


def _briefing(head, airplane, practice, preferences) -> Iterator[Markup]:
    """Give the half that is gone through on the ground."""
    yield running_head(head, preferences)
    yield caution(preferences)
    values = _values(practice, preferences)
    carburettor = airplane.card.text("engine.induction") == CARBURETTOR
    for part, names in _PARTS.items():
        yield element("h2", say(f"prints.kneeboard.{part}.title", preferences=preferences))
        lines = (
            say(f"prints.kneeboard.{part}.{name}", preferences=preferences, **values)
            for name in names
            if carburettor or not name.startswith("heat")
        )
        yield element("ul", *(_tick(line) for line in lines), css="ticks")


def _tick(line: str) -> Markup:
    """Return a line with a box; three underscores become room to write."""
    parts = line.split("___")
    written = [parts[0]]
    for part in parts[1:]:
        written += [element("span", css="blank name"), part]
    return element("li", element("span", css="box"), element("span", *written))


def _values(practice: "AltitudePractice", preferences: Preferences) -> Mapping[str, str]:
    """Return the figures that sentences of the card name."""
    final = tolerance("private", "normal_landing", "airspeed_kt")
    return {
        "line": show(practice.line_altitude, "height", preferences),
        "floor": show(practice.floor_altitude, "height", preferences),
        "go_around": show(practice.go_around_altitude, "height", preferences),
        "ground": show(practice.ground_elevation, "height", preferences),
        "crossing": _crossing(practice, preferences),
        "fast": show(mps_from_kt(final.high), "speed", preferences, sign=True),
        "slow": show(mps_from_kt(final.low), "speed", preferences, sign=True),
    }


def _crossing(practice, preferences):
    """Say where a good approach passes the runway's altitude: at the field the float follows."""
    flown = practice.approach
    before = flown.plan.mark_x - flown.touchdown.x
    if not math.isfinite(before):
        return say("prints.kneeboard.crossing.none", preferences=preferences)
    key = "before" if before >= 0.0 else "beyond"
    distance = show(abs(before), "distance_ft", preferences, digits=-1)
    return say(f"prints.kneeboard.crossing.{key}", distance=distance, preferences=preferences)


def _flying(head, airplane, practice, wind, preferences) -> Iterator[Markup]:
    """Give the half that is looked at in flight: altitudes, callouts, speeds and flaps."""
    yield element(
        "div",
        element("h1", say("prints.kneeboard.fly", preferences=preferences)),
        *(element("span", detail, css="detail") for detail in head.details),
        css="head",
    )
    yield _altitudes(practice, preferences)
    yield _callouts(practice, preferences)
    yield element("p", " ".join(_notes(practice, wind, preferences)), css="note")
    yield _legs(airplane, practice.approach.plan, preferences)
    if airplane.shown_speed(practice.approach.plan.downwind_cas)[1] == CAS:
        yield element("p", say("prints.kneeboard.cas", preferences=preferences), css="note")
    yield _tries(preferences)
    yield element("h2", say("prints.kneeboard.notes", preferences=preferences))
    yield element("div", *(element("div", css="rule") for _ in range(NOTES)), css="rules")


def _altitudes(practice, preferences):
    """Return the four altitudes in the largest type, from the highest to the lowest."""
    named = (
        ("start", practice.start_altitude),
        ("go_around", practice.go_around_altitude),
        ("line", practice.line_altitude),
        ("floor", practice.floor_altitude),
    )
    boxes = (
        element(
            "div",
            element("span", say(f"prints.kneeboard.altitude.{name}", preferences=preferences)),
            element("strong", show(altitude, "height", preferences)),
        )
        for name, altitude in named
    )
    return element("div", *boxes, css="altitudes")


def _callouts(practice, preferences):
    heads = [
        say(f"prints.kneeboard.callout.{name}", preferences=preferences)
        for name in ("point", "time", "height", "altitude", "heading")
    ]
    rows = [
        (
            say(f"prints.kneeboard.point.{one.key}", preferences=preferences),
            show(one.time, "time_s", preferences),
            show(one.height, "height", preferences, digits=-1),
            element("strong", show(one.altitude, "height", preferences, digits=-1)),
            show(one.heading_deg, "heading_deg", preferences),
        )
        for one in practice.callouts
    ]
    return table(heads, rows, css="numbers large")


def _notes(practice, wind, preferences):
    """Give what is different up here, and the wind that the callouts hold for."""
    values = {
        "radius": show(practice.turn_radius, "distance_ft", preferences, digits=-1),
        "radius_at_field": show(
            practice.turn_radius_at_field, "distance_ft", preferences, digits=-1
        ),
        "time": show(practice.time, "time_s", preferences),
        "time_at_field": show(practice.time_at_field, "time_s", preferences),
    }
    yield say("prints.kneeboard.wider", preferences=preferences, **values)
    if wind is None:
        return
    if wind.along == 0.0 == wind.across:
        yield say("prints.kneeboard.still", preferences=preferences)
        return
    yield say(
        "prints.kneeboard.wind",
        headwind=show(-wind.along, "wind_speed", preferences),
        crosswind=show(wind.across, "wind_speed", preferences),
        preferences=preferences,
    )


def _legs(airplane, plan, preferences):
    """Return speed on the dial and flaps of each leg, as planned."""
    heads = [
        say(f"prints.kneeboard.leg.{name}", preferences=preferences)
        for name in ("leg", "speed", "flaps")
    ]
    legs = (
        ("downwind", plan.downwind_cas, plan.downwind_flap_deg),
        ("base", plan.base_cas, plan.base_flap_deg),
        ("final", plan.final_cas, plan.final_flap_deg),
    )
    rows = []
    for name, cas, flap in legs:
        speed, kind = airplane.shown_speed(cas, flap)
        rows.append(
            (
                say(f"prints.kneeboard.leg.{name}", preferences=preferences),
                element("strong", f"{show(speed, 'speed', preferences)} {kind}"),
                show(flap, "flap_deg", preferences),
            )
        )
    return table(heads, rows, css="numbers large")


def _tries(preferences):
    """Return a table with empty lines: what was flown, and whether it was made."""
    heads = [
        say(f"prints.kneeboard.tries.{name}", preferences=preferences)
        for name in ("number", "altitude", "speed", "along", "made")
    ]
    rows = [(str(number), "", "", "", "") for number in range(1, TRIES + 1)]
    return table(heads, rows, css="numbers tries")
