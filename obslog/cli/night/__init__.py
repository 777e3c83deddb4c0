"""Commands of the night: nights, set-ups, arrivals, observations and snags."""
