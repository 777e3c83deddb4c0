"""What was there twice is made one when records are moved, and learns what the other says."""

from collections import Counter
from datetime import datetime

from sqlalchemy import select

from obslog.club.register.named_records import add
from obslog.club.together.moving import make_one
from obslog.records.database import Database
from obslog.records.merging.kinds import kinds
from obslog.records.tables.logbook_tables import Item, Service
from obslog.records.tables.storeroom import Paper


def test_papers_are_made_one_and_services_moved(here: Database, now: datetime) -> None:
    add(here, "item", "Lead batery", {"sort": "battery", "note": "swollen"}, now)
    moved: Counter[str] = Counter()
    with here.write(now, "join") as session:
        stays, goes = (
            session.scalars(select(Item).where(Item.name == name)).one()
            for name in ("Lead battery", "Lead batery")
        )
        session.add_all(
            [
                Paper(equipment_id=stays.id, tag="A1", serial=None),
                Paper(equipment_id=goes.id, tag="A2", serial="s2"),
                Service(equipment_id=goes.id, done_on=now.date(), text="charged"),
            ]
        )
        session.flush()
        kept = stays.id
        make_one(session, kinds()["Item"], stays, goes, moved)
    with here.read() as session:
        (paper,) = session.scalars(select(Paper))
        assert (paper.tag, paper.serial, paper.equipment_id) == ("A1", "s2", kept)
        assert session.scalars(select(Service.equipment_id)).all() == [kept]
        assert session.get_one(Item, kept).note == "swollen; also written Lead batery"
        assert session.scalars(select(Item.name)).all() == ["Lead battery"]
    assert moved == {"papers": 1, "services": 1}
