"""Practise at altitude: the same pattern over a road, onto a runway that is only an altitude."""

import math

import ipywidgets

from lessonkit.lessons.power_off_approach.altitude_flights import AltitudeBench, Practice
from lessonkit.lessons.power_off_approach.altitude_picture import (
    HIGHEST_LINE,
    draw,
    height_text,
    make_scene,
    say_it,
)
from lessonkit.lessons.power_off_approach.controls import bench_controls
from lessonkit.models.altitude_practice import LEAST_FLOOR, RECOVERY_ALLOWANCE
from lessonkit.panels import NumberControl, Panel, Prediction
from lessonkit.panels.forms import TextBlock, download_block, style_block
from lessonkit.prints.kneeboard import kneeboard_card
from lessonkit.units import (
    METRES_PER_FOOT,
    ft_from_m,
    m_from_ft,
    mps_from_kt,
)
from lessonkit.words import show

HIGHEST_GROUND = m_from_ft(4000.0)
FLOORS = (LEAST_FLOOR, m_from_ft(4000.0))
ASKED_LINE = m_from_ft(6000.0)
HARDLY, MUCH = 0.03, 0.12  # of the radius; for the prediction


def practise_at_altitude(context) -> Panel:
    """Return the panel that flies the approach over a line on the ground."""
    bench = AltitudeBench(context)

    card = CardMaker(context)

    def show_practice(scene, result, values):
        card.follow(result)
        draw(scene, result, context)
        return sentence(result, context)

    panel = Panel(
        context,
        "practise_at_altitude",
        title=say_it(context, "title"),
        scene=make_scene(context),
        controls=_controls(bench, context),
        more=bench_controls(
            bench.bench,
            context,
            ("abeam", "base_turn", "height", "crosswind", "final_flap", "base_flap", "bank"),
        ),
        compute=bench.draft,
        full=bench.fly,
        draw=show_practice,
        prediction=_prediction(bench, context),
    )
    panel.widget.children = (*panel.widget.children, card.widget)
    panel.card = card
    return panel


class CardMaker:
    """Makes the kneeboard card of the settings that are shown, when asked."""

    def __init__(self, context):
        self._context = context
        self._result: Practice | None = None
        self.button = ipywidgets.Button(
            description=say_it(context, "card.make"), layout={"width": "auto"}
        )
        self.button.on_click(lambda _: self.make())
        self.line = TextBlock("plain", say_it(context, "card.about"))
        self._link = ipywidgets.VBox()
        self.widget = ipywidgets.VBox([style_block(), self.line.widget, self.button, self._link])
        self.widget.add_class("lk-form")

    def follow(self, result: Practice) -> None:
        """Take over new settings; a card made before is of others, so its link goes."""
        self._result = result
        self._link.children = ()

    def make(self) -> str:
        """Offer the card to save, and return its HTML; empty where the floor is not kept."""
        context = self._context
        if self._result is None or self._result.practice is None:
            self.line.tell(say_it(context, "card.none"), "bad")
            return ""
        self.line.tell(say_it(context, "card.made"), "good")
        html = kneeboard_card(
            context.airplane, self._result.practice, context.preferences, wind=self._result.wind
        )
        link = download_block(say_it(context, "card.save"), "kneeboard-card.html", html)
        self._link.children = (link,)
        return html


def _controls(bench, context):
    start = bench.start()
    foot = METRES_PER_FOOT

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

    return [
        number("line", "height", m_from_ft(1000.0), HIGHEST_LINE, 100.0 * foot),
        number("ground", "height", 0.0, HIGHEST_GROUND, 50.0 * foot),
        number("floor", "height", *FLOORS, 100.0 * foot),
        number("heading", "heading_deg", 1.0, 360.0, 1.0),
        *bench_controls(bench.bench, context, ("headwind",)),
    ]


def _prediction(bench, context):
    """Ask how much wider the turn gets at altitude, at the same speed on the dial."""

    def outcome(result):
        if result.practice is None or abs(result.values["line"] - ASKED_LINE) > 1.0:
            return None
        wider = result.practice.turn_radius / result.practice.turn_radius_at_field - 1.0
        return say_it(context, "outcome", wider=show(wider, "percent", context.preferences))

    return Prediction(
        say_it(context, "question", line=show(ASKED_LINE, "height", context.preferences)),
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


# Saying -----------------------------------------------------------------------------------------


def sentence(result: Practice, context) -> str:
    """Say where to start and to go around, and what altitude changes; or what forbids it."""
    values = result.values
    if result.practice is None:
        return say_it(
            context,
            "say.too_low",
            lowest=height_text(
                context, m_from_ft(math.ceil(ft_from_m(result.lowest) / 10.0) * 10.0)
            ),
            floor=show(values["floor"], "height", context.preferences),
            allowance=show(RECOVERY_ALLOWANCE, "height", context.preferences),
        )
    practice = result.practice
    preferences = context.preferences
    parts = [
        say_it(
            context,
            "say.altitudes",
            start=height_text(context, practice.start_altitude),
            gate=height_text(context, practice.go_around_altitude),
            line=height_text(context, practice.line_altitude),
            floor=height_text(context, practice.floor_altitude),
        ),
        say_it(
            context,
            "say.grows",
            faster=show(practice.speed_ratio - 1.0, "percent", preferences),
            radius=show(practice.turn_radius, "distance_ft", preferences, digits=-1),
            at_field=show(practice.turn_radius_at_field, "distance_ft", preferences, digits=-1),
        ),
    ]
    if math.isfinite(practice.time) and math.isfinite(practice.time_at_field):
        parts.append(
            say_it(
                context,
                "say.time",
                time=show(practice.time, "time_s", preferences),
                at_field=show(practice.time_at_field, "time_s", preferences),
            )
        )
    else:
        parts.append(say_it(context, "say.not_lined_up"))
    if values["headwind"] > mps_from_kt(0.5):
        parts.append(say_it(context, "say.wind"))
    return " ".join(parts)
