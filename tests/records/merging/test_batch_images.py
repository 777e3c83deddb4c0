"""Images of many are kept once, and of the right batch."""

from sqlalchemy import select

from obslog.records.database import Database
from obslog.records.history.batches import unpacked_images
from obslog.records.merging.batch_images import keep_images_of
from obslog.records.tables.logbook import ChangeBatch
from tests.records.merging.laptops import BEGUN
from tests.records.merging.test_log_reading import put_many, reader


def test_only_the_batch_that_added_the_record_gets_images(database: Database) -> None:
    first = put_many(database, 30)
    with database.write(BEGUN) as session:
        reading = reader(session)
        keep_images_of(reading, "Member", [])
        assert session.scalars(select(ChangeBatch.images)).all() == [None]
        keep_images_of(reading, "Member", first[5:6])
        keep_images_of(reading, "Member", first[6:7])
        (images,) = session.scalars(select(ChangeBatch.images)).all()
    assert images is not None
    columns, rows = unpacked_images(images)
    assert [row[columns.index("id")] for row in rows] == sorted(first)
    assert [row[columns.index("name")] for row in rows] == [f"M{n}" for n in range(30)]
