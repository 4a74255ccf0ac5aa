"""Panels of the lesson on coordination; each in modules of its own."""

from lessonkit.lessons.coordination.entry_figures import entry_figures

PANELS = {
    "entry_figures": entry_figures,
}
