"""What happens in a night: nights, set-ups, arrivals, observations, snags."""
