"""Panel: the same roll at many speeds, and which cue grows as the airplane slows."""

import numpy as np

from lessonkit.lessons.coordination.demand_flights import CUES, Demand, DemandBench
from lessonkit.lessons.coordination.demand_picture import draw, draw_reference, make_scene, views
from lessonkit.lessons.coordination.panel_parts import number
from lessonkit.panels import Control, Panel, Prediction
from lessonkit.units import mps_from_kt
from lessonkit.words import say, show

WORDS = "rudder_demand"
MORE = ("bank", "time", "power")
NAMED = ("bank", "time")  # labels that begin no sentence
ASKED = ("sideslip", "swing", "ball", "load")  # the cues that may be predicted to grow most
GROWS, SHRINKS = 1.25, 0.8  # times its own value: less than that is "much the same"


def demand_by_speed(context) -> Panel:
    """Return the panel that holds one roll at every speed against the same roll in cruise."""
    bench = DemandBench(context)
    outside = views(context)

    def show_asked(scene, demand, values):
        # The curves would answer the question; the full run follows the answer.
        draw_reference(scene, outside, bench, demand, context)
        return say(f"{WORDS}.story.asked", preferences=context.preferences)

    def show_demand(scene, demand, values):
        draw(scene, outside, bench, demand, values["speed"], context)
        return sentence(bench, demand, values, context)

    return Panel(
        context,
        "demand_by_speed",
        title=say(f"{WORDS}.title", preferences=context.preferences),
        scene=make_scene(bench, context),
        controls=[_control(bench, context, "speed")],
        more=[_control(bench, context, key) for key in MORE],
        compute=bench.draft,
        full=bench.full,
        draw=show_demand,
        draw_asked=show_asked,
        prediction=_prediction(bench, context),
        grabs={"speed": lambda event: {"speed": event.x}},
    )


def _control(bench, context, key) -> Control:
    places = {
        "speed": ("speed", bench.slowest, bench.fastest, mps_from_kt(1.0)),
        "bank": ("bank", 5.0, 20.0, 1.0),
        "time": ("time_s", 2.0, 4.0, 0.5),
        "power": ("percent", 0.0, 1.0, 0.05),
    }
    return number(context, WORDS, key, bench.start[key], places[key], key in NAMED)


def grows_most(demand: Demand, cues=CUES, speed: float | None = None) -> str:
    """Return the cue that grows most from the fastest speed to a speed, or over all speeds."""

    def growth(cue):
        whole = demand.growth(cue, speed)
        return -1.0 if np.isnan(whole).all() else float(np.nanmax(whole))

    return max(cues, key=growth)


def sentence(bench: DemandBench, demand: Demand, values, context) -> str:
    """Return the live sentence: what grows most, what stays, and where controls run out."""
    preferences, speed = context.preferences, values["speed"]

    def words(key, **more):
        return say(f"{WORDS}.story.{key}", preferences=preferences, **more)

    slow, fast = (show(v, "speed", preferences) for v in (speed, bench.fastest))
    if speed > 0.97 * bench.fastest:
        return words("reference", fast=fast)
    if np.isnan(demand.growth("sideslip", speed)):
        return words("full_aileron", slow=slow)
    parts = [
        _growing(demand, speed, slow, fast, context),
        _felt(demand, speed, context),
        _caution(bench, demand, speed, words),
    ]
    return " ".join(part for part in parts if part)


def _growing(demand, speed, slow, fast, context):
    """Name the two cues that grow most, and the pedal that the aileron needs."""
    preferences = context.preferences

    def named(cue):
        return say(f"{WORDS}.name.{cue}", preferences=preferences)

    most = grows_most(demand, CUES, speed)
    second = grows_most(demand, [cue for cue in CUES if cue not in (most, "pedal")], speed)
    values = {
        "slow": slow,
        "fast": fast,
        "most": named(most),
        "most_times": _times(demand, most, speed, preferences),
        "second": named(second),
        "second_times": _times(demand, second, speed, preferences),
    }
    text = say(f"{WORDS}.story.grows", preferences=preferences, **values)
    if most == "pedal" or np.isnan(demand.growth("pedal", speed)):
        return text
    pedal = _times(demand, "pedal", speed, preferences)
    return f"{text} {say(f'{WORDS}.story.pedal', preferences=preferences, times=pedal)}"


def _felt(demand, speed, context):
    """Say what ball and seat do meanwhile."""
    preferences = context.preferences
    ball, push = (trend(demand.growth(cue, speed)) for cue in ("ball", "per_degree"))
    texts = [
        say(
            f"{WORDS}.story.ball.{ball}",
            times=_times(demand, "ball", speed, preferences),
            preferences=preferences,
        ),
        say(
            f"{WORDS}.story.push.{push}",
            times=_times(demand, "per_degree", speed, preferences),
            preferences=preferences,
        ),
    ]
    return " ".join(texts)


def _times(demand, cue, speed, preferences):
    return show(demand.growth(cue, speed), "number", preferences, digits=1)


def trend(times: float) -> str:
    """Return "grows", "same" or "falls" for a value over its own value in cruise.

    Examples
    --------
    >>> trend(2.0), trend(1.1), trend(0.4)
    ('grows', 'same', 'falls')
    """
    return "grows" if times > GROWS else "falls" if times < SHRINKS else "same"


def _caution(bench, demand, speed, words):
    if np.isnan(demand.growth("pedal", speed)):
        return words("full_pedal")
    if bench.stall is None:
        return words("no_stall")
    if bench.warning is not None and speed < bench.warning:
        return words("warning")
    return ""


def _slowest_flown(demand):
    """Return the slowest speed at which the roll could be flown."""
    return float(demand.speed[np.isfinite(demand.cues["sideslip"])][0])


def _prediction(bench, context) -> Prediction:
    """Ask which of four cues grows most as the airplane slows."""
    preferences = context.preferences

    def outcome(demand: Demand) -> str:
        most = grows_most(demand, ASKED)
        return say(
            f"{WORDS}.outcome",
            cue=say(f"{WORDS}.name.{most}", preferences=preferences),
            times=_times(demand, most, _slowest_flown(demand), preferences),
            slow=show(_slowest_flown(demand), "speed", preferences),
            fast=show(bench.fastest, "speed", preferences),
            preferences=preferences,
        )

    return Prediction(
        say(
            f"{WORDS}.question",
            slow=show(bench.slowest, "speed", preferences),
            fast=show(bench.fastest, "speed", preferences),
            preferences=preferences,
        ),
        choices=[(key, say(f"{WORDS}.answer.{key}", preferences=preferences)) for key in ASKED],
        outcome=outcome,
    )
