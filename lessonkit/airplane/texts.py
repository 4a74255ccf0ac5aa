"""An airplane as plain lines and as JSON: what the command prints."""

from lessonkit.airplane.airplane import Airplane
from lessonkit.airplane.number_page import groups, numbers
from lessonkit.words import KINDS, Preferences, say, say_all, show, to_shown, unit_of
from lessonkit.words.numbers import rounded


def origin_text(origin: str, preferences: Preferences | None = None) -> str:
    """Return the mark that stands behind a number.

    Examples
    --------
    >>> origin_text("rule of thumb")
    'rule of thumb'
    """
    return say(f"card.origin.{origin.replace(' ', '_')}", preferences=preferences)


def airplane_text(airplane: Airplane, preferences: Preferences | None = None) -> list[str]:
    """Return the numbers of an airplane as lines of plain text.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences, optional
        Units, decimal mark, language; the units of the card without it.

    Returns
    -------
    list of str
        Headings, one line per number with unit and origin, the fit, the estimates, the caution.
    """
    preferences = preferences or airplane.card.preferences()
    lines = [airplane.name, *_head(airplane, preferences)]
    page = numbers(airplane, preferences)
    for group in groups():
        lines += ["", say(f"card.numbers.{group}", preferences=preferences)]
        lines += [_line(one, preferences) for one in page if one.group == group]
    lines += ["", say("card.text.fit", preferences=preferences)]
    lines += [_row(row, preferences) for row in airplane.report.rows]
    lines += [say("card.text.estimate", sentence=airplane.report.summary, preferences=preferences)]
    lines += ["", say("card.text.estimates", preferences=preferences)]
    lines += [
        say("card.text.estimate", sentence=estimate.said(preferences), preferences=preferences)
        for estimate in airplane.estimates
    ]
    lines += ["", say("card.text.caution", preferences=preferences)]
    lines += [f"  {sentence}" for sentence in say_all("common.caution", preferences=preferences)]
    return lines


def _head(airplane, preferences):
    yield say(
        "card.text.today",
        mass=show(airplane.mass_today, "mass", preferences),
        max=show(airplane.card.value("weights.max"), "mass", preferences),
        preferences=preferences,
    )
    has_table = airplane.shown_speed(30.0)[1] == "IAS"
    yield say("card.text.dial" if has_table else "card.text.no_dial", preferences=preferences)


def _line(number, preferences):
    value = say("card.text.not_stated", preferences=preferences)
    if number.value is not None:
        value = show(number.value, number.kind, preferences)
        value = f"{value} {number.airspeed}" if number.airspeed else value
    return say(
        "card.text.line",
        label=number.label,
        value=value,
        origin=origin_text(number.origin, preferences),
        preferences=preferences,
    )


def _row(row, preferences):
    # Rows of speeds compare calibrated airspeeds.
    given, returned = (
        show(value, row.kind, preferences, digits=1) + (" CAS" if row.kind == "speed" else "")
        for value in (row.given, row.returned)
    )
    text = say(
        "card.text.row",
        label=row.label,
        given=given,
        returned=returned,
        preferences=preferences,
    )
    left_out = say("card.text.left_out", preferences=preferences)
    return f"{text} {left_out}" if row.left_out else text


def airplane_json(airplane: Airplane, preferences: Preferences | None = None) -> dict:
    """Return the numbers of an airplane as plain data with an explicit unit at each number.

    Parameters
    ----------
    airplane : Airplane
    preferences : Preferences, optional
        Units; those of the card without it.

    Returns
    -------
    dict
        ``name``, ``weight_today``, ``numbers`` (each with key, label, value, unit, origin and
        airspeed), ``fit`` (rows with what went in and what comes back), ``fit_summary``,
        ``estimates`` and ``caution``.
    """
    preferences = preferences or airplane.card.preferences()
    return {
        "name": airplane.name,
        "weight_today": _value(airplane.mass_today, "mass", preferences),
        "numbers": [
            {
                "key": number.key,
                "label": _plain_spaces(number.label),
                **_value(number.value, number.kind, preferences),
                "origin": number.origin,
                "airspeed": number.airspeed,
            }
            for number in numbers(airplane, preferences)
        ],
        "fit": [_json_row(row, preferences) for row in airplane.report.rows],
        "fit_summary": _plain_spaces(airplane.report.summary),
        "estimates": [_plain_spaces(one.said(preferences)) for one in airplane.estimates],
        "caution": say_all("common.caution", preferences=preferences),
    }


def _json_row(row, preferences):
    given, returned = (_value(value, row.kind, preferences) for value in (row.given, row.returned))
    return {
        "key": row.key,
        "label": _plain_spaces(row.label),
        "given": given["value"],
        "returned": returned["value"],
        "unit": given["unit"],
        "residual_percent": round(100.0 * row.residual, 2),
        "left_out": row.left_out,
    }


def _value(value, kind, preferences):
    """Return a number in the unit in which it is shown, with one digit more than is shown."""
    unit = unit_of(kind, preferences)
    if value is None:
        return {"value": None, "unit": unit}
    shown = float(to_shown(value, kind, preferences))
    return {"value": float(rounded(shown, KINDS[kind].digits + 1)), "unit": unit}


def _plain_spaces(text):
    return text.replace("\u00a0", " ")
