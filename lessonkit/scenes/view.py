"""The one view of our own: a picture whose moved items are drawn in the page.

Python sets ``moved`` once per change, holding only what changed; ``shown`` is the whole state,
kept up to date without being sent, so that a reloaded page or a second view starts complete.
Nothing is fetched from outside: script and style sheet are files of this folder.
"""

from pathlib import Path

import anywidget
import traitlets

from lessonkit.scenes import theme

_FOLDER = Path(__file__).parent


def style_sheet() -> str:
    """Return the whole style sheet: the theme's variables, then the rules of ``view.css``."""
    return theme.css() + (_FOLDER / "view.css").read_text(encoding="utf-8")


class SceneView(anywidget.AnyWidget):
    """Widget that shows a scene; use it through :class:`lessonkit.scenes.scene.Scene`.

    Attributes
    ----------
    background : str
        SVG of the axes.
    frame : dict
        Size of the scene and the boxes and ranges of its axes.
    shown : dict
        Complete state: items by name, sentence, alternative text, flags, names of controls.
    moved : dict
        The last change: serial number ``n``, changed items, names of items gone, changed texts.
    grabbed : dict
        The last grab event from the page: name, x, y, phase and a counter ``n``.
    grab_done : int
        Counter of the last grab event that has been dealt with; the page waits for it.
    """

    _esm = (_FOLDER / "view.js").read_text(encoding="utf-8")
    _css = style_sheet()

    background = traitlets.Unicode().tag(sync=True)
    frame = traitlets.Dict().tag(sync=True)
    shown = traitlets.Dict().tag(sync=True)
    moved = traitlets.Dict().tag(sync=True)
    grabbed = traitlets.Dict().tag(sync=True, echo_update=False)
    grab_done = traitlets.Int(0).tag(sync=True)

    def __repr__(self) -> str:
        return "Scene"  # constant: a notebook's stored text must not hold an address
