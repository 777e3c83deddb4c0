"""Words in the order of a sentence, against the command that somebody means who says them so."""

from types import SimpleNamespace

import pytest

from obslog.cli.terminal.word_order import meant_by_words

GROUP = SimpleNamespace(commands={"start": None, "end": None, "list": None})
COMMANDS = {"night": GROUP, "mount": SimpleNamespace(commands={"add": None, "list": None}), "sync": object()}


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("end night", "obslog night end"), ("End Night now", "obslog night end"),
        ("list mounts", "obslog mount list"), ("add mount Heron", "obslog mount add"),
        ("--red --db club.db end night", "obslog night end"), ("end --json night", "obslog night end"),
        ("help", "obslog --help"), ("help sync", "obslog sync --help"), ("help vega", "obslog --help"),
    ],
)  # fmt: skip
def test_the_other_order_is_told_where_it_is_a_command(typed: str, meant: str) -> None:
    assert meant_by_words(typed.split(), COMMANDS) == meant


@pytest.mark.parametrize(
    "typed", ["", "end", "end knight", "add night", "list sync", "night mount", "--db end"]
)
def test_nothing_is_told_where_no_order_is_one(typed: str) -> None:
    assert meant_by_words(typed.split(), COMMANDS) is None
