"""What a command is handed, where a test calls it as a function."""

from collections.abc import Mapping
from datetime import datetime
from io import StringIO

from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State

NOWHERE: Mapping[str, str] = {"OBSLOG_CONFIG": "/nonexistent"}


def state_at(now: datetime, environment: Mapping[str, str] = NOWHERE) -> State:
    """The clock at that instant, and nobody in particular who types."""
    return State(clock=lambda: now, environment=environment, screen=Screen(StringIO(), StringIO()))
