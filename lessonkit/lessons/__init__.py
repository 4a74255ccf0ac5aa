"""One folder per lesson: its panels and its exercises, no formula."""
