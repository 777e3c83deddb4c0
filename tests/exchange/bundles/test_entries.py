"""What the records of a bundle hold when they are made."""

from msgspec.structs import fields

from obslog.exchange.bundles.entries import (
    ActEntry,
    ActFields,
    BatchEntry,
    BatchFields,
    ChangeEntry,
    ChangeFields,
)
from tests.exchange.bundles.made import ACT, BATCH, CHANGE


def test_an_entry_is_its_fields_and_what_is_not_known() -> None:
    for entry, known in ((ActEntry, ActFields), (ChangeEntry, ChangeFields), (BatchEntry, BatchFields)):
        assert [field.name for field in fields(entry)] == [*(field.name for field in fields(known)), "extra"]


def test_what_is_not_said_is_not_known() -> None:
    bare = ActEntry(id=ACT.id, at_utc=ACT.at_utc, sentence="x")
    assert (bare.who, bare.origin, bare.undoes_id, bare.extra) == (None, None, None, {})
    assert (CHANGE.withheld, BATCH.withheld) == ((), ())


def test_two_entries_do_not_share_what_is_not_known() -> None:
    one, other = (ActEntry(id=ACT.id, at_utc=ACT.at_utc, sentence="x") for _ in range(2))
    one.extra["mood"] = "cold"
    assert other.extra == {}
