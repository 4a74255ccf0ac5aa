"""The airplane card: schema, validation, fit, origins, numbers."""
