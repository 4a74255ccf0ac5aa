"""Notebook 01: the form for the airplane card."""
