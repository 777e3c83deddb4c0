"""Tests: Values from outside the project, each with its source."""
