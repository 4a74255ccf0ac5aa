"""Questions as data, checks, feedback, variation."""
