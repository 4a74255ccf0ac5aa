"""Small questions of the kinds "mark", "set" and "judge", for tests and for authors to look at.

They ask for plain geometry, so that every number can be checked by hand; a question of a lesson
calls the models instead. Their texts stand below each of them as they would stand in a file of
``lessonkit/words/en``.
"""

from types import SimpleNamespace

from lessonkit.exercises import (
    Aspect,
    Fact,
    Mark,
    Misconception,
    Question,
    Setting,
    Tolerance,
    Variable,
    remembered,
)
from lessonkit.exercises.picture import (
    Label,
    Line,
    Picture,
    PictureAxes,
    Points,
    runway_from_above,
)
from lessonkit.units import m_from_ft, m_from_nm

AIRPLANE = SimpleNamespace(card=SimpleNamespace(name="Sample <b>", entries={"a": 1}))
RUNWAY, AIMING_POINT = 900.0, 150.0  # m


def plan_axes():
    """Return a plan view with left traffic: y grows downward, and is shown from zero upward."""
    return PictureAxes(
        "plan",
        x=(-2000.0, 2000.0),
        y=(400.0, -1600.0),
        x_kind="distance_nm",
        y_kind="distance_nm",
        x_label="along",
        y_label="beside",
        y_sign=-1.0,
        equal=True,
    )


# Mark a point: abeam the aiming point ------------------------------------------------------------


def _downwind(airplane, values):
    y = -values["distance"]
    return Picture(
        axes=(plan_axes(),),
        items=(
            *runway_from_above(RUNWAY, 60.0),
            Points((AIMING_POINT,), (0.0,), role="reference"),
            Label(AIMING_POINT, 0.0, "aiming_point", anchor="middle", offset=(0.0, 24.0)),
            Line((1800.0, -1800.0), (y, y), role="muted"),
        ),
    )


MARK = Question(
    key="abeam_place",
    lesson="sample",
    kind="mark",
    level="understanding",
    quantity="distance_ft",
    tolerance=Tolerance(within=60.0, close=150.0),
    variables=(
        Variable("distance", "distance_nm", m_from_nm(0.4), m_from_nm(0.8), m_from_nm(0.1)),
    ),
    answer=lambda airplane, values: (AIMING_POINT, -values["distance"]),
    picture=_downwind,
    mark=Mark(start=lambda airplane, values: (-1500.0, -300.0)),
    misconceptions=(
        Misconception("far_end", lambda airplane, values: (RUNWAY, -values["distance"])),
        Misconception("on_final", lambda airplane, values: (-values["distance"], 0.0)),
    ),
)

MARK_TEXT = """
[exercise.abeam_place]
title = "Abeam the point"
prompt = "Left traffic, downwind {distance} from the runway. Mark where you are abeam the point."
next = "Look straight out of the left window: the point has to lie there."
solution = "Abeam is straight beside it: {answer}."
source = "Made up for this test."
[exercise.abeam_place.picture]
alt = "A runway from above with its aiming point, and the downwind leg above it."
along = "Along the runway"
beside = "Beside the runway"
aiming_point = "point"
[exercise.abeam_place.hint]
nudge = "What does abeam mean?"
idea = "The point lies straight to your left."
method = "Go from the point across the runway, {distance} out."
[exercise.abeam_place.reply]
correct = "Straight beside the point."
far_end = "{typed} is abeam the far end of the runway."
on_final = "{typed} is on final."
"""


# Set the controls: height and delay that carry a distance -----------------------------------------

RATIO, SINK = 9.0, 3.5  # glide ratio, and the sink during the delay [m/s]


def _carried(airplane, values, settings):
    return RATIO * (settings["height"] - SINK * settings["delay"])


def _glide(airplane, values, settings):
    """Draw the height that is set, not how far it carries."""
    return Picture(
        axes=(
            PictureAxes(
                "side",
                x=(0.0, 4000.0),
                y=(0.0, 500.0),
                x_kind="distance_nm",
                y_kind="height",
                x_label="ahead",
                y_label="height",
            ),
        ),
        items=(
            Points((0.0,), (settings["height"],)),
            Line((values["distance"],) * 2, (0.0, 60.0), role="reference"),
        ),
        height=260.0,
    )


SET = Question(
    key="height_needed",
    lesson="sample",
    kind="set",
    level="application",
    quantity="distance_nm",
    tolerance=Tolerance(within=m_from_nm(0.03), close=m_from_nm(0.1)),
    variables=(
        Variable("distance", "distance_nm", m_from_nm(0.8), m_from_nm(1.6), m_from_nm(0.2)),
    ),
    facts=lambda airplane, values: {"ratio": Fact(RATIO, "ratio")},
    answer=lambda airplane, values: values["distance"],
    settings=(
        Setting(
            "height",
            "height",
            m_from_ft(200.0),
            m_from_ft(2400.0),
            m_from_ft(10.0),
            start=m_from_ft(300.0),
        ),
        Setting("delay", "time_s", 0.0, 10.0, 1.0, start=0.0),
    ),
    outcome=_carried,
    reference=lambda airplane, values: {
        "height": values["distance"] / RATIO + 4.0 * SINK,
        "delay": 4.0,
    },
    picture=_glide,
    misconceptions=(
        Misconception(
            "twice",
            lambda airplane, values, settings: (
                settings["height"] > 1.9 * values["distance"] / RATIO
            ),
            example=lambda airplane, values: {
                "height": 2.0 * values["distance"] / RATIO,
                "delay": 2.0,
            },
        ),
        Misconception(
            "no_delay",
            lambda airplane, values, settings: settings["delay"] < 0.5,
            example=lambda airplane, values: {"height": values["distance"] / RATIO, "delay": 0.0},
            despite=True,
        ),
    ),
)

SET_TEXT = """
[exercise.height_needed]
title = "Height for a distance"
prompt = "Set height and delay so that a glide of {ratio} carries you {distance}."
next = "Divide the distance by the ratio, then add what the delay costs."
solution = "For {answer}: {reference}. The delay of {reference_delay} costs height too."
source = "Made up for this test."
[exercise.height_needed.setting]
height = "Height"
delay = "Delay"
[exercise.height_needed.picture]
alt = "The height you start from, and the place to reach."
ahead = "Distance ahead"
height = "Height"
[exercise.height_needed.hint]
nudge = "What carries you?"
idea = "Height times ratio."
method = "Divide {distance} by {ratio}."
[exercise.height_needed.reply]
correct = "{outcome}, as asked."
twice = "That height carries you twice as far."
no_delay = "Nobody begins without a delay."
"""


# Judge a flight: height and distance abeam ------------------------------------------------------

PLANNED_HEIGHT, PLANNED_DISTANCE = m_from_ft(1000.0), m_from_nm(0.6)


@remembered
def _flown(airplane, values):
    """Return the flight that is shown: a lesson flies the models here."""
    return SimpleNamespace(height=values["height"], distance=values["distance"])


def _verdicts(airplane, values):
    flight = _flown(airplane, values)
    height, distance = flight.height - PLANNED_HEIGHT, flight.distance - PLANNED_DISTANCE
    return {
        "height": "as_planned" if abs(height) < 20.0 else "high" if height > 0.0 else "low",
        "distance": "as_planned" if abs(distance) < 80.0 else "wide" if distance > 0.0 else "tight",
    }


def _seen(airplane, values):
    flight = _flown(airplane, values)
    side = PictureAxes(
        "side",
        x=(-2000.0, 2000.0),
        y=(0.0, 500.0),
        x_kind="distance_nm",
        y_kind="height",
        x_label="along",
        y_label="height",
        share=0.6,
    )
    return Picture(
        axes=(plan_axes(), side),
        items=(
            *runway_from_above(RUNWAY, 60.0),
            Line((1500.0, AIMING_POINT), (-flight.distance, -flight.distance)),
            Line((1500.0, AIMING_POINT), (flight.height, flight.height), axes="side"),
        ),
    )


JUDGE = Question(
    key="abeam_judged",
    lesson="sample",
    kind="judge",
    level="correlation",
    variables=(
        Variable("height", "height", m_from_ft(800.0), m_from_ft(1200.0), m_from_ft(100.0)),
        Variable("distance", "distance_nm", m_from_nm(0.4), m_from_nm(0.8), m_from_nm(0.1)),
    ),
    answer=_verdicts,
    picture=_seen,
    aspects=(
        Aspect("height", ("low", "as_planned", "high")),
        Aspect("distance", ("tight", "as_planned", "wide")),
    ),
    misconceptions=(
        Misconception("looks_right", ("height", "as_planned")),
        Misconception("near_is_safe", ("distance", "as_planned")),
    ),
)

JUDGE_TEXT = """
[exercise.abeam_judged]
title = "Abeam, seen from outside"
prompt = "Planned: 1,000 ft and 0.6 nm abeam. Judge the downwind that is shown."
next = "Read the numbers at the axes."
solution = "Abeam at {height} and {distance}.\\n{answer}"
source = "Made up for this test."
[exercise.abeam_judged.aspect]
height = "Height abeam"
distance = "Distance abeam"
[exercise.abeam_judged.option]
low = "Too low"
as_planned = "As planned"
high = "Too high"
tight = "Too close"
wide = "Too wide"
[exercise.abeam_judged.why]
height = "The side view shows {height}; planned were 1,000 ft."
distance = "The plan view shows {distance}; planned were 0.6 nm."
[exercise.abeam_judged.picture]
alt = "A downwind leg from above and from the side."
along = "Along the runway"
beside = "Beside the runway"
height = "Height"
[exercise.abeam_judged.hint]
nudge = "Which view shows which?"
idea = "Height stands in the side view, distance in the plan view."
method = "You see {height} and {distance}."
[exercise.abeam_judged.reply]
correct = "{height} and {distance}: read as it is."
looks_right = "The line looks like the planned one, and it is at {height}."
near_is_safe = "The distance is {distance}, not 0.6 nm."
"""

QUESTIONS = (MARK, SET, JUDGE)
TEXTS = MARK_TEXT + SET_TEXT + JUDGE_TEXT
