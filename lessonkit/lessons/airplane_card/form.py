"""The card form: everything that is typed, kept while it is typed, read into a draft."""

import ipywidgets

from lessonkit.airplane.schema import FIELD_AT, IAS
from lessonkit.lessons.airplane_card.controls import LABEL_WIDTH, LineControl
from lessonkit.lessons.airplane_card.draft import Draft, read_draft, read_line
from lessonkit.lessons.airplane_card.layout import (
    FOLDED,
    GROUPS,
    NEEDED,
    UNIT_LINES,
    group_of,
    is_observed,
    order,
)
from lessonkit.panels.forms import SharedLooks, TextBlock, guarded
from lessonkit.words import Preferences, say


class CardForm:
    """All lines of the card, needed ones first, the others folded.

    Parameters
    ----------
    preferences : Preferences
        Decimal mark and language; the units are those chosen on the form.
    on_change : callable
        Called without arguments after each change by the learner.
    errors : ErrorLine
        Of the panel.
    """

    def __init__(self, preferences: Preferences, on_change, errors):
        self.preferences = preferences
        looks = SharedLooks(LABEL_WIDTH)
        self.lines = {path: LineControl(FIELD_AT[path], looks) for path in order()}
        self._carried: dict[str, str] = {}  # what was observed in flight; its own panel shows it
        self._origins: dict[str, tuple[str, str]] = {}
        self._on_change = on_change
        self._filling = False
        self._extras = ipywidgets.Checkbox(
            value=False,
            indent=False,
            description=say("airplane_card.form.kinds"),
            layout={"width": "auto"},
        )
        self._extras.observe(self._show_extras, names="value")
        self._ias = TextBlock("note")
        self.folds = {group: self._fold(group) for group in FOLDED}
        self.widget = ipywidgets.VBox(self._blocks())
        self._inputs = {
            name: widget for line in self.lines.values() for name, widget in line.inputs.items()
        }
        for name, widget in self._inputs.items():
            typed = guarded(errors, lambda change, name=name: self._typed(name))
            widget.observe(typed, names="value")
        self.fill(Draft())

    def input(self, control: str) -> ipywidgets.ValueWidget:
        """Return the widget of a control, to type into it without a browser."""
        return self._inputs[control]

    def draft(self) -> Draft:
        """Return what stands in the form."""
        texts = {name: str(w.value) for name, w in self._inputs.items() if str(w.value).strip()}
        return Draft(texts | self._carried, dict(self._origins))

    def fill(self, draft: Draft) -> None:
        """Show a draft in place of what stands in the form."""
        self._filling = True
        try:
            self._origins = dict(draft.origins)
            self._carried = {name: t for name, t in draft.texts.items() if is_observed(name)}
            for name, widget in self._inputs.items():
                self._set(name, widget, draft.text(name))
        finally:
            self._filling = False
        self._refresh()
        self._look_at(*self.lines)

    def show_errors(self, errors) -> None:
        """Show one sentence at each line that has one; unfold the folds that hold them."""
        by_path = {control.partition("#")[0]: text for control, text in errors.items()}
        for path, line in self.lines.items():
            line.show_error(by_path.get(path, ""))
        for path in by_path:
            if path in self.lines and group_of(path) in self.folds:
                self.folds[group_of(path)].selected_index = 0

    def errors(self) -> dict[str, str]:
        """Return the sentences that stand on the form, by path."""
        return {path: line.error for path, line in self.lines.items() if line.error}

    def _set(self, name, widget, text):
        if isinstance(widget, ipywidgets.Dropdown):
            known = [value for _, value in widget.options]
            widget.value = text if text in known else self._default(name)
        else:
            widget.value = text

    def _default(self, name):
        """Return the setting of a choice that nobody made: units as the learner prefers them."""
        wanted = {
            "units.speed": self.preferences.speed_unit,
            "units.mass": self.preferences.mass_unit,
        }
        return wanted.get(name) or (self.lines[name].line.default if name in self.lines else "")

    def _typed(self, name):
        if self._filling:
            return
        path = name.partition("#")[0]
        if name in (*UNIT_LINES, "airspeed.kind"):
            self._refresh()
            self._look_at(*self.lines)
        elif name == "flaps.settings":
            self._look_at("flaps.settings", *FOLDED["by_flap"])
        else:
            self._look_at(path)
            self._refresh_ias()
        self._on_change()

    def _look_at(self, *paths):
        """Say what is wrong with lines as they stand, and which are still invented."""
        draft = self.draft()
        for path in paths:
            self.lines[path].show_error(read_line(draft, path, self.preferences))
            self.lines[path].show_origin(draft.origin(path))

    def _refresh(self):
        """Follow the units, the kind of airspeed and the origins on the form."""
        value = {path: self._inputs[path].value for path in UNIT_LINES}
        units = Preferences(
            speed_unit=value["units.speed"],
            mass_unit=value["units.mass"],
            decimal_mark=self.preferences.decimal_mark,
            language=self.preferences.language,
        )
        for line in self.lines.values():
            line.show_units(units, value["units.length"])
        self._show_extras()
        self._refresh_ias()

    def _refresh_ias(self):
        """State the rule for IAS without a table, and unfold the table that is asked for."""
        has_table = any(self._inputs[f"{p}#cas"].value.strip() for p in FOLDED["correction"])
        needs_table = self._inputs["airspeed.kind"].value == IAS and not has_table
        self._ias.tell(say("airplane_card.ias.rule") if needs_table else "")
        if needs_table:
            self.folds["correction"].selected_index = 0

    def _show_extras(self, _change=None):
        for line in self.lines.values():
            line.show_extras(self._extras.value)

    def _blocks(self):
        blocks = []
        for group in NEEDED:
            blocks.append(TextBlock("heading", say(f"airplane_card.group.{group}")).widget)
            blocks += [self.lines[path].widget for path in NEEDED[group]]
            if group == "airplane":
                blocks.append(self._ias.widget)
            if group == "stall":
                blocks.append(self._extras)
        return [*blocks, *self.folds.values()]

    def _fold(self, group):
        inside = ipywidgets.VBox([self.lines[path].widget for path in GROUPS[group]])
        fold = ipywidgets.Accordion(children=[inside], selected_index=None)
        fold.set_title(0, say(f"airplane_card.group.{group}"))
        return fold


def read_form(form: CardForm):
    """Read the whole form and show at each line what is wrong with it."""
    reading = read_draft(form.draft(), form.preferences)
    form.show_errors(reading.errors)
    return reading
