"""What all kinds have in common at the keyboard: the words of their help, and the names of their columns."""

import pytest

from obslog.cli.register.named_records import heading
from tests.cli.program import Program

KINDS = {"site": "a", "mount": "a", "tube": "a", "member": "a", "eyepiece": "an", "item": "an"}


@pytest.mark.parametrize("kind", KINDS)
def test_the_help_has_the_kind_with_its_article(program: Program, kind: str) -> None:
    article = KINDS[kind]
    told = program.must(kind, "--help").out
    assert f"Retire {article} {kind}; its history stays on record." in told
    assert f"Change what is on record of {article} {kind}." in told
    assert ("any other item" if kind == "item" else f"Put {article} {kind} on record.") in told


def test_a_column_without_a_heading_of_its_own_is_called_by_its_name() -> None:
    assert [heading(column) for column in ("elevation_m", "retired_why", "serial_number", "zone")] == [
        "elevation m", "because", "serial number", "zone",
    ]  # fmt: skip
