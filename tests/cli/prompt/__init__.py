"""Tests of the prompt, through a pipe and at a terminal."""
