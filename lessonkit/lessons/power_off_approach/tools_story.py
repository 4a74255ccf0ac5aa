"""The live sentence about a tool for error: what it moves, whether that is enough, what to mind."""

import math

from lessonkit.lessons.power_off_approach.story import place
from lessonkit.lessons.power_off_approach.tools_trials import (
    LENGTHEN,
    NO_TOOL,
    SHORTEN,
    Answer,
    Trial,
    enough,
)
from lessonkit.models.approach_review import GATE_HEIGHT, SLOW_CLEAN_BAND, slow_and_clean
from lessonkit.units import m_from_ft
from lessonkit.words import say, show

WORDS = "approach_tools"
KINDS = {
    "from_height": "height",
    "to_height": "height",
    "height": "height",
    "floor": "height",
    "rudder": "percent",
    "excursion": "bank",
    "flap": "flap_deg",
    "seconds": "time_s",
    "speed": "speed",
    "speed_off": "speed",
    "vfe": "speed",
}
TENS = ("from_height", "to_height", "height", "floor")
FULL_RUDDER = 0.995  # as shown, 100 %
SAME = m_from_ft(5.0)  # less than that is no change as shown


def sentence(answer: Answer, context) -> str:
    """Return the live sentence of the panel."""
    words = _Words(context)
    trial = answer.chosen
    parts = [words.where(answer)]
    if trial.refused:
        parts += [words.refused(trial, answer), words.what_then(answer)]
    else:
        parts += [
            words.used(trial, answer),
            *words.verdict(answer, trial),
            words.slow_clean(answer, trial),
            words.gate(answer, trial),
            words.margin(trial, context),
            *words.mind(trial, answer, context),
        ]
    return " ".join(part for part in parts if part)


def question(answer: Answer, context) -> str:
    """Return the sentence while the prediction is still asked: what happens without a tool."""
    words = _Words(context)
    return f"{words.where(answer)} {words.say('which')}"


def moved_text(moved: float, preferences) -> str:
    """Say how far a touchdown moves, such as "640 ft shorter"."""
    if math.isnan(moved):
        return say(f"{WORDS}.moved.unknown", preferences=preferences)
    if abs(moved) < SAME:
        return say(f"{WORDS}.moved.same", preferences=preferences)
    distance = show(abs(moved), "distance_ft", preferences, digits=-1)
    key = "shorter" if moved < 0.0 else "farther"
    return say(f"{WORDS}.moved.{key}", distance=distance, preferences=preferences)


def tool_name(key: str, preferences) -> str:
    """Return the name of a tool."""
    return say(f"{WORDS}.tool.{key}", preferences=preferences)


class _Words:
    """The parts of the sentence."""

    def __init__(self, context):
        self.preferences = context.preferences

    def say(self, key, **values):
        return say(f"{WORDS}.story.{key}", preferences=self.preferences, **values)

    def numbers(self, said):
        """Return the numbers of a trial, as they are shown."""
        return {
            key: show(value, KINDS[key], self.preferences, digits=-1 if key in TENS else None)
            for key, value in (said or {}).items()
            if key in KINDS and value is not None and math.isfinite(value)
        }

    def where(self, answer):
        error, beyond = answer.values["error"], answer.situation.beyond
        values = {
            "error": show(abs(error), "height", self.preferences),
            "moment": say(
                f"{WORDS}.moment.{answer.values['moment']}", preferences=self.preferences
            ),
        }
        if not answer.situation.without.in_line:
            return self.say("where_lost", **values)
        key = "none" if error == 0.0 else "high" if error > 0.0 else "low"
        return self.say(f"where_{key}", where=place(beyond, self.preferences), **values)

    def what(self, trial):
        """Say what is done: the tool and its settings."""
        said = self.numbers(trial.said)
        key = trial.key
        if key == "slip" and trial.said["rudder"] >= FULL_RUDDER:
            key = "slip_full"
        if key == "s_turn" and "height" not in said:
            key = "s_turn_lost"
        return self.say(f"what.{key}", **said)

    def used(self, trial, answer):
        if not trial.result.in_line:
            return self.say("used_lost", what=self.what(trial))
        return self.say(
            "used",
            what=self.what(trial),
            moved=moved_text(trial.moved, self.preferences),
            where=place(
                trial.result.approach.touchdown.x - answer.situation.mark, self.preferences
            ),
            band=show(answer.band, "distance_ft", self.preferences, digits=-1),
        )

    def verdict(self, answer, trial):
        """Weigh the touchdown against the window, and say what is left to do."""
        low, high = answer.window
        beyond = trial.result.approach.touchdown.x - answer.situation.mark
        if not trial.result.in_line:
            yield self.what_then(answer)
        elif low <= beyond <= high:
            yield self.say("inside")
        elif answer.values["error"] == 0.0 and beyond > high:
            yield self.say("wrong_way_none")
        elif answer.values["error"] > 0.0 and trial.key in LENGTHEN and trial.moved > SAME:
            yield self.say("wrong_way_high")
        elif answer.values["error"] < 0.0 and trial.key in SHORTEN and trial.moved < -SAME:
            yield self.say("wrong_way_low")
        elif (beyond < low) == (answer.values["error"] >= 0.0):
            yield self.say("too_much" if beyond < low else "too_far")
        else:
            yield self.say("still_long" if beyond > high else "still_short")
            yield self.more_or_another(answer, trial)

    def slow_clean(self, answer, trial):
        """Say so where the drag of the card is known to be too low."""
        situation = answer.situation
        if not slow_and_clean(trial.result.approach, situation.parameters, situation.wind):
            return ""
        band = max(SLOW_CLEAN_BAND, answer.band)
        return self.say("slow_clean", band=show(band, "distance_ft", self.preferences))

    def more_or_another(self, answer, trial):
        if not answer.whole:
            return ""
        if enough(answer, trial.limit):
            return self.say("use_more")
        key = "another" if trial.key in NO_TOOL else "combine"
        return self.what_then(answer) or self.say(key)

    def what_then(self, answer):
        """Say go around where no tool, and not all of them together, is enough."""
        if not answer.whole:
            return ""
        results = [trial.limit for trial in answer.trials.values()]
        results += [trial.result for trial in answer.trials.values() if not trial.refused]
        if any(enough(answer, result) for result in (*results, answer.together)):
            return ""
        return self.say("go_around_high" if answer.values["error"] >= 0.0 else "go_around_low")

    def refused(self, trial: Trial, answer):
        said = self.numbers(trial.said)
        if trial.refused in ("slip_flaps", "slip_full_flaps"):
            said["flap"] = show(answer.situation.plan.final_flap_deg, "flap_deg", self.preferences)
        if trial.refused == "s_turn_below_floor":
            key = "s_turn_too_low" if "height" in said else "s_turn_never_back"
            said["what_end"] = self.say(f"refused.{key}", **said)
            said["most_text"] = self.most_that_fits(trial, answer)
        return self.say(f"refused.{trial.refused}", **said).rstrip()

    def most_that_fits(self, trial, answer):
        if not trial.said["most"]:
            return self.say("refused.s_turn_none") if answer.whole else ""
        return self.say(
            "refused.s_turn_most",
            most=show(trial.said["most"], "bank", self.preferences),
            bank=show(answer.situation.plan.bank_deg, "bank", self.preferences),
        )

    def gate(self, answer, trial):
        height = trial.result.lined_up_height
        if not trial.result.in_line or not height < GATE_HEIGHT - m_from_ft(5.0):
            return ""
        return self.say(
            "gate",
            height=show(height, "height", self.preferences, digits=-1),
            gate=show(GATE_HEIGHT, "height", self.preferences),
        )

    def margin(self, trial, context):
        if trial.key not in ("s_turn", "stretch", "cut", "best_glide"):
            return ""
        airplane = context.airplane
        if airplane.stall_cas(airplane.landing_flap_deg) is None:
            return self.say("no_margin")
        margin = trial.result.margin
        warning = airplane.card.value("stall_warning.margin")
        key = "margin_warning" if warning is not None and margin < warning else "margin"
        return self.say(key, margin=show(margin, "speed", self.preferences))

    def mind(self, trial, answer, context):
        if trial.key == "slip" and answer.values["error"] < 0.0:
            yield self.say("no_slip_helps")  # how to slip is no matter here
            return
        if trial.key == "flap" and trial.said.get("vfe"):
            yield self.say("mind.flap_speed", **self.numbers(trial.said))
        if trial.key == "flap" and trial.said["ends_slip"]:
            yield self.say("mind.flap_ends_slip")
        if trial.key == "slip" and trial.said["rudder"] < FULL_RUDDER:
            yield self.say("mind.slip_part")
        if trial.key == "slip" and not context.airplane.card.text("limits.slips"):
            yield self.say("mind.slip_card_silent")
        yield self.say(f"mind.{trial.key}")
