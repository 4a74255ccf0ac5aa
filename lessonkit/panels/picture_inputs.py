"""Places for an answer with a picture: mark a point, set controls, judge a flight."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets

from lessonkit.exercises import Item, places, settings
from lessonkit.exercises.judgements import name as aspect_name
from lessonkit.exercises.parts import split
from lessonkit.panels.answer_input import AnswerInput
from lessonkit.panels.controls import NumberControl
from lessonkit.panels.exercise_picture import scene_of, show_picture
from lessonkit.panels.text import text_block
from lessonkit.scenes import Grab, GrabEvent, circle, label, points
from lessonkit.words import NumberError, say

STEPS = 0.5  # one press of an arrow key, as a share of the tolerance
_CROSS = 9.0
_WIDE = {"width": "auto"}


def _beside(left: list[ipywidgets.Widget], scene: Any) -> ipywidgets.Widget:
    """Lay out what is typed or chosen left of the picture; above it where the page is narrow."""
    side = ipywidgets.VBox(left)
    side.add_class("lk-left")
    if scene is None:
        box = ipywidgets.HBox([side])
        box.add_class("lk-body")
        return box
    picture = ipywidgets.VBox([scene.view])
    picture.add_class("lk-right")
    box = ipywidgets.HBox([side, picture])
    box.add_class("lk-body")
    return box


class MarkInput(AnswerInput):
    """A cross on the picture, and the same place as typed numbers beside it.

    Nothing is answered until the cross was moved or a number typed.
    """

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        self._item = item
        self._ways = places.ways(item)
        self._place: tuple[float, float] | None = None
        self._writing = False
        self.scene = scene_of(item, item.picture)
        self.fields = {way: self._field(way) for way in self._ways}
        self.scene.on_grab(self._dragged)
        names = {f"lk-x-typed-{way}": self._name(way) for way in self._ways}
        self.scene.tell(names=names)
        how = text_block(self._say("how"), css="lk-small")
        rows = []
        for way, field in self.fields.items():
            field.on_msg(lambda _, content, __: content.get("event") == "submit" and submit())
            rows.append(ipywidgets.VBox([text_block(self._name(way)), field]))
        self.widget = _beside([how, *rows], self.scene)
        self._draw()

    @property
    def answer(self) -> tuple[float, float] | str:
        """The place (x, y) in SI; what is typed as it stands where it cannot be read yet."""
        if self._place is not None:
            return self._place
        typed = {way: field.value.strip() for way, field in self.fields.items()}
        if not any(typed.values()):
            return ""
        return "; ".join(f"{places.name(self._item, way)}: {text}" for way, text in typed.items())

    @answer.setter
    def answer(self, place: Any) -> None:
        if isinstance(place, str):
            place = self._typed_line(place)
        self._mark(None if place is None or len(place) == 0 else places.full_place(
            self._item, place
        ))  # fmt: skip

    def reveal(self) -> None:
        """Show the right place."""
        item, axes = self._item, self._axes
        x, y = item.answer
        shown = {"right": points(axes, x, y, role="good", size=7.0)}
        if item.question.mark.y_weight == 1.0 and len(self._ways) == 2:
            within = item.question.tolerance.within
            shown["right_within"] = circle(axes, x, y, within, role="good")
        text = self._say("right_place")
        shown["right_text"] = label(axes, x, y, text, role="good", offset=(12.0, 18.0))
        self.scene.put(**shown)

    def type(self, way: str, text: str) -> None:
        """Type a number, as the page would: for tests and self-checks."""
        self.fields[way].value = text

    @property
    def _axes(self) -> str:
        return places.axes_of(self._item).name

    def _field(self, way: str) -> ipywidgets.Text:
        unit = places.unit(self._item, way)
        preferences = self._item.preferences
        text = say("exercises.panel.number_unit", preferences=preferences, unit=unit)
        field = ipywidgets.Text(placeholder=text, continuous_update=False)
        field.add_class(f"lk-x-typed-{way}")
        field.add_class("lk-x-typed")
        field.observe(lambda _: self._typed(), names="value")
        return field

    def _name(self, way: str) -> str:
        return f"{places.name(self._item, way)}, {places.unit(self._item, way)}"

    def _typed_line(self, text: str) -> tuple[float, float] | None:
        self._place = None
        values = split(text, [places.name(self._item, way) for way in self._ways])
        self._writing = True
        try:
            for way, value in zip(self._ways, values or [text], strict=False):
                self.fields[way].value = value
        finally:
            self._writing = False
        self._typed()
        return self._place

    def _typed(self) -> None:
        if self._writing:
            return
        try:
            typed = {way: field.value for way, field in self.fields.items()}
            self._place = places.typed_place(self._item, typed)
        except NumberError:
            # Half typed, or not readable: the check says it in one sentence.
            self._place = None
        self._draw()

    def _dragged(self, event: GrabEvent) -> None:
        self._mark((event.x, event.y))

    def _mark(self, place: Sequence[float] | None) -> None:
        """Put the cross somewhere inside the picture and write its place."""
        axes = places.axes_of(self._item)
        if place is not None:
            start = places.start_of(self._item)
            wanted = {"x": min(max(place[0], min(axes.x)), max(axes.x)),
                      "y": min(max(place[1], min(axes.y)), max(axes.y))}  # fmt: skip
            place = tuple(
                wanted[way] if way in self._ways else start[index] for index, way in enumerate("xy")
            )
        self._place = place
        self._writing = True
        try:
            for way, field in self.fields.items():
                field.value = "" if place is None else places.shown(self._item, way, place)
        finally:
            self._writing = False
        self._draw()

    def _draw(self) -> None:
        item, axes = self._item, self._axes
        place = self._place or places.start_of(item)
        along = item.question.mark.along
        low = high = None
        if along != "both":
            ends = getattr(places.axes_of(item), along)
            low, high = min(ends), max(ends)
        within = item.question.tolerance.within
        step = STEPS * within, STEPS * within / item.question.mark.y_weight
        written = ", ".join(places.shown(item, way, place) for way in self._ways)
        grab = Grab("cross", self._say("cross"), along, step, low, high, written)
        words = "your_mark" if self._place else "start"
        self.scene.put(
            cross=points(axes, *place, role="warn", size=_CROSS, mark="cross", grab=grab),
            cross_text=label(
                axes, *place, self._say(words), role="warn", offset=(14.0, -12.0), strong=True
            ),
        )

    def _say(self, key: str) -> str:
        return say(f"exercises.mark.{key}", preferences=self._item.preferences)


class SetInput(AnswerInput):
    """Controls with slider and typed value; the picture follows where there is one.

    Nothing is answered until a control was moved.
    """

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        self._item = item
        self._moved = self._writing = False
        self.controls = {
            setting.name: NumberControl(
                setting.name,
                settings.name(item, setting),
                setting.kind,
                value=setting.start,
                low=setting.low,
                high=setting.high,
                step=setting.step,
                preferences=item.preferences,
                digits=setting.digits,
            )
            for setting in settings.settings_of(item)
        }
        self.scene = scene_of(item, item.picture) if item.picture else None
        names: dict[str, str] = {}
        for control in self.controls.values():
            control.on_change(self._changed)
            names |= control.accessible_names()
        if self.scene:
            self.scene.tell(names=names)
        self.widget = _beside([control.widget for control in self.controls.values()], self.scene)

    @property
    def answer(self) -> dict[str, float]:
        """Each setting's value by name, in SI; empty until one was moved."""
        return self._values() if self._moved else {}

    @answer.setter
    def answer(self, values: Mapping[str, float]) -> None:
        self._writing = True
        try:
            for name, control in self.controls.items():
                control.set(values[name]) if values else control.reset()
        finally:
            self._writing = False
        self._changed()
        self._moved = bool(values)

    def _values(self) -> dict[str, float]:
        return {name: control.value for name, control in self.controls.items()}

    def _changed(self) -> None:
        if self._writing:
            return
        self._moved = True
        if self.scene:
            show_picture(self.scene, self._item, self._item.picture_of(self._values()))


class JudgeInput(AnswerInput):
    """The picture of the flight, and one choice for each aspect of it; none is made at first."""

    def __init__(self, item: Item, submit: Callable[[], None]) -> None:
        self.scene = scene_of(item, item.picture)
        self.pickers = {
            aspect.key: ipywidgets.RadioButtons(
                options=[(item.say(f"option.{key}"), key) for key in aspect.options],
                value=None,
                description=aspect_name(item, aspect.key),
                layout=_WIDE,
            )
            for aspect in item.question.aspects
        }
        for picker in self.pickers.values():
            picker.add_class("lk-x-choice")
            picker.add_class("lk-x-aspect")
        self.widget = _beside(list(self.pickers.values()), self.scene)

    @property
    def answer(self) -> dict[str, str]:
        """The chosen option of each aspect that is judged already."""
        return {key: picker.value for key, picker in self.pickers.items() if picker.value}

    @answer.setter
    def answer(self, chosen: Mapping[str, str]) -> None:
        for key, picker in self.pickers.items():
            picker.value = (chosen or {}).get(key) or None
