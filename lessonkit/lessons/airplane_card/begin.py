"""How a card is begun: empty, from another card, from a file or a pasted text; and taken back."""

import ipywidgets

from lessonkit.airplane import CardError
from lessonkit.airplane.plain_files import PlainFileError, text_of
from lessonkit.airplane.reading import card_without_checks
from lessonkit.lessons.airplane_card.draft import Draft, draft_of
from lessonkit.panels.forms import TextBlock, guarded
from lessonkit.words import say

_STYLE = {"description_width": "8em"}
VERSION = 1


class Begin:
    """The first block of the card panel.

    Parameters
    ----------
    desk : Desk
    preferences : Preferences
    form : CardForm
        Asked for what stands in it, so that it can be brought back.
    fill : callable
        ``fill(draft, sentence)`` shows another draft in the form.
    errors : ErrorLine
        Of the panel.
    """

    def __init__(self, desk, preferences, form, fill, errors):
        self._desk, self._preferences = desk, preferences
        self._form, self._fill, self._errors = form, fill, errors
        self._before: Draft | None = None
        self.source = ipywidgets.Dropdown(
            description=say("airplane_card.start.from"), style=_STYLE, layout={"width": "30em"}
        )
        self.take = self._button("fill", self._on_take)
        self.undo = self._button("undo", self._on_undo)
        self.upload = ipywidgets.FileUpload(
            accept=".toml,text/plain",
            description=say("airplane_card.start.upload"),
            layout={"width": "16em"},
        )
        self.upload.observe(guarded(errors, self._on_upload), names="value")
        self.paste = ipywidgets.Textarea(
            description=say("airplane_card.start.paste"),
            layout={"width": "50em", "height": "8em"},
            style={"description_width": "14em"},
        )
        self.read = self._button("read", self._on_read)
        self.line = TextBlock("plain")
        inside = ipywidgets.VBox([self.upload, self.paste, self.read])
        self.fold = ipywidgets.Accordion(children=[inside], selected_index=None)
        self.fold.set_title(0, say("airplane_card.start.file_title"))
        row = ipywidgets.HBox([self.source, self.take, self.undo], layout={"flex_flow": "row wrap"})
        self.widget = ipywidgets.VBox([row, self.fold, self.line.widget])
        self.undo.layout.display = "none"
        self.refresh()

    def refresh(self) -> None:
        """Offer the cards that there are now."""
        options = [(say("airplane_card.start.empty"), "")]
        for entry in self._desk.entries():
            kind = "own" if entry.own else "invented"
            options.append((say(f"airplane_card.start.{kind}", name=entry.name), entry.key))
        chosen = self.source.value
        self.source.options = options
        self.source.value = chosen if chosen in {key for _, key in options} else ""

    def kept_draft(self) -> tuple[Draft | None, str]:
        """Return what was typed last time, None if nothing; and a sentence if it is torn."""
        found, trouble = self._desk.draft()
        texts, origins = found.get("texts"), found.get("origins")
        if not isinstance(texts, dict) or not isinstance(origins, dict):
            return None, trouble
        good = {str(name): text for name, text in texts.items() if isinstance(text, str)}
        pairs = {
            str(path): (pair[0], pair[1])
            for path, pair in origins.items()
            if isinstance(pair, list) and len(pair) == 2 and all(isinstance(p, str) for p in pair)
        }
        draft = Draft(good, pairs)
        return (None if draft.is_empty else draft), trouble

    def keep(self, draft: Draft) -> bool:
        """Keep what is typed for the next opening; False if the folder cannot be written."""
        origins = {path: list(pair) for path, pair in draft.origins.items()}
        kept, _ = self._desk.draft()  # the calibration keeps what is typed there in the same file
        return self._desk.keep_draft(
            {**kept, "version": VERSION, "texts": dict(draft.texts), "origins": origins}
        )

    def read_text(self, text: str, name: str) -> None:
        """Read a card's text into the form; leave the form alone if it is none."""
        try:
            card = card_without_checks(text, name)
        except CardError as error:
            self.line.tell(str(error), "bad")
            return
        self._replace(card, say("airplane_card.start.read_file", name=card.name))

    def _button(self, key, handler):
        button = ipywidgets.Button(description=say(f"airplane_card.start.{key}"))
        button.on_click(guarded(self._errors, handler))
        return button

    def _replace(self, card, sentence):
        """Put another card into the form, and keep what stood there for bringing it back."""
        before = self._form.draft()
        draft = Draft() if card is None else draft_of(card, self._preferences)
        self._fill(draft, sentence)
        self._before = before
        self.undo.layout.display = "none" if before.is_empty else ""

    def _on_take(self, _button):
        key = self.source.value
        if not key:
            self._replace(None, say("airplane_card.start.emptied"))
            return
        try:
            card = self._desk.card(key)
        except CardError as error:
            self.line.tell(str(error), "bad")
            return
        own = key.startswith("own:")
        sentence = "filled" if own else "filled_invented"
        self._replace(card, say(f"airplane_card.start.{sentence}", name=card.name))

    def _on_undo(self, _button):
        if self._before is not None:
            before, self._before = self._before, None
            self._fill(before, say("airplane_card.start.undone"))
        self.undo.layout.display = "none"

    def _on_upload(self, change):
        if not change.new:
            return
        file = change.new[0]
        try:
            text = text_of(bytes(file["content"]))
        except PlainFileError as error:
            self.line.tell(say("card.error.sentence", file=file["name"], what=error), "bad")
        else:
            self.read_text(text, file["name"])
        self.upload.value = ()  # so that the same file can be chosen again

    def _on_read(self, _button):
        text = self.paste.value
        if not text.strip():
            self.line.tell(say("airplane_card.start.read_none"), "bad")
            return
        self.read_text(text, "")
