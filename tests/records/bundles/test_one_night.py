"""One night of the log, with what it refers to."""

from collections.abc import Callable

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.records.bundles.one_night import choose_night
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.telling import tell
from obslog.records.database import Database
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook import SameRecord
from obslog.records.tables.logbook_tables import Attendance, Item, Member, Mount, Night, Setup, Site
from tests.records.merging.laptops import BEGUN, Laptop
from tests.records.merging.whole_log import rows_now

Make = Callable[[int], list[Laptop]]


def test_a_night_comes_with_all_that_it_refers_to_and_nothing_else(
    some_laptops: Make, database: Database
) -> None:
    (one,) = some_laptops(1)

    def night(session: Session) -> None:
        ines = session.scalars(select(Member).where(Member.name == "Ines")).one()
        record = Night(site_id=session.scalars(select(Site.id)).one(), night_of=BEGUN.date())
        session.add_all([record, SameRecord(record_kind="Member", gone_id=new_key(), kept_id=ines.id)])
        session.flush()
        session.add(
            Setup(night_id=record.id, mount_id=session.scalars(select(Mount.id)).one(), started_utc=BEGUN)
        )
        session.add(Attendance(night_id=record.id, member_id=ines.id))

    one.do(night)
    one.do(lambda session: session.add(Item(name="Lens", name_key="lens")))
    with one.database.read() as session:
        key = str(session.scalars(select(Night.id)).one())
        entries = list(tell(session, choose_night(session, key, with_private=False)))
    with database.write(BEGUN) as session:
        taken = take_in(session, [entries])
        assert taken.settled.asides == {}
        kinds = sorted(kind for kind, _key in rows_now(session))
        names = sorted(session.scalars(select(Member.name)))
    assert kinds == ["Attendance", "Member", "Mount", "Night", "SameRecord", "Setup", "Site"]
    assert names == ["Ines"]
