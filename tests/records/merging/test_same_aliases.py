"""Which record stands for which, by the rows that say so."""

from sqlalchemy import insert, select

from obslog.records.merging.same_aliases import changed_names, keep_as_one, read_aliases
from obslog.records.opening import Database
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook import Act, SameRecord
from tests.records.merging.laptops import BEGUN


def test_the_joins_say_who_stands_and_by_which_act(database: Database) -> None:
    gone, kept, other = (new_key() for _ in range(3))
    with database.read() as session:
        before = read_aliases(session)
    with database.write(BEGUN, "join") as session:
        session.add(SameRecord(record_kind="Member", gone_id=gone, kept_id=kept))
    with database.read() as session:
        after = read_aliases(session)
        (act,) = [str(key) for key in session.scalars(Act.__table__.select().with_only_columns(Act.id))]
        assert after.joining_acts(session, str(gone)) == {act}
        assert after.joining_acts(session, str(other)) == ()
    assert after.stands_for(str(gone)) == str(kept)
    assert after.stands_for(str(other)) == str(other)
    assert changed_names(before, after) == {str(gone)}
    assert changed_names(after, after) == set()


def test_what_is_one_as_long_as_both_are_open_is_one_for_good_where_that_is_said(database: Database) -> None:
    gone, kept, other, night = (new_key() for _ in range(4))
    same = [
        {"id": new_key(), "record_kind": kind, "record_id": one, "why": "same", "against_id": stands}
        for kind, one, stands in (
            ("Stocktake", gone, kept),
            ("Stocktake", night, other),
            ("Night", night, kept),
        )
    ]
    with database.write(BEGUN, "finish") as session:
        session.execute(insert(record_obstacles), same)
        keep_as_one(session, "Stocktake", kept)
        session.flush()
        said = session.execute(select(SameRecord.record_kind, SameRecord.gone_id, SameRecord.kept_id)).all()
        session.execute(record_obstacles.delete())
    assert [tuple(one) for one in said] == [("Stocktake", gone, kept)]
