"""The only place that makes HTML widgets: every text is escaped here."""

import ipywidgets

from lessonkit.words import escape_html


def text_block(
    text: str = "",
    css: str = "",
    tag: str = "div",
    alert: bool = False,
    looks: dict | None = None,
    role: str = "",
) -> ipywidgets.HTML:
    """Return a widget that shows plain text; empty text takes no room.

    Parameters
    ----------
    text : str
        Plain text; whatever it holds is shown as it is.
    css : str
        Class of the style sheet for the text.
    tag : {"div", "h3", "strong", "p"}
        Element around the text.
    alert : bool
        A screen reader says the text at once when it appears.
    looks : dict, optional
        Layout and style that many texts have in common; such a text is not taken away when it
        is empty.
    role : {"", "status", "alert"}
        Says the text at once where no picture stands on the page to care for ``alert``.
    """
    if tag not in ("div", "h3", "strong", "p"):
        raise ValueError(f"no text element {tag!r}")
    widget = ipywidgets.HTML(**(looks or {}))
    widget.lk_css, widget.lk_tag, widget.lk_role = css, tag, role
    if alert:
        widget.add_class("lk-alert")
    if text or not looks:
        set_text(widget, text)
    return widget


def set_text(widget: ipywidgets.HTML, text: str) -> None:
    """Change the text of a widget made by ``text_block``."""
    tag, css = widget.lk_tag, widget.lk_css
    role = f' role="{widget.lk_role}"' if widget.lk_role else ""
    value = f'<{tag} class="{css}"{role}>{escape_html(text)}</{tag}>' if text else ""
    if widget.value != value:
        widget.value = value
    widget.layout.display = None if text else "none"


def text_list(texts: list[str], css: str = "", first_strong: bool = False) -> ipywidgets.HTML:
    """Return a widget with one paragraph a text."""
    parts = []
    for index, text in enumerate(texts):
        safe = escape_html(text)
        parts.append(f"<p><strong>{safe}</strong></p>" if first_strong and not index else safe)
    head, *rest = parts or [""]
    return ipywidgets.HTML(f'<div class="{css}" role="note">{head}<p>{" ".join(rest)}</p></div>')
