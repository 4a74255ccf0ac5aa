"""Which figures of a card contradict each other, and what is the likely slip."""

from lessonkit.airplane.airspeed_correction import cas_of
from lessonkit.airplane.card import Card
from lessonkit.airplane.in_flight_checks import in_flight_contradictions
from lessonkit.airplane.schema import FIELD_AT
from lessonkit.models.parameters import Parameters
from lessonkit.models.stall import maximum_lift_coefficient, stall_speed_at_weight
from lessonkit.units import lb_from_kg, m2_from_ft2, m_from_ft
from lessonkit.words import say, show

ASPECT_RATIO = (4.0, 14.0)  # light single-engine airplanes; common practice, no source
WING_LOADING_LB_FT2 = (5.0, 35.0)  # the same
# Beyond these no typing slip or position error can be forgiven; the fit's own bounds are nearer.
IMPOSSIBLE_LIFT = (0.7, 4.0)
LIGHTEST = 0.5  # of the greatest weight; common practice, no source
SAME_SPEED = 1.02  # two printed speeds are the same within 2 %
SAME_GLIDE = 1.05  # two printed glide figures are the same within 5 %


def contradictions(card: Card) -> list[str]:
    """Return one sentence per contradiction between figures of a card.

    Parameters
    ----------
    card : Card

    Returns
    -------
    list of str
        Empty when the figures agree. Each sentence names both figures and the likely slip.
    """
    found = []
    for look in _LOOKS:
        found.extend(look(card))
    return found


def _say(card, key, **figures):
    """Fill a sentence with figures in the units of the card."""
    words = {}
    preferences = card.preferences()
    for name, (value, kind) in figures.items():
        digits = 1 if kind in ("speed", "ratio") and not _whole(value, kind, preferences) else None
        words[name] = show(value, kind, preferences, digits=digits)
    return say(f"card.contradiction.{key}", **words)


def _whole(value, kind, preferences):
    return show(value, kind, preferences, digits=1, unit=False)[-1:] == "0"


def _weights(card):
    greatest, empty, today = (card.value(f"weights.{name}") for name in ("max", "empty", "today"))
    if empty is not None and empty >= greatest:
        yield _say(card, "empty_max", empty=(empty, "mass"), max=(greatest, "mass"))
    if today is not None and today > greatest * 1.0001:
        yield _say(card, "today_max", today=(today, "mass"), max=(greatest, "mass"))
    if today is not None and today < LIGHTEST * greatest:
        yield _say(card, "today_light", today=(today, "mass"), max=(greatest, "mass"))
    if today is not None and empty is not None and today < empty:
        yield _say(card, "today_empty", today=(today, "mass"), empty=(empty, "mass"))


def _wing(card):
    area, span, mass = (card.value(p) for p in ("wing.area", "wing.span", "weights.max"))
    ratio = aspect_ratio_of(card)
    if not ASPECT_RATIO[0] <= ratio <= ASPECT_RATIO[1]:
        yield _say(
            card, "aspect", span=(span, "span"), area=(area, "area"), aspect=(ratio, "number")
        )
    loading = lb_from_kg(mass) / (area / m2_from_ft2(1.0))
    if not WING_LOADING_LB_FT2[0] <= loading <= WING_LOADING_LB_FT2[1]:
        yield _say(card, "loading", mass=(mass, "mass"), area=(area, "area"))


def _comparable(card, first, second, first_flap=0.0, second_flap=0.0):
    """Return two speeds of the same kind: both in CAS if known, else as printed, else None."""
    a, b = card.figure(first), card.figure(second)
    if a is None or b is None:
        return None
    corrected = cas_of(card, a, first_flap), cas_of(card, b, second_flap)
    if None not in corrected:
        return corrected
    return (a.value, b.value) if a.airspeed == b.airspeed else None


def _stalls(card):
    low, high = card.figure("speeds.VS0"), card.figure("speeds.VS1")
    pair = _comparable(card, "speeds.VS0", "speeds.VS1", card.flap_deg[-1])
    if pair is None:
        return
    at_max = card.value("weights.max")
    flaps_down, flaps_up = (
        float(stall_speed_at_weight(speed, card.mass_of(figure), at_max))
        for speed, figure in zip(pair, (low, high), strict=True)
    )
    if flaps_down > flaps_up:
        yield _say(card, "stalls_swapped", vs0=(low.value, "speed"), vs1=(high.value, "speed"))


def _lift(card):
    for path, flap in (("speeds.VS1", 0.0), ("speeds.VS0", card.flap_deg[-1])):
        figure = card.figure(path)
        speed = cas_of(card, figure, flap)
        if speed is None:
            continue
        mass = card.mass_of(figure)
        lift = float(maximum_lift_coefficient(speed, mass, card.value("wing.area")))
        if not IMPOSSIBLE_LIFT[0] <= lift <= IMPOSSIBLE_LIFT[1]:
            yield _say(
                card,
                "lift_low" if lift < IMPOSSIBLE_LIFT[0] else "lift_high",
                speed=(figure.value, "speed"),
                mass=(mass, "mass"),
                area=(card.value("wing.area"), "area"),
                lift=(lift, "number"),
            )


# Slower figure, faster figure: the first may not be above the second.
_ORDERS = (
    ("speeds.VS0", "speeds.VFE"),
    ("speeds.VS1", "speeds.VA"),
    ("speeds.VS1", "speeds.VY"),
    ("speeds.VS1", "glide.speed"),
    ("speeds.VS0", "approach.final"),
    ("speeds.VS0", "approach.base"),
    ("speeds.VS1", "approach.downwind"),
    ("approach.final", "approach.downwind"),
    ("approach.final", "speeds.VFE"),
    ("second_glide.speed", "speeds.VA"),
)
_WITH_FLAPS = ("speeds.VS0", "speeds.VFE", "approach.final")  # read with the flaps-down table


def _speed_order(card):
    for slower, faster in _ORDERS:
        flaps = (card.flap_deg[-1] if path in _WITH_FLAPS else 0.0 for path in (slower, faster))
        pair = _comparable(card, slower, faster, *flaps)
        if pair is None or pair[0] <= pair[1]:
            continue
        words = {
            "slower": say(FIELD_AT[slower].label_key),
            "faster": say(FIELD_AT[faster].label_key),
        }
        preferences = card.preferences()
        first, second = card.value(slower), card.value(faster)
        yield say(
            "card.contradiction.order",
            slower_value=show(first, "speed", preferences),
            faster_value=show(second, "speed", preferences),
            **words,
        )


def _glides(card):
    ratio, distance = card.value("glide.ratio"), card.value("glide.distance_per_1000_ft")
    if ratio is not None and distance is not None:
        from_distance = glide_ratio_of_distance(distance)
        if not 1.0 / SAME_GLIDE <= from_distance / ratio <= SAME_GLIDE:
            yield _say(
                card,
                "glide_pair",
                ratio=(ratio, "ratio"),
                distance=(distance, "distance_nm"),
                other=(from_distance, "ratio"),
            )
    flap = card.value("glide.flap")
    if flap is not None and flap not in card.flap_deg:
        yield _say(card, "glide_flap", flap=(flap, "flap_deg"))
    given = [card.value(f"second_glide.{name}") for name in ("weight", "speed", "ratio")]
    if any(value is not None for value in given):
        if given[0] is None or (given[1] is None and given[2] is None):
            yield say("card.contradiction.second_glide")
        elif given[0] > card.value("weights.max"):
            yield _say(
                card,
                "second_weight",
                weight=(given[0], "mass"),
                max=(card.value("weights.max"), "mass"),
            )


def aspect_ratio_of(card: Card) -> float:
    """Return span squared over wing area."""
    area, span, mass = card.value("wing.area"), card.value("wing.span"), card.value("weights.max")
    return Parameters(mass, area, span, 1.0, (0.0,), (0.03,), (0.7,), (1.5,)).aspect_ratio


def glide_ratio_of_distance(distance: float) -> float:
    """Return the glide ratio of a distance for 1,000 ft of height.

    Parameters
    ----------
    distance : float
        Still-air distance. [m]

    Returns
    -------
    float
        Distance over height. [-]

    Examples
    --------
    >>> from lessonkit.units import m_from_nm
    >>> round(glide_ratio_of_distance(m_from_nm(1.5)), 2)
    9.11
    """
    return distance / m_from_ft(1000.0)


def _flap_lists(card):
    ends = (("speeds.VS1", 0), ("speeds.VS0", -1))
    stalls = card.per_flap("flaps.stall_speeds")
    for path, index in ends:
        single, listed = card.figure(path), stalls[index]
        if listed is None or single.airspeed != listed.airspeed or single.mass is not None:
            continue
        if not 1.0 / SAME_SPEED <= listed.value / single.value <= SAME_SPEED:
            yield say(
                "card.contradiction.list_end",
                label=say(FIELD_AT[path].label_key),
                single=show(single.value, "speed", card.preferences()),
                listed=show(listed.value, "speed", card.preferences()),
            )
    known = [one.value for one in stalls if one is not None]
    if known != sorted(known, reverse=True):
        yield say("card.contradiction.stalls_rising")
    ratios = [one.value for one in card.per_flap("flaps.glide_ratios") if one is not None]
    if ratios != sorted(ratios, reverse=True):
        yield say("card.contradiction.ratios_rising")


def _others(card):
    idle, cruise = card.value("engine.idle_rpm"), card.value("engine.cruise_rpm")
    if idle is not None and cruise is not None and idle >= cruise:
        yield _say(card, "rpm", idle=(idle, "rpm"), cruise=(cruise, "rpm"))
    roll, over = card.value("landing.ground_roll"), card.value("landing.over_50_ft")
    if roll is not None and over is not None and roll >= over:
        yield _say(card, "landing", roll=(roll, "runway_length"), over=(over, "runway_length"))


_LOOKS = (
    *(_weights, _wing, _stalls, _lift, _speed_order, _glides, _flap_lists, _others),
    in_flight_contradictions,
)
