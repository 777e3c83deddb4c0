"""What is told is taken only where all that it needs is there, and as a program would write it."""

from datetime import timedelta

import pytest

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry
from obslog.records.bundles.log_writing import write_told
from obslog.records.bundles.receiving import (
    ActNotTold,
    ActOutOfOrder,
    ActToldOtherwise,
    StrangeKind,
    keep_unknown,
)
from obslog.records.database import Database
from tests.records.bundles.told_entries import (
    A_CHANGE,
    ACT,
    AN_ACT,
    CHANGE,
    MEMBER,
    OTHER,
    THIRD,
    batch,
    told,
)
from tests.records.merging.laptops import BEGUN
from tests.records.merging.test_log_reading import reader


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
