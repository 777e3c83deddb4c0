"""Tests of what people do."""
