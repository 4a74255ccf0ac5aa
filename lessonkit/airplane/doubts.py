"""Figures of a card that can be, but that nobody should fly without a second look."""

from lessonkit.airplane.airspeed_correction import cas_of
from lessonkit.airplane.fit import Estimate, glide_ratio_of
from lessonkit.airplane.schema import FIELD_AT
from lessonkit.words import say

LEAST_FACTOR = 1.2  # of VS0 on the approach: below the 1.3 of FAA-H-8083-3C p. 9-26; our choice
USUAL_RATIO = (6.0, 14.0)  # best glide of light single-engine airplanes; common practice, no source


def doubts_of(airplane) -> tuple[Estimate, ...]:
    """Return one sentence per figure to look at again; the card can be used all the same.

    Parameters
    ----------
    airplane : Airplane

    Returns
    -------
    tuple of Estimate
        Approach speeds near the stall, where both are certain, and an unusual glide ratio.
    """
    return (*_slow_approaches(airplane), *_glide(airplane))


def _slow_approaches(airplane):
    card, mine, landing = airplane.card, airplane.card.preferences(), airplane.landing_flap_deg
    for path, flap in (("approach.base", 0.0), ("approach.final", landing)):
        figure = card.figure(path)
        cas = cas_of(card, figure, flap)
        stall = None if cas is None else airplane.stall_cas(landing, card.mass_of(figure))
        if stall is not None and cas < LEAST_FACTOR * stall:
            values = (
                ("label", say(FIELD_AT[path].label_key)),
                ("speed", (figure.value, "speed")),
                ("airspeed", figure.airspeed),
                ("times", (cas / stall, "number")),
            )
            yield Estimate(path, "slow_approach", mine, values)


def _glide(airplane):
    ratio = glide_ratio_of(airplane.card)
    if not USUAL_RATIO[0] <= ratio <= USUAL_RATIO[1]:
        values = (("ratio", (ratio, "ratio")),)
        yield Estimate("glide.ratio", "unusual_glide", airplane.card.preferences(), values)
