"""Panel of notebook 01: from observations in flight to the learner's own airplane."""

import ipywidgets

from lessonkit.airplane import fit_airplane
from lessonkit.airplane.calibration import OF_THE_TOUCHDOWN
from lessonkit.airplane.schema import INVENTED
from lessonkit.lessons.airplane_card.calibration_example import example_draft
from lessonkit.lessons.airplane_card.calibration_form import ObservationForm
from lessonkit.lessons.airplane_card.calibration_picture import CalibrationPicture
from lessonkit.lessons.airplane_card.draft import Draft
from lessonkit.models.calibration import BAND_BEFORE
from lessonkit.panels import Prediction
from lessonkit.panels.forms import FormErrors, TextBlock, guarded, style_block
from lessonkit.panels.prediction import PredictionGate
from lessonkit.words import say, show

KEY = "calibrate"
ANSWERS = ("little", "third", "half", "exact")


class CalibrationPanel:
    """Fields for what was observed, the picture of what it is worth, and the way onto the card.

    Parameters
    ----------
    context : LessonContext
        Its desk holds the chosen card; its record takes the prediction.
    """

    def __init__(self, context):
        if context.desk is None:
            raise ValueError(say("calibration.panel.no_desk", preferences=context.preferences))
        self._context, self._desk = context, context.desk
        self._card, self._card_key, _ = self._desk.chosen()
        self._before: Draft | None = None
        self._told_unkept = False
        self.saving = False  # while True the lesson leaves this panel as it is
        self.preferences = self._card.preferences(context.preferences)
        self.errors = FormErrors(context.preferences)
        self.told, self.status, self.state = (TextBlock("plain") for _ in range(3))
        self.refusals = TextBlock("bad")
        self.form = ObservationForm(self._card, context.preferences, self._changed, self.errors)
        self.picture = CalibrationPicture(self.preferences, fit_airplane(self._card).printed)
        self.gate = PredictionGate(self._prediction(), context.preferences)
        self._buttons()
        self.widget = self._laid_out()
        self.airplane = None
        self._restore()
        self._update()

    def __repr__(self) -> str:
        return f"Panel {KEY}"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options):
        return self.widget._repr_mimebundle_(**options)

    @property
    def sentence(self) -> str:
        """The live sentence under the picture."""
        return self.picture.scene.sentence

    # ------------------------------------------------------------------ laying out

    def _say(self, key, **values):
        return say(f"calibration.panel.{key}", preferences=self.preferences, **values)

    def _button(self, key, handler):
        button = ipywidgets.Button(description=self._say(key), layout={"width": "auto"})
        button.on_click(guarded(self.errors, handler))
        return button

    def _buttons(self):
        self.example = self._button("example", self._on_example)
        self.empty = self._button("empty", lambda _: self._put(Draft(), "emptied"))
        self.undo = self._button("undo", self._on_undo)
        self.save = self._button("save", lambda _: self._store(replace=self._is_own))
        self.save.add_class("lk-primary")
        self.replace = self._button("replace", lambda _: self._store(replace=True))
        self.keep = self._button("keep", self._on_keep)
        self.question = ipywidgets.HBox([self.replace, self.keep])
        self.undo.layout.display = "none"
        invented = self._card.text("airplane.origin") == INVENTED
        self.example.layout.display = None if invented else "none"
        self._ask(False)
        self.gate.record_button.on_click(guarded(self.errors, lambda _: self.gate.record()))
        self.gate.skip_button.on_click(guarded(self.errors, lambda _: self.gate.skip()))
        self.gate.on_done(self._on_prediction)

    def _laid_out(self):
        row = {"flex_flow": "row wrap"}
        self._body = ipywidgets.VBox(
            [
                TextBlock("plain", self._say("intro")).widget,
                ipywidgets.HBox([self.example, self.empty, self.undo], layout=row),
                self.told.widget,
                self.picture.scene.view,
                self.gate.shown_again,
                self.errors.widget,
                self.refusals.widget,
                self.form.widget,
                self.state.widget,
                ipywidgets.HBox([self.save], layout=row),
                self.status.widget,
                self.question,
            ],
            layout={"display": "none"},
        )
        title = TextBlock("heading", self._say("title", name=self._card.name))
        box = ipywidgets.VBox([style_block(), title.widget, self.gate.widget, self._body])
        for name in ("lk-panel", "lk-form"):
            box.add_class(name)
        if self._context.presentation:
            box.add_class("lk-large")
            self.picture.scene.tell(large=True)
        return box

    def _ask(self, shown):
        self.question.layout.display = "" if shown else "none"

    # ------------------------------------------------------------------ prediction

    def _prediction(self):
        answers = [
            (key, say(f"calibration.answer.{key}", preferences=self.preferences)) for key in ANSWERS
        ]
        return Prediction(self._say("question"), choices=answers, outcome=self._outcome)

    def _outcome(self, calibration):
        """Say what the timed glide alone does, once one is there."""
        bands = dict(calibration.bands) if calibration else {}
        if "timed_glide" not in bands:
            return None
        band = show(bands["timed_glide"], "distance_ft", self.preferences)
        return say("calibration.sentence.outcome", band=band, preferences=self.preferences)

    def predict(self, answer: str) -> None:
        """Give a prediction as the page would."""
        self.gate.give(answer)

    def skip_prediction(self) -> None:
        """Go on without a prediction; nothing is recorded."""
        self.gate.skip()

    def _on_prediction(self):
        self._body.layout.display = None
        record = self._context.record
        if self.gate.status == "given" and record is not None:
            with self.errors.guard():
                record.append(
                    "prediction",
                    {
                        "lesson": self._context.lesson,
                        "panel": KEY,
                        "answer": self.gate.answer,
                        "text": self.gate.answer_text,
                    },
                )
        self.gate.compare(self.airplane.calibration)

    # ------------------------------------------------------------------ typing

    def _changed(self):
        self._ask(False)
        self._keep_typed()
        self._update()

    def _update(self):
        """Calibrate with what can be read; say what cannot."""
        card, problems = self.form.read()
        self.airplane = fit_airplane(card)
        calibration = self.airplane.calibration
        refusals = calibration.refusals(self.preferences) if calibration else []
        self.refusals.tell([*problems, *refusals])
        self.form.show_states([one for one, _ in calibration.refused] if calibration else [])
        self.picture.show(self.airplane, self._live(calibration))
        self.state.tell(calibration.sentences(self.preferences)[:2] if calibration else "")
        self.gate.compare(calibration)
        return card, problems

    def _live(self, calibration):
        kept = [one for one in calibration.kept if one in OF_THE_TOUCHDOWN] if calibration else []
        band = show(self.airplane.touchdown_band, "distance_ft", self.preferences)
        if not kept:
            worse = calibration is not None and calibration.worse_glide is not None
            key = "worse" if worse else "before"
            return say(f"calibration.sentence.{key}", band=band, preferences=self.preferences)
        names = [say(f"calibration.sentence.{one}", preferences=self.preferences) for one in kept]
        what = names[-1]
        if len(names) > 1:
            first = ", ".join(names[:-1])
            what = say(
                "calibration.sentence.and", first=first, last=what, preferences=self.preferences
            )
        before = show(BAND_BEFORE, "distance_ft", self.preferences)
        return say(
            "calibration.sentence.with",
            what=what,
            band=band,
            before=before,
            preferences=self.preferences,
        )

    def _put(self, draft, told):
        """Put other figures into the fields, and keep what stood there for bringing it back."""
        before = self.form.draft()
        self.form.fill(draft)
        self._before = before
        self.undo.layout.display = "none" if before.is_empty else None
        self.told.tell(self._say(told))
        self.status.tell("")
        self._changed()

    def _on_example(self, _button):
        self._put(example_draft(fit_airplane(self._card).printed, self.preferences), "filled")

    def _on_undo(self, _button):
        if self._before is not None:
            self._put(self._before, "undone")

    # ------------------------------------------------------------------ keeping and saving

    @property
    def _is_own(self):
        return self._card_key.startswith("own:")

    def _restore(self):
        """Bring back what was typed for this card and not saved."""
        kept, _ = self._desk.draft()
        mine = kept.get(KEY, {})
        mine = mine.get(self._card_key) if isinstance(mine, dict) else None
        if not isinstance(mine, dict):
            return
        known = set(self.form.inputs)
        texts = {n: t for n, t in mine.items() if n in known and isinstance(t, str)}
        origins = kept.get(f"{KEY}_origins")
        pairs = origins.get(self._card_key) if isinstance(origins, dict) else None
        pairs = pairs if isinstance(pairs, dict) else {}
        good = {p: (texts[p], o) for p, o in pairs.items() if p in texts and isinstance(o, str)}
        self.form.fill(Draft(texts, good))
        self.told.tell(self._say("restored"))

    def _keep_typed(self):
        kept, _ = self._desk.draft()
        draft = self.form.draft()
        origins = {path: draft.origin(path) for path in draft.origins if draft.origin(path)}
        for name, what in ((KEY, dict(draft.texts)), (f"{KEY}_origins", origins)):
            old = kept.get(name)
            kept[name] = {**(old if isinstance(old, dict) else {}), self._card_key: what}
        if not self._desk.keep_draft(kept) and not self._told_unkept:
            self._told_unkept = True
            self.told.tell(self._say("unkept"), "note")

    def _store(self, replace):
        self._ask(False)
        card, problems = self._update()
        if problems:
            self.status.tell(self._say("not_saved", problem=problems[0]), "bad")
            return
        self.saving = True
        try:
            saved = self._desk.save_card(card, replace=replace)
        finally:
            self.saving = False
        if saved.exists:
            self.status.tell(saved.exists, "note")
            self._ask(True)
            return
        key = "saved_unsaved" if saved.unsaved else "saved"
        self.status.tell([self._say(key, name=card.name), *saved.messages], "good")
        self._card_key = saved.key

    def _on_keep(self, _button):
        self._ask(False)
        self.status.tell(self._say("kept"), "plain")


def calibrate(context) -> CalibrationPanel:
    """Return the panel that calibrates the chosen card."""
    return CalibrationPanel(context)


calibrate.follows_card = True  # another card chosen on the page: its panel, not the old one's
