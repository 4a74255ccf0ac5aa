"""What the questions of this lesson share: variables, dial speeds, the polar, the bench flown.

Glides are in standard air at sea level, where true and calibrated airspeed are the same, with the
propeller idling and at today's weight; flown approaches are those of the bench on this page.
"""

from types import SimpleNamespace

from lessonkit.airplane import built_in_airfield
from lessonkit.exercises import Fact, Phrase, Variable, remembered
from lessonkit.exercises.picture import PictureAxes
from lessonkit.lessons.power_off_approach.flights import AIM, Bench
from lessonkit.models.approach_planning import plan_touchdown
from lessonkit.models.atmosphere import SEA_LEVEL_DENSITY
from lessonkit.models.power_off_approach import DRAFT_STEP
from lessonkit.units import ft_from_m, m_from_ft, mps_from_kt

LESSON = "power_off_approach"
SHOWN_LENGTH, SHOWN_WIDTH = m_from_ft(3000.0), 60.0  # runway of the pictures [m]


def ft(key, low_ft, high_ft, step_ft):
    """Return a height that is drawn."""
    return Variable(key, "height", m_from_ft(low_ft), m_from_ft(high_ft), m_from_ft(step_ft))


def kt(key, low_kt, high_kt, step_kt):
    """Return a wind that is drawn."""
    return Variable(
        key, "wind_speed", mps_from_kt(low_kt), mps_from_kt(high_kt), mps_from_kt(step_kt)
    )


def dial(airplane, cas, flap_deg=0.0):
    """Return what the airspeed indicator shows, for the texts."""
    speed, kind = airplane.shown_speed(cas, flap_deg)
    return Fact(speed, "speed", suffix=kind)


def wind(speed):
    """Return a wind for the texts: in knots, and in the learner's unit where that differs."""
    return Fact(speed, "wind_speed", also=Fact(speed, "speed"))


def wind_on_final(speed):
    """Return the wind of an approach, such as "4 kt of headwind on final" or "calm air"."""
    if speed == 0.0:
        return Phrase("power_off_approach.exercise.turn_late.wind.calm")
    return Phrase("power_off_approach.exercise.turn_late.wind.ahead", {"headwind": wind(speed)})


def from_the_mark(beyond):
    """Return where the wheels touch against the mark, such as "50 ft short of the mark"."""
    feet = 10.0 * round(ft_from_m(beyond) / 10.0)
    key = "on" if feet == 0.0 else "beyond" if feet > 0.0 else "short"
    return Phrase(
        f"power_off_approach.story.{key}", {"distance": Fact(abs(beyond), "distance_ft", -1)}
    )


def from_the_threshold(x):
    """Return a place on or before the runway, such as "530 ft before the threshold"."""
    key = "beyond" if x >= 0.0 else "before"
    return Phrase(
        f"power_off_approach.exercise.touchdown_from_final.place.{key}",
        {"distance": Fact(abs(x), "distance_ft", -1)},
    )


def polar(airplane, flap_deg=0.0):
    """Return what the glide models take of the airplane as it flies today."""
    flown = airplane.parameters()
    index = flown.flap_deg.index(flap_deg)
    clean = flown.mass, flown.wing_area, flown.aspect_ratio
    return (*clean, flown.cd0[index], flown.oswald[index], SEA_LEVEL_DENSITY)


@remembered
def bench_of(airplane):
    """Return the bench of this page for an airplane, on the invented airfield."""
    return Bench(SimpleNamespace(airplane=airplane, airfield=built_in_airfield()))


def flown(airplane, **changes):
    """Return the flight of the bench with some of its start values changed."""
    bench = bench_of(airplane)
    return bench.draft({**bench.start, **changes})


def plan_view(x, kind, share=1.0, lowest=250.0, highest=1500.0):
    """Return the axes of a pattern from above; distances from the runway count from zero up."""
    side = built_in_airfield().side
    return PictureAxes(
        "plan",
        x=x,
        y=(side * lowest, -side * highest),
        x_kind=kind,
        y_kind=kind,
        x_label="along",
        y_label="beside",
        y_sign=-side,
        equal=True,
        share=share,
    )


def planned_turn(airplane, headwind):
    """Return the base turn, in m past abeam, that fits the bench's approach to a headwind."""
    if headwind == 0.0:
        return bench_of(airplane).start["base_turn"]
    return _turns(airplane, {"headwind": headwind})


@remembered
def _turns(airplane, values):
    bench = bench_of(airplane)
    settings = {**bench.start, **values}
    found = plan_touchdown(
        bench.plan(settings),
        "base_turn_distance",
        (0.0, bench.start["base_turn"]),
        airplane.parameters(),
        bench.wind(settings),
        bench.mark + AIM,
        bench.half_width,
        DRAFT_STEP,
        tries=2,
    )
    return found.value
