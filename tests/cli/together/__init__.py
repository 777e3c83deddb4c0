"""Tests of the commands of what several laptops do together."""
