"""Landing lessons for light single-engine airplanes."""
