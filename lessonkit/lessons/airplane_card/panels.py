"""Panel of notebook 01: begin, type, check, save; what the kit makes of the card."""

import ipywidgets

from lessonkit.airplane import CardError, card_to_toml, fit_airplane
from lessonkit.airplane.checks import contradictions
from lessonkit.lessons.airplane_card.begin import Begin
from lessonkit.lessons.airplane_card.calibration import calibrate
from lessonkit.lessons.airplane_card.draft import Draft
from lessonkit.lessons.airplane_card.form import CardForm, read_form
from lessonkit.lessons.airplane_card.guess import glide_guess
from lessonkit.lessons.airplane_card.report import FitReport
from lessonkit.panels.forms import FormErrors, TextBlock, download_block, guarded, style_block
from lessonkit.words import say


class CardPanel:
    """The whole way from an empty form to the airplane that all lessons use.

    Parameters
    ----------
    context : LessonContext
        Its desk holds the cards; its preferences the decimal mark.
    """

    def __init__(self, context):
        self._desk = context.desk
        self._checked: Draft | None = None
        self._told_unkept = False
        self.errors = FormErrors(context.preferences)
        self.form = CardForm(context.preferences, self._changed, self.errors)
        self.begin = Begin(self._desk, context.preferences, self.form, self._fill, self.errors)
        self.report = FitReport(context.preferences, context.record)
        self.status = TextBlock("plain", say("airplane_card.actions.not_checked"))
        self.notes = TextBlock("note")
        self.check = self._button("check", self._on_check)
        self.save = self._button("save", self._on_save)
        self.save.add_class("lk-primary")
        self.replace = self._button("replace", lambda _: self._store(replace=True))
        self.keep = self._button("keep", self._on_keep)
        self.question = ipywidgets.HBox([self.replace, self.keep])
        self.download = ipywidgets.VBox()
        self._ask(False)
        self.widget = ipywidgets.VBox(self._blocks())
        for name in ("lk-panel", "lk-form"):
            self.widget.add_class(name)
        if context.presentation:
            self.widget.add_class("lk-large")
        self._restore()

    def __repr__(self) -> str:
        return "Panel card"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options):
        return self.widget._repr_mimebundle_(**options)

    def _button(self, key, handler):
        button = ipywidgets.Button(description=say(f"airplane_card.actions.{key}"))
        button.on_click(guarded(self.errors, handler))
        return button

    def _blocks(self):
        return [
            style_block(),
            TextBlock("heading", say("airplane_card.start.title")).widget,
            self.begin.widget,
            TextBlock("heading", say("airplane_card.form.title")).widget,
            TextBlock("plain", say("airplane_card.form.intro")).widget,
            self.form.widget,
            TextBlock("heading", say("airplane_card.actions.title")).widget,
            ipywidgets.HBox([self.check, self.save]),
            self.errors.widget,
            self.status.widget,
            self.question,
            self.notes.widget,
            self.download,
            TextBlock("heading", say("airplane_card.report.title")).widget,
            self.report.widget,
        ]

    def _restore(self):
        """Show what was typed before this notebook was closed, or the chosen own card."""
        draft, trouble = self.begin.kept_draft()
        if draft is not None:
            self._fill(draft, say("airplane_card.start.restored"))
        elif trouble:
            self.begin.line.tell(trouble, "bad")

    def _fill(self, draft, sentence):
        self.form.fill(draft)
        self.begin.line.tell(sentence, "plain")
        self._keep_typed()
        self._stale()

    def _changed(self):
        """Keep what is typed; mark what was checked before as out of date."""
        self._keep_typed()
        self._stale()

    def _keep_typed(self):
        if self.begin.keep(self.form.draft()) or self._told_unkept:
            return
        self._told_unkept = True
        self.notes.tell(say("airplane_card.start.draft_unsaved"))

    def _stale(self):
        self._ask(False)
        if self._checked is not None:
            self._checked = None
            self.status.tell(say("airplane_card.actions.changed"), "plain")
            self.report.mark_stale()
            self.download.children = ()

    def _on_check(self, _button):
        self._ask(False)
        self._card()

    def _card(self):
        """Return the card of the form if its figures can be used; say what is wrong if not."""
        reading = read_form(self.form)
        problem = _problem(reading)
        if problem:
            self.status.tell(problem, "bad")
            self.report.clear()
            self.download.children = ()
            return None
        try:
            airplane = fit_airplane(reading.card)
        except CardError as error:
            self.status.tell(str(error), "bad")
            self.report.clear()
            return None
        self._checked = self.form.draft()
        self.status.tell(say("airplane_card.actions.good"), "good")
        self.report.show(airplane)
        name = f"{self._desk.file_name(reading.card.name)}.toml"
        label = say("airplane_card.actions.download")
        self.download.children = (download_block(label, name, card_to_toml(reading.card)),)
        return reading.card

    def _on_save(self, _button):
        self._store(replace=False)

    def _store(self, replace):
        self._ask(False)
        card = self._card()
        if card is None:
            return
        saved = self._desk.save_card(card, replace=replace)
        if saved.exists:
            self.status.tell(saved.exists, "note")
            self._ask(True)
            return
        key = "saved_unsaved" if saved.unsaved else "saved"
        self.status.tell(say(f"airplane_card.actions.{key}", name=card.name), "good")
        self.notes.tell(saved.messages)
        self.begin.refresh()

    def _on_keep(self, _button):
        self._ask(False)
        self.status.tell(say("airplane_card.actions.kept"), "plain")

    def _ask(self, shown):
        self.question.layout.display = "" if shown else "none"


def _problem(reading):
    """Return one sentence that says what stands in the way, "" if nothing does."""
    if reading.errors:
        first = next(iter(reading.errors.values()))
        if len(reading.errors) == 1:
            return say("airplane_card.actions.errors_one", first=first)
        return say("airplane_card.actions.errors", count=len(reading.errors), first=first)
    if reading.missing:
        labels = ", ".join(say(f"card.label.{_key(path)}") for path in reading.missing)
        return say("airplane_card.actions.missing", labels=labels)
    for sentence in contradictions(reading.card):
        text = str(sentence).rstrip(".")
        return say("airplane_card.actions.contradiction", sentence=text + ".")
    return ""


def _key(path):
    return path.replace(".", "_").lower()


PANELS = {"card": CardPanel, "glide_guess": glide_guess, "calibrate": calibrate}
