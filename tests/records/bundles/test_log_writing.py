"""What is told stands in the log once, and whole."""

from sqlalchemy import func, select

from obslog.records.bundles.log_writing import write_told
from obslog.records.bundles.receiving import keep_unknown
from obslog.records.database import Database
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from tests.records.bundles.told_entries import A_CHANGE, ACT, AN_ACT, OTHER, THIRD, batch, told
from tests.records.merging.laptops import BEGUN
from tests.records.merging.test_log_reading import reader


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
