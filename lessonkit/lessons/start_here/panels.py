"""Panels of notebook 00: the airplane, units, label and projector size that all lessons share."""

import ipywidgets

from lessonkit.panels.forms import FormErrors, TextBlock, guarded, style_block
from lessonkit.panels.record import RecordPanel
from lessonkit.words import Preferences, say, show

_STYLE = {"description_width": "12em"}
_WIDE = {"width": "32em"}


class StartPanel:
    """Choices that all notebooks share; each holds as soon as it is made.

    Parameters
    ----------
    context : LessonContext
        Its desk reads and changes the learner's choices.
    """

    def __init__(self, context):
        self._desk = context.desk
        self._filling = True
        self.errors = FormErrors(context.preferences)
        self.airplane = ipywidgets.Dropdown(
            description=say("start_here.airplane.choose"), style=_STYLE, layout=_WIDE
        )
        self.look_again = ipywidgets.Button(description=say("start_here.airplane.refresh"))
        self.speed_unit = self._toggle("start_here.units.speed", (("kt", "kt"), ("mph", "mph")))
        self.mass_unit = self._toggle("start_here.units.mass", (("lb", "lb"), ("kg", "kg")))
        self.decimal_mark = self._toggle(
            "start_here.units.decimal",
            ((say("start_here.units.point"), "."), (say("start_here.units.comma"), ",")),
        )
        self.label = ipywidgets.Text(
            description=say("start_here.label.field"),
            placeholder=say("start_here.label.placeholder"),
            style=_STYLE,
            layout=_WIDE,
            continuous_update=False,
        )
        self.label.add_class("lk-f-words")
        self.large = ipywidgets.Checkbox(
            description=say("start_here.projector.switch"), indent=False, layout={"width": "auto"}
        )
        self.airplane_line = TextBlock("plain")
        self.units_line = TextBlock("plain")
        self.label_line = TextBlock("plain")
        self.projector_line = TextBlock("plain")
        self.trouble = TextBlock("bad")
        self.widget = ipywidgets.VBox(self._blocks())
        for name in ("lk-panel", "lk-form"):
            self.widget.add_class(name)
        self._fill()
        self._watch()

    def __repr__(self) -> str:
        return "Panel start"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options):
        return self.widget._repr_mimebundle_(**options)

    def _toggle(self, key, options):
        return ipywidgets.ToggleButtons(
            description=say(key),
            options=options,
            style={**_STYLE, "button_width": "10em"},
        )

    def _blocks(self):
        def heading(name):
            return TextBlock("heading", say(f"start_here.{name}.title")).widget

        stored = say("start_here.label.stored", folder=self._desk.folder)
        return [
            style_block(),
            heading("airplane"),
            ipywidgets.HBox([self.airplane, self.look_again], layout={"flex_flow": "row wrap"}),
            self.airplane_line.widget,
            TextBlock("plain", say("start_here.airplane.make")).widget,
            heading("units"),
            self.speed_unit,
            self.mass_unit,
            self.decimal_mark,
            self.units_line.widget,
            heading("label"),
            ipywidgets.HBox([self.label, TextBlock("hint", say("start_here.label.hint")).widget]),
            self.label_line.widget,
            TextBlock("plain", stored).widget,
            heading("projector"),
            self.large,
            self.projector_line.widget,
            self.trouble.widget,
            self.errors.widget,
        ]

    def _fill(self):
        """Show what holds: also what another window has chosen meanwhile."""
        self._filling = True
        try:
            settings = self._desk.settings()
            card, key, messages = self._desk.chosen()
            self.airplane.options = [
                (self._name(entry), entry.key) for entry in self._desk.entries()
            ]
            self.airplane.value = key
            self.speed_unit.value = settings.speed_unit
            self.mass_unit.value = settings.mass_unit
            self.decimal_mark.value = settings.decimal_mark
            self.label.value = settings.label
            self.large.value = settings.presentation
            self._show_large(settings.presentation)
        finally:
            self._filling = False
        self.airplane_line.tell(say("start_here.airplane.using", name=card.name))
        self._tell_label(settings.label)
        self.trouble.tell(messages)

    def _watch(self):
        self.look_again.on_click(guarded(self.errors, lambda _: self._fill()))
        handlers = {"airplane": self._choose, "label": self._set_label, "large": self._set_large}
        for name in ("speed_unit", "mass_unit", "decimal_mark"):
            handlers[name] = lambda change, name=name: self._set_unit(name, change.new)
        for name, handler in handlers.items():
            getattr(self, name).observe(guarded(self.errors, handler), names="value")

    def _name(self, entry):
        if entry.problem:
            return say("start_here.airplane.broken", name=entry.name)
        kind = "own" if entry.own else "invented"
        return say(f"start_here.airplane.{kind}", name=entry.name)

    def _change(self, **changes):
        """Make a change; return whether it holds."""
        try:
            self.trouble.tell(self._desk.change(**changes))
        except ValueError as error:
            self.trouble.tell(str(error))
            return False
        return True

    def _choose(self, change):
        if self._filling or change.new is None:
            return
        self._change(card=change.new)
        card, key, messages = self._desk.chosen()
        if messages:
            self.trouble.tell(messages)
        if key != change.new:
            self._fill()
            self.trouble.tell(messages)
            return
        self.airplane_line.tell(say("start_here.airplane.chosen", name=card.name))

    def _set_unit(self, name, value):
        if self._filling:
            return
        self._change(**{name: value})
        settings = self._desk.settings()
        self.units_line.tell(
            say(
                "start_here.units.saved",
                speed=settings.speed_unit,
                mass=settings.mass_unit,
                example=show(1.5, "number", Preferences(decimal_mark=settings.decimal_mark)),
            )
        )

    def _set_label(self, change):
        if self._filling:
            return
        label = " ".join(change.new.split())
        if self._change(label=label):
            self._tell_label(label)

    def _tell_label(self, label):
        key = "saved" if label else "empty"
        self.label_line.tell(say(f"start_here.label.{key}", label=label))

    def _set_large(self, change):
        if self._filling:
            return
        self._change(presentation=change.new)
        self._show_large(change.new)
        self.projector_line.tell(say(f"start_here.projector.{'on' if change.new else 'off'}"))

    def _show_large(self, large):
        (self.widget.add_class if large else self.widget.remove_class)("lk-large")


PANELS = {"start": StartPanel, "record": RecordPanel}
