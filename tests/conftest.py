"""Fixtures of the whole test run (for --published see lessonkit/pytest_published.py)."""
