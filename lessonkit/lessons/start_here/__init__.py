"""Notebook 00: choose the airplane, set units, go to a lesson."""
