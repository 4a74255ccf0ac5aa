"""The learner's record on the page: progress, where it lies, in and out of it, and beginning anew.

Drivable without a browser: press its buttons with ``click()``, call
``panel.add_file(name, bytes)``, read ``panel.text`` and ``panel.table.rows``.
"""

from collections.abc import Callable
from typing import Any

import ipywidgets

from lessonkit.airplane.plain_files import shown_name
from lessonkit.panels.context import LessonContext
from lessonkit.panels.forms import (
    FormErrors,
    TableBlock,
    TextBlock,
    download_block,
    guarded,
    style_block,
)
from lessonkit.panels.history import Progress, events_of, progress
from lessonkit.records import RecordError
from lessonkit.words import say

_COLUMNS = ("lesson", "questions", "answered", "correct", "predictions", "drills")


class RecordPanel:
    """Shows the record under the chosen label, and does what its owner may do with it.

    Parameters
    ----------
    context : LessonContext
        With a desk, which knows the chosen label, the record and the lessons.
    """

    def __init__(self, context: LessonContext) -> None:
        self._context, self._desk = context, context.desk
        self._lessons = context.desk.lesson_questions()
        self._record = context.desk.record()
        self.errors = FormErrors(context.preferences)
        self._lay_out()
        self.look()
        self._desk.on_change(self._follow)

    # What a learner does ---------------------------------------------------------------------

    def look(self) -> None:
        """Read the record anew."""
        self._tell("")
        self._read()

    def save_again(self) -> None:
        """Write what could not be saved before."""
        if self._tried(self._record.save, failed=False) is not False:
            self._tell(self._say("saved"), "good")
        self._read()

    def prepare_download(self) -> None:
        """Offer the record as a file, as it is at this moment."""
        name = f"record-{self._desk.file_name(self._record.label)}.jsonl"
        content = self._tried(self._record.export, failed=None)
        if content is None:
            return
        if not content:
            self._tell(self._say("nothing_to_download"))
            return
        self._tell("")
        self.download.children = (download_block(self._say("download"), name, content),)

    def add_file(self, name: str, content: bytes) -> None:
        """Add the entries of a record from another machine."""
        name = shown_name(name)
        found = self._tried(lambda: self._record.merge_contents([(name, content)]), failed=None)
        if found is not None:
            added, messages = found
            key = {0: "added_none", 1: "added_one"}.get(added, "added_many")
            self._tell([self._say(key, count=added, name=name), *messages], "good")
        self._read()

    def begin_anew(self) -> None:
        """Put the record aside: only after the learner has said so twice."""
        kept = self._tried(self._record.reset, failed=False)
        self._ask(False)
        if kept is not False:
            folder = self._record.folder
            known = {"file": kept.name, "folder": folder} if kept else {}
            self._tell(self._say("begun_anew" if kept else "nothing_to_keep", **known), "good")
        self._read()

    # What the learner sees -------------------------------------------------------------------

    @property
    def text(self) -> str:
        """All that is shown beside the table, as plain lines."""
        blocks = (self.where, self.oddities, self.unsaved, self.said, self.question)
        return "\n".join(block.text for block in blocks if block.text)

    def __repr__(self) -> str:
        return "Panel record"  # constant: a stored text must not hold an address

    def _repr_mimebundle_(self, **options: Any) -> Any:
        return self.widget._repr_mimebundle_(**options)

    # Reading ---------------------------------------------------------------------------------

    def _read(self) -> None:
        """Show what the record holds now."""
        self._record = self._desk.record()
        self.download.children = ()
        key = "where" if self._record.path.exists() else "where_later"
        self.where.tell(
            self._say(
                key,
                label=self._record.label,
                file=self._record.path.name,
                folder=self._record.folder,
            )
        )
        try:
            events, oddities = events_of(self._record)
        except RecordError as error:
            events, oddities = list(self._record.unsaved), (str(error),)
        self.oddities.tell(oddities)
        rows = [row for row in progress(events, self._lessons) if _counts(row)]
        self.table.show([self._row(row) for row in rows])
        waiting = len(self._record.unsaved)
        number = "one" if waiting == 1 else "many"
        self.unsaved.tell(self._say(f"unsaved_{number}", count=waiting) if waiting else "")
        self.save_button.layout.display = None if waiting else "none"

    def _row(self, row: Progress) -> list[str]:
        numbers = (
            len(row.lesson.questions),
            row.answered,
            row.correct,
            row.predictions,
            row.drills,
        )
        return [row.lesson.title, *map(str, numbers)]

    def _follow(self) -> None:
        """Show another learner's record when another label is chosen."""
        if self._desk.record() is not self._record:
            self._ask(False)
            self.look()

    def _tried(self, act: Callable[[], Any], failed: Any) -> Any:
        """Do something with the record; say what is wrong and return `failed` if it is refused."""
        try:
            return act()
        except RecordError as error:
            self._tell(str(error), "bad")
            return failed

    # Showing ---------------------------------------------------------------------------------

    def _ask(self, asking: bool) -> None:
        self.question.tell(self._say("sure", label=self._record.label) if asking else "")
        self._answer_box.layout.display = None if asking else "none"
        self.anew_button.layout.display = "none" if asking else None

    def _tell(self, text: Any, kind: str = "plain") -> None:
        self.said.tell(text, kind)

    def _say(self, key: str, **values: object) -> str:
        return say(f"records.panel.{key}", preferences=self._context.preferences, **values)

    def _lay_out(self) -> None:
        self.where, self.oddities = TextBlock("plain"), TextBlock("note")
        self.unsaved, self.said, self.question = (
            TextBlock("bad"),
            TextBlock("plain"),
            TextBlock("note"),
        )
        heads = [self._say(f"column.{name}") for name in _COLUMNS]
        self.table = TableBlock(self._say("caption"), heads)
        self.download = ipywidgets.VBox()
        self.save_button = self._button("save_again", self.save_again)
        self.look_button = self._button("look", self.look)
        self.download_button = self._button("prepare", self.prepare_download)
        self.anew_button = self._button("anew", lambda: self._ask(True))
        self.sure_button = self._button("anew_sure", self.begin_anew)
        self.keep_button = self._button("anew_no", lambda: self._ask(False))
        self.upload = ipywidgets.FileUpload(
            accept=".jsonl", description=self._say("add"), layout={"width": "auto"}
        )
        self.upload.observe(guarded(self.errors, self._on_upload), names="value")
        self._answer_box = self._row_of(self.sure_button, self.keep_button)
        self._answer_box.layout.display = "none"
        self.widget = ipywidgets.VBox(
            [
                style_block(),
                self.table.widget,
                self.where.widget,
                self.oddities.widget,
                self.unsaved.widget,
                self.save_button,
                self._row_of(self.look_button, self.download_button, self.upload, self.anew_button),
                self.question.widget,
                self._answer_box,
                self.said.widget,
                self.download,
                self.errors.widget,
            ]
        )
        for name in ("lk-panel", "lk-form", *(("lk-large",) if self._context.presentation else ())):
            self.widget.add_class(name)

    def _row_of(self, *widgets: ipywidgets.Widget) -> ipywidgets.HBox:
        row = ipywidgets.HBox(widgets)
        row.add_class("lk-buttons")
        return row

    def _button(self, name: str, act: Callable[[], None]) -> ipywidgets.Button:
        button = ipywidgets.Button(description=self._say(name))
        button.on_click(guarded(self.errors, lambda _: act()))
        return button

    def _on_upload(self, change: Any) -> None:
        if not change.new:
            return
        file = change.new[0]
        self.add_file(file["name"], bytes(file["content"]))
        self.upload.value = ()  # so that the same file can be chosen again


def _counts(row: Progress) -> bool:
    """Tell whether a lesson has anything to show."""
    return bool(row.lesson.questions or row.predictions or row.drills)
