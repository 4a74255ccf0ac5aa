"""Recorded or computed motion against time, and its CSV form."""
