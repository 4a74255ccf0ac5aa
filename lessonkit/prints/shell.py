"""The one shell of every print: paper, head on each page, caution, and nothing from outside.

A print is one HTML text that needs no other file. Its content-security policy forbids scripts,
pictures, fonts, frames and every request; the one style sheet in it is allowed by its hash.
"""

import base64
import hashlib
import re
from dataclasses import dataclass
from pathlib import Path

from lessonkit.prints.markup import Markup, element, join
from lessonkit.words import Preferences, say, say_all
from lessonkit.words.preferences import STANDARD

_STYLE = Path(__file__).with_name("print.css")
_USUAL, _NARROW = "11mm 14mm 13mm", "7mm 7mm 11mm"
_PAGE, _PAGES = "\0", "\1"  # stand for the numbers that only the browser knows
_COUNTERS = {_PAGE: " counter(page) ", _PAGES: " counter(pages) "}
_SAFE_IN_CSS = set("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 ,.:")


@dataclass(frozen=True)
class Paper:
    """A sheet of paper, upright.

    Parameters
    ----------
    name : str
        As it is chosen.
    width, height : str
        Lengths as a style sheet writes them.
    """

    name: str
    width: str
    height: str


PAPERS: dict[str, Paper] = {
    paper.name: paper for paper in (Paper("letter", "8.5in", "11in"), Paper("A4", "210mm", "297mm"))
}


def paper_of(name: str, preferences: Preferences = STANDARD) -> Paper:
    """Return the paper of a name.

    Parameters
    ----------
    name : str
        "letter" or "A4"; small and large letters count alike.
    preferences : Preferences
        Language of the error.

    Returns
    -------
    Paper

    Raises
    ------
    ValueError
        One sentence with the papers there are.

    Examples
    --------
    >>> paper_of("a4").width
    '210mm'
    """
    for paper in PAPERS.values():
        if str(name).casefold() == paper.name.casefold():
            return paper
    known = ", ".join(PAPERS)
    text = say("prints.error.paper", paper=str(name)[:20], known=known, preferences=preferences)
    raise ValueError(text)


@dataclass(frozen=True)
class Head:
    """What stands at the top of each page.

    Parameters
    ----------
    title : str
        What the print is.
    details : tuple of str
        Airplane, seed and the like, each in its own place.
    dated : str
        The date; a line to write it on without one.
    """

    title: str
    details: tuple[str, ...] = ()
    dated: str = ""


def document(
    head: Head,
    *body: Markup,
    paper: str = "",
    preferences: Preferences = STANDARD,
    landscape: bool = False,
    bare: bool = False,
) -> str:
    """Return a print as a whole HTML text.

    Parameters
    ----------
    head : Head
        Texts at the top of each page; escaped here.
    *body : Markup
        What `lessonkit.prints.markup` made.
    paper : {"letter", "A4"}
        The one of the preferences without it.
    preferences : Preferences
        Language, and the usual paper.
    landscape : bool
        Lay the paper on its side.
    bare : bool
        The body brings head and caution itself, in places of its own (`running_head`,
        `caution`).

    Returns
    -------
    str
        The same text for the same input.

    Raises
    ------
    ValueError
        One sentence for an unknown paper.
    """
    style = _style(paper_of(paper or preferences.paper, preferences), landscape, preferences)
    digest = base64.b64encode(hashlib.sha256(style.encode("utf-8")).digest()).decode("ascii")
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    content = element("main", *body) if bare else _framed(head, body, preferences)
    title = join(" – ".join((head.title, *head.details)))
    language = preferences.language
    return (
        "<!DOCTYPE html>\n"
        f'<html lang="{join(language)}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
        '<meta name="referrer" content="no-referrer">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f"<title>{title}</title>\n<style>{style}</style>\n</head>\n"
        f"<body>\n{content}\n</body>\n</html>\n"
    )


def running_head(head: Head, preferences: Preferences = STANDARD) -> Markup:
    """Return the head of a page: title, details, date."""
    date = say("prints.shell.date", preferences=preferences)
    written = head.dated or element("span", css="blank short")
    return element(
        "div",
        element("h1", head.title),
        *(element("span", detail, css="detail") for detail in head.details),
        element("span", date, " ", written, css="date"),
        css="head",
    )


def caution(preferences: Preferences = STANDARD) -> Markup:
    """Return the caution that stands on every print: the kit's own, word for word."""
    first, *rest = say_all("common.caution", preferences=preferences)
    return element("aside", element("strong", first), " ", " ".join(rest), css="caution")


def _framed(head, body, preferences):
    """Put the body into a table: browsers repeat a table's head on each page they print."""
    top = element("thead", element("tr", element("td", running_head(head, preferences))))
    inside = element("main", caution(preferences), *body)
    return element(
        "table", top, element("tbody", element("tr", element("td", inside))),
        css="frame", role="presentation",
    )  # fmt: skip


def _style(paper, landscape, preferences):
    width, height = (paper.height, paper.width) if landscape else (paper.width, paper.height)
    foot = _in_css(say("prints.shell.foot", preferences=preferences))
    numbered = say("prints.shell.page", page=_PAGE, pages=_PAGES, preferences=preferences)
    counted = "".join(
        _COUNTERS.get(part) or _in_css(part) for part in re.split(f"({_PAGE}|{_PAGES})", numbered)
    )
    margin = _NARROW if landscape else _USUAL
    return (
        f"@page {{ size: {width} {height}; margin: {margin};"
        f" @bottom-left {{ content: {foot}; }}"
        f" @bottom-right {{ content: {counted}; }} }}\n"
        f":root {{ --paper-width: {width}; --paper-height: {height}; }}\n"
        + _STYLE.read_text(encoding="utf-8")
    )


def _in_css(text):
    """Return a text of the kit as a string of a style sheet, whatever it holds."""
    safe = (one if one in _SAFE_IN_CSS else f"\\{ord(one):x} " for one in text)
    return '"' + "".join(safe) + '"'
