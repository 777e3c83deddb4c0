"""Commands of the night: nights, set-ups, arrivals, observations, snags, and typing up from paper."""
