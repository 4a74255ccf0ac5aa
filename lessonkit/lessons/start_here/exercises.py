"""Exercises of notebook 00: none."""

QUESTIONS = []
