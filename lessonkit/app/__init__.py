"""The top layer: command line, launcher, trust, settings; joins card, record and lessons."""

from typing import Any

__all__ = ["open_lesson"]


def __getattr__(name: str) -> Any:
    # Loaded when first asked for: the command line and its environment need no widgets.
    if name == "open_lesson":
        from lessonkit.app.session import open_lesson

        return open_lesson
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
