"""The fields in which observations in flight are typed, and how they are read onto a card."""

import ipywidgets

from lessonkit.airplane import Card
from lessonkit.airplane.in_flight_checks import NEEDED, contradictions_of
from lessonkit.airplane.schema import CHOICE, FIELD_AT, IN_FLIGHT, fields_of
from lessonkit.lessons.airplane_card.controls import LABEL_WIDTH, LineControl
from lessonkit.lessons.airplane_card.draft import Draft, draft_of, read_draft, read_line
from lessonkit.lessons.airplane_card.layout import is_observed
from lessonkit.panels.forms import SharedLooks, guarded
from lessonkit.words import Preferences, say

PATHS = tuple(field.path for section in IN_FLIGHT for field in fields_of(section))


class ObservationForm:
    """One fold per observation; units are those of the card.

    Parameters
    ----------
    card : Card
        The chosen one.
    preferences : Preferences
        Decimal mark and language.
    on_change : callable
        Called without arguments after each change by the learner.
    errors : ErrorLine
        Of the panel.
    """

    def __init__(self, card: Card, preferences: Preferences, on_change, errors):
        self.card, self.preferences = card, preferences
        self._whole = draft_of(card, preferences)
        self._of_card = {n: t for n, t in self._whole.texts.items() if not is_observed(n)}
        looks = SharedLooks(LABEL_WIDTH)
        self.lines = {path: LineControl(FIELD_AT[path], looks) for path in PATHS}
        self._inputs = {n: w for line in self.lines.values() for n, w in line.inputs.items()}
        self._origins: dict[str, tuple[str, str]] = {}
        self._filling, self._on_change = False, on_change
        units = card.preferences(preferences)
        for path, line in self.lines.items():
            line.show_units(units, card.text("units.length"))
            # The fold's title already says which observation it is.
            short = self._inputs[path].description.partition(": ")[2]
            self._inputs[path].description = short[:1].upper() + short[1:]
        self.folds = {section: self._fold(section) for section in IN_FLIGHT}
        self.folds[IN_FLIGHT[0]].selected_index = 0
        self.widget = ipywidgets.VBox(list(self.folds.values()))
        for name, widget in self._inputs.items():
            widget.observe(
                guarded(errors, lambda change, name=name: self._typed(name)), names="value"
            )
        self.fill(observed_part(self._whole))

    def input(self, control: str) -> ipywidgets.ValueWidget:
        """Return the widget of a control, to type into it without a browser."""
        return self._inputs[control]

    @property
    def inputs(self) -> tuple[str, ...]:
        """Names of all controls."""
        return tuple(self._inputs)

    def draft(self) -> Draft:
        """Return what stands in the fields; a choice counts only beside figures of its own."""
        texts = {name: str(w.value) for name, w in self._inputs.items() if str(w.value).strip()}
        begun = {n.partition(".")[0] for n in texts if _is_figure(n)}
        texts = {name: text for name, text in texts.items() if name.partition(".")[0] in begun}
        return Draft(texts, dict(self._origins))

    def fill(self, draft: Draft) -> None:
        """Show a draft in place of what stands in the fields."""
        self._filling = True
        try:
            self._origins = dict(draft.origins)
            for name, widget in self._inputs.items():
                text = draft.text(name)
                if isinstance(widget, ipywidgets.Dropdown):
                    known = [value for _, value in widget.options]
                    default = self.lines[name].line.default if name in self.lines else ""
                    text = text if text in known else default
                widget.value = text
        finally:
            self._filling = False
        self._look_at(*self.lines)

    def show_states(self, refused=()) -> None:
        """Say on each fold whether its observation is used, incomplete or left out."""
        texts, errors = self.draft().texts, {p for p, line in self.lines.items() if line.error}
        for section, fold in self.folds.items():
            mine = [name for name in NEEDED[section] if f"{section}.{name}" in texts]
            state = "used" if len(mine) == len(NEEDED[section]) else "incomplete"
            if not any(name.startswith(f"{section}.") for name in texts):
                state = "empty"
            if section in refused:
                state = "refused"
            if any(path.startswith(f"{section}.") for path in errors):
                state = "wrong"
            name = say(f"calibration.fold.{section}", preferences=self.preferences)
            fold.set_title(
                0, say(f"calibration.fold_state.{state}", name=name, preferences=self.preferences)
            )

    def read(self) -> tuple[Card, list[str]]:
        """Return the card with all observations that can be used, and what stops the others."""
        mine = self.draft()
        texts = self._of_card | dict(mine.texts)
        origins = {**self._whole.origins, **mine.origins}
        reading = read_draft(Draft(texts, origins), self.preferences)
        problems = [text for name, text in reading.errors.items() if is_observed(name)]
        for path, line in self.lines.items():
            line.show_error(reading.errors.get(path, ""))
        bad = {name.partition("#")[0] for name in reading.errors}
        good = {n: t for n, t in texts.items() if n.partition("#")[0] not in bad}
        card = read_draft(Draft(good, origins), self.preferences).card or self.card
        # What cannot be read is missing too: one sentence about it is enough.
        wrong = {name.partition(".")[0] for name in bad}
        for section in IN_FLIGHT:
            sentences = list(contradictions_of(card, section))
            if sentences and section not in wrong:
                problems += sentences
                wrong.add(section)
        usable = {p: e for p, e in card.entries.items() if p.partition(".")[0] not in wrong}
        return Card(usable, card.file), problems

    def _typed(self, name):
        if not self._filling:
            self._look_at(name.partition("#")[0])
            self._on_change()

    def _look_at(self, *paths):
        draft = self.draft()
        asked = Draft(self._of_card | dict(draft.texts))
        for path in paths:
            self.lines[path].show_error(read_line(asked, path, self.preferences))
            self.lines[path].show_origin(draft.origin(path))

    def _fold(self, section):
        inside = ipywidgets.VBox([self.lines[field.path].widget for field in fields_of(section)])
        fold = ipywidgets.Accordion(children=[inside], selected_index=None)
        return fold


def observed_part(draft: Draft) -> Draft:
    """Return only what belongs to observations in flight."""
    return Draft(
        {name: text for name, text in draft.texts.items() if is_observed(name)},
        {path: pair for path, pair in draft.origins.items() if is_observed(path)},
    )


def _is_figure(control):
    path = control.partition("#")[0]
    return FIELD_AT[path].form != CHOICE and not control.endswith("#airspeed")
