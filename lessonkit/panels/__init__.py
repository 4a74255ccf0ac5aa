"""Parts that panels are made of: controls, live sentence, prediction, reset, errors."""
