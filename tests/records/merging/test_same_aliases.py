"""Which record stands for which, by the rows that say so."""

from obslog.records.merging.same_aliases import changed_names, read_aliases
from obslog.records.opening import Database
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
