"""Prints: whole HTML texts for paper, one shell and one style, nothing from outside."""

from lessonkit.prints.shell import PAPERS, paper_of

__all__ = ["PAPERS", "paper_of"]
