"""The area in the page that takes keys, sliders and pads; its script only reports and shows.

Short events (a key down, the focus lost, a picture shown) come as messages, so that none is
dropped; places of sliders and pads come as traits, of which only the newest matters.
"""

from pathlib import Path

import anywidget
import traitlets

from lessonkit.scenes import theme

_FOLDER = Path(__file__).parent


class HandsView(anywidget.AnyWidget):
    """Widget of :class:`lessonkit.drills.inputs.Hands`.

    Attributes
    ----------
    setup : dict
        Controls with their names and keys, and all texts of the area.
    flown : list of str
        Controls that the learner moves now; the others are shown but moved by the kit.
    listen : list of int or None
        Devices whose axes are reported; None for all of them.
    kept : dict
        Assigned axes; the page keeps them in its own storage.
    desk : dict
        What the part for pedals, stick and gamepad shows: a sentence and a row for each control.
    note : str
        A sentence, such as why a run was stopped.
    alarm : bool
        The sentence names trouble.
    running : bool
        A run goes on: keys that would scroll the page do not.
    slid : dict
        From the page: for each slider moved, its share and a counter.
    axes_now : dict
        From the page: a counter, and devices by place, each with name and axes.
    """

    _esm = (_FOLDER / "input_view.js").read_text(encoding="utf-8")
    _css = theme.css() + (_FOLDER / "input_view.css").read_text(encoding="utf-8")

    setup = traitlets.Dict().tag(sync=True)
    flown = traitlets.List().tag(sync=True)
    listen = traitlets.List(allow_none=True, default_value=[]).tag(sync=True)
    kept = traitlets.Dict().tag(sync=True)
    desk = traitlets.Dict().tag(sync=True)
    note = traitlets.Unicode("").tag(sync=True)
    alarm = traitlets.Bool(False).tag(sync=True)
    running = traitlets.Bool(False).tag(sync=True)
    slid = traitlets.Dict().tag(sync=True, echo_update=False)
    axes_now = traitlets.Dict().tag(sync=True, echo_update=False)

    def __repr__(self) -> str:
        return "Hands"  # constant: a notebook's stored text must not hold an address
