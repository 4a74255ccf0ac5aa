"""Practise at altitude: the same pattern over a road, onto a runway that is only an altitude."""

import ipywidgets

from lessonkit.lessons.power_off_approach.altitude_flights import AltitudeBench, Practice
from lessonkit.lessons.power_off_approach.altitude_picture import (
    draw,
    make_scene,
    say_it,
)
from lessonkit.lessons.power_off_approach.altitude_story import (
    callout_rows,
    callout_table,
    keeps_gate,
    sentence,
)
from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.lessons.power_off_approach.picture import HEIGHT_RANGE
from lessonkit.models.altitude_practice import LEAST_FLOOR, RECOVERY_ALLOWANCE
from lessonkit.panels import Choice, NumberControl, Panel, Prediction
from lessonkit.panels.forms import TextBlock, download_block, style_block
from lessonkit.prints.kneeboard import kneeboard_card
from lessonkit.units import METRES_PER_FOOT, m_from_ft, mps_from_kt
from lessonkit.words import show

# Ranges reach farther where the field itself lies high.
HIGHEST_GROUND, HIGHEST_LINE = m_from_ft(4000.0), m_from_ft(8000.0)
ABOVE_START = m_from_ft(5500.0)
FLOORS = (LEAST_FLOOR, m_from_ft(4000.0))
ASKED_ABOVE = m_from_ft(3500.0)  # above the start's imaginary runway, for the prediction
HARDLY, MUCH = 0.03, 0.12  # of the radius; for the prediction


def practise_at_altitude(context) -> Panel:
    """Return the panel that flies the approach over a line on the ground."""
    bench = AltitudeBench(context)
    card = CardMaker(context)
    table = callout_table(context)
    gate = None

    def show_practice(scene, result, values):
        card.follow(result)
        table.show(callout_rows(result, context))
        # The comparison would give the answer away.
        compared = gate is not None and gate.status != "open"
        draw(scene, result, context, compared)
        return sentence(result, context, compared)

    first, more = _controls(bench, context)
    panel = Panel(
        context,
        "practise_at_altitude",
        title=say_it(context, "title"),
        scene=make_scene(context),
        controls=first,
        more=more,
        compute=bench.draft,
        full=bench.fly,
        draw=show_practice,
        prediction=_prediction(bench, context),
    )
    panel.widget.children = (*panel.widget.children, _below(table, card, context))
    panel.card, panel.callouts = card, table
    gate = panel.prediction
    gate.on_done(panel.update)
    return panel


def _below(table, card, context):
    """Lay out what stands below the picture: callouts, the floor's reason, the card."""
    floor, allowance = (
        show(one, "height", context.preferences) for one in (LEAST_FLOOR, RECOVERY_ALLOWANCE)
    )
    note = TextBlock("plain", say_it(context, "note", floor=floor, allowance=allowance))
    box = ipywidgets.VBox([style_block(), table.widget, note.widget, card.widget])
    box.add_class("lk-form")
    return box


class CardMaker:
    """Makes the kneeboard card of the settings that are shown, when asked."""

    def __init__(self, context):
        self._context = context
        self._result: Practice | None = None
        self.button = ipywidgets.Button(
            description=say_it(context, "card.make"),
            layout={"width": "auto", "align_self": "flex-start"},
        )
        self.button.on_click(lambda _: self.make())
        self.line = TextBlock("plain", say_it(context, "card.about"))
        self._link = ipywidgets.VBox()
        self.widget = ipywidgets.VBox([self.line.widget, self.button, self._link])

    def follow(self, result: Practice) -> None:
        """Take over new settings; a card made before is of others, so its link goes."""
        self._result = result
        self._link.children = ()
        self.line.tell(say_it(self._context, "card.about"), "plain")

    def make(self) -> str:
        """Offer the card to save, and return its HTML; empty where floor or gate is not kept."""
        context = self._context
        if self._result is None or self._result.practice is None:
            self.line.tell(say_it(context, "card.none"), "bad")
            return ""
        if not keeps_gate(self._result.practice):
            self.line.tell(say_it(context, "card.below_gate"), "bad")
            return ""
        self.line.tell(say_it(context, "card.made"), "good")
        html = kneeboard_card(
            context.airplane, self._result.practice, context.preferences, wind=self._result.wind
        )
        link = download_block(say_it(context, "card.save"), "kneeboard-card.html", html)
        self._link.children = (link,)
        return html


def _controls(bench, context):
    """Return the controls that are shown at once, and those that are folded away."""
    start = {**bench.bench.start, **bench.start()}
    highest = max(HIGHEST_LINE, start["line"] + ABOVE_START)
    foot, knot = METRES_PER_FOOT, mps_from_kt(1.0)

    def number(key, kind, low, high, step):
        return NumberControl(
            key,
            say_it(context, f"control.{key}"),
            kind,
            value=start[key],
            low=low,
            high=high,
            step=step,
            preferences=context.preferences,
        )

    sides = [(say_it(context, "control.left"), 1.0), (say_it(context, "control.right"), -1.0)]
    first = [
        number("line", "height", m_from_ft(1000.0), highest, 100.0 * foot),
        number("height", "height", *HEIGHT_RANGE, 50.0 * foot),
        number("floor", "height", *FLOORS, 100.0 * foot),
        number("heading", "heading_deg", 1.0, 360.0, 1.0),
        Choice("side", say_it(context, "control.side"), sides, start["side"]),
        number("headwind", "wind_speed", -10.0 * knot, 25.0 * knot, knot),
    ]
    more = [
        number("ground", "height", 0.0, max(HIGHEST_GROUND, start["line"]), 50.0 * foot),
        number("crosswind", "wind_speed", -15.0 * knot, 15.0 * knot, knot),
        *bench_controls(
            bench.bench, context, ("abeam", "base_turn", "base_flap", "final_flap", "bank")
        ),
    ]
    return first, more


def _prediction(bench, context):
    """Ask how much wider the turn gets at altitude, at the same speed on the dial."""
    asked = bench.start()["line"] + ASKED_ABOVE

    def outcome(result):
        if result.practice is None or abs(result.values["line"] - asked) > 1.0:
            return None
        wider = result.practice.turn_radius / result.practice.turn_radius_at_field - 1.0
        return say_it(context, "outcome", wider=show(wider, "percent", context.preferences))

    return Prediction(
        say_it(context, "question", line=show(asked, "height", context.preferences)),
        choices=[
            (
                key,
                say_it(
                    context,
                    f"answer.{key}",
                    hardly=show(HARDLY, "percent", context.preferences),
                    much=show(MUCH, "percent", context.preferences),
                ),
            )
            for key in ("narrower", "same", "wider", "much_wider")
        ],
        outcome=outcome,
    )
