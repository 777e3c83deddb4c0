"""OpenAstronomyLog, written and read."""
