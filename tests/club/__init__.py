"""Tests of what people do: the register, nights, set-ups, arrivals, snags, observations, services."""
