"""Physics: numbers in, numbers out; numpy only."""
