"""Exercises of notebook 01: none yet."""

QUESTIONS = []
