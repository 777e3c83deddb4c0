"""The keys that scripts were promised from the first are in the schema of the review."""

import pytest

from tests.cli.answers.held import promised_keys_missing


@pytest.mark.parametrize(
    ("command", "record", "keys"),
    [
        ("review", "ReviewAnswer", "attribution items"),
        ("review", "ReviewedItem", "name kind status reasons effect"),
        ("review", "ReviewEffect", "ratio low high"),
        ("review", "Share", "share sd"),
    ],
)
def test_the_promised_keys_are_there_and_always(command: str, record: str, keys: str) -> None:
    assert promised_keys_missing(command, record, keys) == set()
