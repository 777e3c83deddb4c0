"""Targets of a log under the names by which they are known here."""

import pytest

from obslog.club.open_log.log_objects import Objects, TargetMissing
from obslog.exchange.open_log.records import Log, LogTarget

LOG = Log(
    targets={
        "m": LogTarget(id="m", name="M81", datasource="x"),
        "a": LogTarget(id="a", name="Der große Nebel", aliases=("no such", "NGC 224"), datasource="x"),
        "u": LogTarget(id="u", name="Old Smudge", constellation="Lyr", datasource="a list"),
    }
)


@pytest.mark.parametrize(
    ("reference", "name", "lines"),
    [
        ("m", "M 81", []),
        ("a", "M 31", ["object: Der große Nebel"]),
        ("u", "Old Smudge", ["constellation: Lyr", "from: a list"]),
    ],
)
def test_an_object_has_our_name_and_what_else_is_told(reference: str, name: str, lines: list[str]) -> None:
    found = Objects(LOG).named(reference)
    assert (found.target.name, found.lines) == (name, lines)


def test_one_that_the_log_does_not_hold_is_refused() -> None:
    with pytest.raises(TargetMissing):
        Objects(LOG).named("z")
