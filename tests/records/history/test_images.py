"""An image of a record is plain JSON, the same on either database, and reads back as the record was."""

import json
from datetime import date

from sqlalchemy import inspect, select

from obslog.records.database import Database
from obslog.records.history.images import image_of, read_image, record_kind, record_kinds
from obslog.records.tables.lending import Loan
from obslog.records.tables.logbook_tables import Mount


def test_an_image_is_plain_json_and_reads_back(full_database: Database) -> None:
    with full_database.read() as session:
        loan = session.scalars(select(Loan)).one()
        image = json.loads(json.dumps(image_of(loan)))
        assert (image["out_on"], image["deposit"]) == ("2026-02-01", 50.0)
        assert image["id"] == str(loan.id)
        values = read_image(record_kind(Loan), image)
        assert values == {a.key: getattr(loan, a.key) for a in inspect(Loan).column_attrs}
        assert values["out_on"] == date(2026, 2, 1)


def test_an_image_before_a_change_holds_the_old_values(club: Database) -> None:
    with club.read() as session:
        mount = session.scalars(select(Mount).where(Mount.name == "Heron")).one()
        mount.refraction, mount.note = True, "new"
        before = image_of(mount, inspect(mount).committed_state)
        after = image_of(mount)
        assert (before["refraction"], before["note"]) == (0, None)
        assert (after["refraction"], after["note"]) == (1, "new")
        session.rollback()


def test_every_mapped_class_is_a_kind() -> None:
    assert {"Mount", "Arrival", "Loan", "Contact", "Act"} <= record_kinds().keys()
