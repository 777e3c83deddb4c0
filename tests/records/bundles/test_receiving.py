"""What is told is taken once, whatever bundles it came in, and only where all that it needs is there."""

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.receiving import (
    ActNotTold,
    ActOutOfOrder,
    ActToldOtherwise,
    StrangeKind,
    Told,
    gather,
    keep_unknown,
    once_each,
    write_told,
)
from obslog.records.opening import Database
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from tests.records.merging.laptops import BEGUN
from tests.records.merging.test_log_reading import reader

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


def test_an_entry_that_several_bundles_tell_is_told_once_and_the_whole_one_counts() -> None:
    rough = ChangeEntry(
        id=CHANGE,
        act_id=ACT,
        record_kind="Site",
        record_id=MEMBER,
        after={"lat_deg": 51.2},
        withheld=("lat_deg",),
    )
    whole = ChangeEntry(
        id=CHANGE, act_id=ACT, record_kind="Site", record_id=MEMBER, after={"lat_deg": 51.234}
    )
    for entries in ((rough, whole, rough), (whole, rough)):
        assert told(AN_ACT, *entries).changes == {CHANGE: whole}


def test_the_lines_of_a_batch_are_put_together_in_the_order_of_their_keys() -> None:
    found = told(batch(OTHER), batch(MEMBER, columns=("id", "name"), rows=[[MEMBER, "Anna"]]), batch(OTHER))
    one = found.batches[BATCH]
    once_each(one)
    assert one.ids == [MEMBER, OTHER]
    assert one.columns == ("id", "name")
    assert [list(row) for row in one.rows] == [[MEMBER, "Anna"], [OTHER, None]]
    assert found.touched() == {("Member", MEMBER), ("Member", OTHER)}


def test_what_is_known_is_not_written_again_and_what_is_new_is_kept_whole(database: Database) -> None:
    with database.write(BEGUN) as session:
        for _ in range(2):
            found = told(AN_ACT, A_CHANGE, batch(OTHER, THIRD))
            keep_unknown(session, found)
            write_told(session, found, reader(session), ())
        assert [
            session.scalar(select(func.count()).select_from(one)) for one in (Act, Change, ChangeBatch)
        ] == [1, 1, 1]
        act = session.scalars(select(Act)).one()
        assert (str(act.id), act.who, act.extra) == (ACT, "Anna", '{"mood": "good"}')
        assert session.scalars(select(ChangeBatch.records)).one() == 2


def test_a_change_without_its_act_and_an_undoing_without_what_it_undoes_are_refused(
    database: Database,
) -> None:
    undoing = ActEntry(id=THIRD, at_utc=BEGUN, sentence="undo", undoes_id=OTHER)
    with database.read() as session:
        for entries in ((A_CHANGE,), (batch(MEMBER),), (undoing,)):
            with pytest.raises(ActNotTold, match="neither it nor this database holds"):
                keep_unknown(session, told(*entries))


def test_what_no_program_writes_is_refused(database: Database) -> None:
    undoing = ActEntry(id=ACT, at_utc=BEGUN, sentence="undo", undoes_id=OTHER)
    strange = ChangeEntry(
        id=CHANGE, act_id=ACT, record_kind="Mem ber\0", record_id=MEMBER, after={"id": MEMBER}
    )
    with database.read() as session:
        with pytest.raises(ActOutOfOrder):
            keep_unknown(session, told(undoing))
        with pytest.raises(StrangeKind):
            keep_unknown(session, told(AN_ACT, strange))


def test_an_act_that_is_told_otherwise_is_refused(database: Database) -> None:
    with database.write(BEGUN) as session:
        found = told(AN_ACT)
        keep_unknown(session, found)
        write_told(session, found, reader(session), ())
        other = ActEntry(id=ACT, at_utc=BEGUN + timedelta(days=1), sentence=AN_ACT.sentence)
        with pytest.raises(ActToldOtherwise):
            keep_unknown(session, told(other))
