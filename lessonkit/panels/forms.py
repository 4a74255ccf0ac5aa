"""Parts of forms: headings, hints, errors, notes, tables, a download; every word is escaped."""

import base64
import functools
from collections.abc import Callable, Sequence
from pathlib import Path

import ipywidgets

from lessonkit.panels.errors import ErrorLine
from lessonkit.panels.text import set_text, text_block
from lessonkit.scenes.view import style_sheet
from lessonkit.words import escape_html, say

_TAGS = {"heading": "h3"}
_ROLES = {"error": ' role="alert"', "bad": ' role="alert"', "good": ' role="status"'}
KINDS = ("heading", "hint", "error", "note", "plain", "good", "bad")


class TextBlock:
    """Lines of plain text of one kind; takes no room while it is empty.

    Parameters
    ----------
    kind : {"heading", "hint", "error", "note", "plain", "good", "bad"}
    text : str or sequence of str
        A paragraph, or several; escaped here.
    looks : SharedLooks, optional
        Of a form with many texts; inside a panel with the style sheet of forms.

    Examples
    --------
    >>> TextBlock("error", "<b>").widget.value.endswith("&lt;b&gt;</p>")
    True
    """

    def __init__(
        self, kind: str, text: str | Sequence[str] = "", looks: "SharedLooks | None" = None
    ):
        self.kind = kind
        self._shared = looks is not None
        self.widget = text_block("", looks=looks.of_text if looks else None)
        self.text = ""
        self.tell(text)

    def tell(self, text: str | Sequence[str], kind: str = "") -> None:
        """Show another text, and of another kind if one is named."""
        self.kind = kind or self.kind
        if self.kind not in KINDS:
            raise ValueError(f"no kind of text {self.kind!r}")
        lines = [text] if isinstance(text, str) else list(text)
        lines = [line for line in lines if line]
        tag = _TAGS.get(self.kind, "p")
        head = f'<{tag} class="lk-f-{self.kind}"{_ROLES.get(self.kind, "")}>'
        html = "".join(f"{head}{escape_html(line)}</{tag}>" for line in lines)
        self.text = "\n".join(lines)
        if self.widget.value != html:
            self.widget.value = html
        if not self._shared:
            self.widget.layout.display = None if lines else "none"


class SharedLooks:
    """Layouts and styles that the many widgets of a form have in common.

    Each widget would bring a layout and a style of its own to the page: a form of sixty lines
    opens several times faster without them.

    Parameters
    ----------
    label_width : str
        Width of the labels before the inputs, as in a style sheet.
    """

    def __init__(self, label_width: str):
        self.label_width = label_width
        self.of_text = {"layout": ipywidgets.Layout(), "style": ipywidgets.HTML().style}
        self.row = ipywidgets.Layout()
        self.hidden = ipywidgets.Layout(display="none")
        self._inputs: dict[str, dict] = {}

    def of_input(self, make: type, width: str, labelled: bool = True) -> dict:
        """Return layout and style of an input of one class and width."""
        key = f"{make.__name__} {width} {labelled}"
        if key not in self._inputs:
            total = f"calc({self.label_width} + {width})" if labelled else width
            style = make().style
            if labelled:
                style.description_width = self.label_width
            self._inputs[key] = {"layout": ipywidgets.Layout(width=total), "style": style}
        return self._inputs[key]


class TableBlock:
    """A table of texts with a caption and column heads; takes no room without rows.

    Parameters
    ----------
    caption : str
    heads : sequence of str
        The first column names the rows; the others are set to the right.
    """

    def __init__(self, caption: str, heads: Sequence[str]):
        self.caption, self.heads = caption, list(heads)
        self.rows: list[list[str]] = []
        self.widget = text_block()
        self.show([])

    def show(self, rows: Sequence[Sequence[str]]) -> None:
        """Show other rows."""
        self.rows = [list(row) for row in rows]
        head = "".join(f'<th scope="col">{escape_html(text)}</th>' for text in self.heads)
        body = "".join(self._row(row) for row in self.rows)
        self.widget.value = (
            f'<table class="lk-f-table"><caption>{escape_html(self.caption)}</caption>'
            f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
        )
        self.widget.layout.display = None if self.rows else "none"

    def _row(self, row):
        first, *rest = (escape_html(text) for text in row)
        cells = "".join(f"<td>{text}</td>" for text in rest)
        return f'<tr><th scope="row">{first}</th>{cells}</tr>'


class FormErrors(ErrorLine):
    """The error line of a form: what was typed stays, so that the cure is to try again."""

    def show(self, error: BaseException) -> None:
        """Show an error as one sentence and keep it; its traceback goes to the log."""
        super().show(error)
        if self.text == say("panels.error.unexpected", preferences=self.preferences):
            self.text = say("home.form.unexpected", preferences=self.preferences)
            set_text(self.widget, self.text)


def guarded(errors: ErrorLine, handler: Callable) -> Callable:
    """Return a handler whose errors are shown in the panel instead of vanishing in a log."""

    def call(event):
        with errors.guard():
            errors.clear()
            handler(event)

    return call


def download_block(label: str, file_name: str, content: str | bytes) -> ipywidgets.Widget:
    """Return a link that downloads a text, or bytes as they are, without asking the server."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    data = base64.b64encode(data).decode("ascii")
    widget = text_block(" ")
    widget.value = (
        f'<a class="lk-f-download" download="{escape_html(file_name)}"'
        f' href="data:text/plain;charset=utf-8;base64,{data}">{escape_html(label)}</a>'
    )
    return widget


def preview_block(title: str, html: str) -> ipywidgets.Widget:
    """Return a page of its own, shown small: it can run nothing and sees nothing of this one."""
    data = base64.b64encode(html.encode("utf-8")).decode("ascii")
    widget = text_block(" ")
    widget.value = (
        f'<iframe class="lk-f-preview" sandbox="" title="{escape_html(title)}"'
        f' src="data:text/html;charset=utf-8;base64,{data}"></iframe>'
    )
    return widget


def style_block() -> ipywidgets.Widget:
    """Return the style sheet as a widget, for what has no picture to bring it: forms, exercises."""
    widget = text_block(" ")
    widget.value = f"<style>{_form_style()}</style>"
    widget.layout.display = "none"
    return widget


@functools.cache
def _form_style() -> str:
    folder = Path(__file__).parent
    own = [folder / name for name in ("forms.css", "exercises.css")]
    return style_sheet() + "".join(path.read_text(encoding="utf-8") for path in own)
