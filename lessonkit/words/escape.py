"""The one way from anybody's text to HTML."""

import html
import unicodedata

# The page typesets mathematics after the HTML is parsed, so that an entity does not protect:
# look-alikes that open no formula do. They are safe inside attributes too.
_LOOK_ALIKES = str.maketrans({"$": "\uff04", "\\": "\uff3c"})
_KEPT = "\n\t"
# Cc control, Cs half a character (cannot be stored as UTF-8). Of the format characters only
# those that reorder what is read are removed; joiners belong to ordinary writing.
_REORDERING = set("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def plain(text: object) -> str:
    """Return text without control characters and without marks that reorder the line.

    Examples
    --------
    >>> plain("flap" + chr(7) + "s")
    'flaps'
    """
    return "".join(
        character
        for character in str(text)
        if character in _KEPT
        or not (unicodedata.category(character) in ("Cc", "Cs") or character in _REORDERING)
    )


def escape_html(text: object) -> str:
    """Return text that HTML shows as it is: no tag, no attribute, no formula.

    Parameters
    ----------
    text : object
        Anything a user, a file or a sentence holds; made a string first.

    Returns
    -------
    str
        Safe between tags and inside quoted attributes. A dollar sign and a backslash become
        their full-width look-alikes, because the page would typeset them as mathematics.

    Examples
    --------
    >>> escape_html('<b title="x">')
    '&lt;b title=&quot;x&quot;&gt;'
    """
    return html.escape(plain(text), quote=True).translate(_LOOK_ALIKES)
