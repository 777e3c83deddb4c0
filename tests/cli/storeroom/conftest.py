"""A club that lends."""

import pytest

from tests.cli.program import Program, written_once


@pytest.fixture
def lending(in_club: Program) -> Program:
    """The small club with a second member and an evening kit."""
    return written_once(in_club, type_lending)


def type_lending(program: Program) -> None:
    program.must("member", "add", "Tomasz")
    program.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "Wide 25", "--part", "dust cap")
