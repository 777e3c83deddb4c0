"""Tests of the review on the command line."""
