"""The library for people's own programs."""
