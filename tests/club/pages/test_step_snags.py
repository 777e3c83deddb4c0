"""The snags of a mount by the steps of the checklist."""

from datetime import datetime, timedelta

from sqlalchemy import select

from obslog.club.night.snags import add_snag, fix_snag
from obslog.club.pages.step_snags import snags_by_step
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Mount
from obslog.vocabulary.steps import Step


def test_they_are_counted_in_the_order_of_the_checklist_with_the_newest(
    evening: Database, now: datetime
) -> None:
    first = add_snag(evening, Step.VERIFY, "off by a field", now - timedelta(minutes=30))
    fix_snag(evening, first.reference, "synced again", now)
    add_snag(evening, Step.VERIFY, "off again", now - timedelta(minutes=10))
    add_snag(evening, Step.LEVEL, "bubble off", now)
    add_snag(evening, Step.LEVEL, "another mount's", now, mount="Bracken")
    with evening.read() as session:
        heron = session.scalars(select(Mount).where(Mount.name == "Heron")).one()
        found = snags_by_step(session, heron)
    assert [(one.step, one.count, one.not_mended, one.last_text) for one in found] == [
        (Step.LEVEL, 1, 1, "bubble off"),
        (Step.VERIFY, 2, 1, "off again"),
    ]
