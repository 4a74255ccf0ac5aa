"""Widgets that leave the page for good leave the kernel too."""

import ipywidgets


def close_tree(widget: ipywidgets.Widget, keep: tuple[ipywidgets.Widget, ...] = ()) -> None:
    """Close a widget with all that is in it, its layouts and styles.

    Parameters
    ----------
    widget : Widget
        Nothing that stays on the page may share a layout or a style with it.
    keep : tuple of Widget
        Widgets in it that stay.
    """
    if widget in keep:
        return
    for child in getattr(widget, "children", ()):
        close_tree(child, keep)
    for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
        if isinstance(part, ipywidgets.Widget):
            part.close()
    widget.close()
