"""The top layer: command line, launcher, trust, settings; joins card, record and lessons."""
