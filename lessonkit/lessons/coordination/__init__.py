"""Coordination: see the yaw, feel the timing."""
