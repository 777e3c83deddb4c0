"""Tests of trends, landings and attribution."""
