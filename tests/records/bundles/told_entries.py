"""A few entries that bundles tell, for the tests of who receives them."""

from typing import Any

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.told import Told, gather
from tests.records.merging.laptops import BEGUN

ACT, CHANGE, BATCH, MEMBER, OTHER, THIRD = (f"019c9d7a-0000-7000-8000-00000000000{n}" for n in range(6))
AN_ACT = ActEntry(id=ACT, at_utc=BEGUN, sentence="add member Anna", who="Anna", extra={"mood": "good"})
A_CHANGE = ChangeEntry(
    id=CHANGE, act_id=ACT, record_kind="Member", record_id=MEMBER, after={"id": MEMBER, "name": "Anna"}
)


def batch(*ids: str, columns: tuple[str, ...] = ("id",), rows: list[list[Any]] | None = None) -> BatchEntry:
    return BatchEntry(
        id=BATCH, act_id=ACT, record_kind="Member", what="added", columns=columns, ids=list(ids),
        rows=rows or [[one] for one in ids],
    )  # fmt: skip


def told(*entries: Entry) -> Told:
    found = Told()
    gather(entries, found)
    return found
