"""The controls of one line of the card form: input, unit, hint, range and its own error."""

import ipywidgets

from lessonkit.airplane.schema import (
    AIRSPEEDS,
    CHOICE,
    CORRECTION,
    FIGURE,
    FIGURE_LIST,
    FLAP_LIST,
    INVENTED,
    TEXT,
    Field,
)
from lessonkit.lessons.airplane_card.layout import EITHER, METRIC_UNITS, UNIT_LINES
from lessonkit.panels.forms import SharedLooks, TextBlock
from lessonkit.words import Preferences, say, show, unit_of
from lessonkit.words.kinds import UNITS

LABEL_WIDTH = "19em"
_EXAMPLES = {
    "airspeed.flaps_up": "50  60  70  80",
    "airspeed.flaps_down": "40  50  60  70",
    "flaps.settings": "0  10  20  30",
    "flaps.stall_speeds": "52  49  -  46",
    "flaps.glide_speeds": "65  -  60  58",
    "flaps.glide_ratios": "9.2  -  7.9  7.1",
}


class LineControl:
    """One line of the card on the form.

    Parameters
    ----------
    line : Field
        What the card's table says about it.
    looks : SharedLooks
        Of the form.

    Attributes
    ----------
    widget : ipywidgets.HBox
    inputs : dict of str to widget
        By control name: the path itself, and its marks such as ``#weight``.
    """

    def __init__(self, line: Field, looks: SharedLooks):
        self.line = line
        self.inputs: dict[str, ipywidgets.ValueWidget] = {}
        self._looks = looks
        self._help, self._invented = "", False
        self._hint = TextBlock("hint", looks=looks)
        self._error = TextBlock("error", looks=looks)
        parts = self._parts()
        self._extras = {
            widget: widget.layout for name, widget in self.inputs.items() if _is_extra(name)
        }
        self.widget = ipywidgets.HBox(
            [*parts, self._hint.widget, self._error.widget], layout=looks.row
        )
        self.widget.add_class("lk-f-line")
        self.show_extras(False)

    def show_units(self, preferences: Preferences, length: str) -> None:
        """Write label, unit, hint and range in the units of the card."""
        line = self.line
        unit = _unit(line, preferences, length)
        label = say(line.label_key)
        if unit:
            label = say("airplane_card.form.with_unit", label=label, unit=unit)
        if line.required or line.path in EITHER:
            mark = "either" if line.path in EITHER else "required"
            label = say(f"airplane_card.form.{mark}", label=label)
        if line.form == CORRECTION:
            for row in ("ias", "cas"):
                description = say(f"airplane_card.form.{line.name}_{row}")
                self.inputs[f"{line.path}#{row}"].description = description
        else:
            self.inputs[line.path].description = label
        self._help = self._hint_text(preferences, length, label)
        self._show_hint()

    def show_origin(self, origin: str) -> None:
        """Say beside the line that its figure is still the invented one."""
        self._invented = origin == INVENTED
        self._show_hint()

    def _show_hint(self):
        mark = say("airplane_card.form.invented") if self._invented else ""
        self._hint.tell(" ".join(part for part in (mark, self._help) if part))

    def show_extras(self, shown: bool) -> None:
        """Show or hide the kind of airspeed and the weight of this line; never hide a typed one."""
        for widget, layout in self._extras.items():
            widget.layout = layout if shown or widget.value else self._looks.hidden

    def show_error(self, sentence: str) -> None:
        """Show the error of this line, "" for none."""
        self._error.tell(sentence)
        mark = self.widget.add_class if sentence else self.widget.remove_class
        mark("lk-f-bad-line")

    @property
    def error(self) -> str:
        """The error that the line shows at this moment."""
        return self._error.text

    def _parts(self):
        line, path = self.line, self.line.path
        if line.form == CORRECTION:
            return [self._text(f"{path}#ias", "28em"), self._text(f"{path}#cas", "28em")]
        if line.form == CHOICE:
            return [self._choice(path)]
        width = {TEXT: "20em", FLAP_LIST: "16em", FIGURE_LIST: "16em"}.get(line.form, "8em")
        parts = [self._text(path, width)]
        if line.form == FIGURE and line.airspeed:
            parts.append(self._airspeed(f"{path}#airspeed"))
        if line.form == FIGURE and line.weight:
            weight = self._text(f"{path}#weight", "12em", labelled=False)
            weight.placeholder = say("airplane_card.form.at_max")
            weight.tooltip = say("airplane_card.form.weight_of", label=say(line.label_key))
            parts.append(weight)
        return parts

    def _text(self, name, width, labelled=True):
        looks = self._looks.of_input(ipywidgets.Text, width, labelled)
        widget = ipywidgets.Text(continuous_update=False, **looks)
        if self.line.form != FIGURE:
            widget.add_class("lk-f-words")
        self.inputs[name] = widget
        return widget

    def _choice(self, path):
        line = self.line
        options = [(say(f"card.choice.{_key(choice)}"), choice) for choice in line.choices]
        if not line.default:
            options.insert(0, (say("airplane_card.form.choose"), ""))
        looks = self._looks.of_input(ipywidgets.Dropdown, "16em")
        widget = ipywidgets.Dropdown(options=options, value=line.default, **looks)
        self.inputs[path] = widget
        return widget

    def _airspeed(self, name):
        options = [(say("airplane_card.form.as_card"), "")] + [(kind, kind) for kind in AIRSPEEDS]
        looks = self._looks.of_input(ipywidgets.Dropdown, "8em", labelled=False)
        tooltip = say("airplane_card.form.kind_of", label=say(self.line.label_key))
        widget = ipywidgets.Dropdown(options=options, value="", tooltip=tooltip, **looks)
        self.inputs[name] = widget
        return widget

    def _hint_text(self, preferences, length, label):
        line = self.line
        parts = [say(line.help_key)]
        if line.form == CORRECTION:
            parts = [say("airplane_card.form.row_help", example=_example(line))]
        elif line.form == FIGURE_LIST:
            parts = [say("airplane_card.form.list_help", example=_example(line))]
        if line.form == FIGURE:
            low, high = (_shown(line, v, preferences, length) for v in (line.low, line.high))
            parts.append(f"({say('airplane_card.form.range', low=low, high=high)})")
        return " ".join(parts) if line.path not in UNIT_LINES else ""


def _is_extra(name):
    return name.endswith(("#airspeed", "#weight"))


def _example(line):
    return _EXAMPLES[line.path]


def _key(choice):
    return choice.lower().replace(" ", "_")


def _unit(line, preferences, length):
    # A ratio has no unit to be typed: "9.0" is read as 9.0 to 1.
    if not line.kind or line.form == TEXT or line.kind == "ratio":
        return ""
    if length == "m" and line.kind in METRIC_UNITS:
        return METRIC_UNITS[line.kind]
    return unit_of(line.kind, preferences)


def _shown(line, value, preferences, length):
    """Return a bound in the unit in which the line is typed, the unit left out."""
    if length == "m" and line.kind in METRIC_UNITS:
        shown = UNITS[METRIC_UNITS[line.kind]].from_si(value)
        return show(shown, "number", preferences, digits=1 if line.kind == "span" else 0)
    return show(value, line.kind, preferences, unit=False)
