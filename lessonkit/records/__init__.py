"""The learner's event store; knows nobody."""
