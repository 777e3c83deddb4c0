"""Lets `python -m obslog` do what the console script does."""

from obslog.cli.main import run

run()
