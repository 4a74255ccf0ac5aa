"""Parts of forms: headings, hints, errors, notes and tables as text, every word of it escaped."""

from collections.abc import Sequence

import ipywidgets

from lessonkit.words import escape_html

# Colours are those of the page's own theme, so that light and dark both read well. An error has
# a sign and a bar besides its colour.
_STYLES = {
    "heading": "margin: 14px 0 2px; font-size: 1.15em; font-weight: 600; line-height: 1.3;",
    "hint": "margin: 2px 0 0 6px; line-height: 1.3; color: var(--jp-ui-font-color2);",
    "error": "margin: 0 0 6px 19em; padding: 2px 8px; line-height: 1.35;"
    " border-left: 4px solid var(--jp-error-color1);",
    "note": "margin: 6px 0; padding: 4px 10px; line-height: 1.4; max-width: 60em;"
    " border-left: 4px solid var(--jp-warn-color1);",
    "plain": "margin: 4px 0; line-height: 1.4; max-width: 60em;",
    "good": "margin: 4px 0; padding: 4px 10px; line-height: 1.4; max-width: 60em;"
    " border-left: 4px solid var(--jp-success-color1);",
    "bad": "margin: 4px 0; padding: 4px 10px; line-height: 1.4; max-width: 60em;"
    " border-left: 4px solid var(--jp-error-color1);",
}
_TAGS = {"heading": "h3"}
_ROLES = {"error": ' role="alert"', "good": ' role="status"', "bad": ' role="alert"'}
_SIGNS = {"error": "⚠ ", "bad": "⚠ "}


class TextBlock:
    """Lines of plain text of one kind; takes no room while it is empty.

    Parameters
    ----------
    kind : {"heading", "hint", "error", "note", "plain", "good", "bad"}
    text : str or sequence of str
        A paragraph, or several; escaped here.

    Examples
    --------
    >>> TextBlock("error", "<b>").widget.value.endswith("&lt;b&gt;</p>")
    True
    """

    def __init__(self, kind: str, text: str | Sequence[str] = ""):
        self.kind = kind
        self.widget = ipywidgets.HTML()
        self.text = ""
        self.tell(text)

    def tell(self, text: str | Sequence[str], kind: str = "") -> None:
        """Show another text, and of another kind if one is named."""
        self.kind = kind or self.kind
        lines = [text] if isinstance(text, str) else list(text)
        lines = [line for line in lines if line]
        tag = _TAGS.get(self.kind, "p")
        head = f'<{tag} style="{_STYLES[self.kind]}"{_ROLES.get(self.kind, "")}>'
        sign = _SIGNS.get(self.kind, "")
        html = "".join(f"{head}{sign}{escape_html(line)}</{tag}>" for line in lines)
        self.text = "\n".join(lines)
        if self.widget.value != html:
            self.widget.value = html
        self.widget.layout.display = "" if lines else "none"


def table_block(
    caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]]
) -> ipywidgets.HTML:
    """Return a table of texts with a caption and column heads; every cell escaped here.

    Parameters
    ----------
    caption : str
    heads : sequence of str
    rows : sequence of sequences of str
        The first cell of a row names it; the others are set to the right.
    """
    cell = "padding: 2px 12px 2px 0; border-bottom: 1px solid var(--jp-border-color2);"
    head = "".join(
        f'<th scope="col" style="{cell} text-align: {"left" if i == 0 else "right"};">'
        f"{escape_html(text)}</th>"
        for i, text in enumerate(heads)
    )
    body = "".join(
        "<tr>"
        + f'<th scope="row" style="{cell} text-align: left; font-weight: 400;">'
        + f"{escape_html(row[0])}</th>"
        + "".join(
            f'<td style="{cell} text-align: right;">{escape_html(text)}</td>' for text in row[1:]
        )
        + "</tr>"
        for row in rows
    )
    return ipywidgets.HTML(
        '<table style="border-collapse: collapse; margin: 4px 0; line-height: 1.4;">'
        f'<caption style="text-align: left; font-weight: 600; padding: 6px 0;">'
        f"{escape_html(caption)}</caption><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table>"
    )
