"""The one picture view: axes drawn once, items moved in data coordinates."""
