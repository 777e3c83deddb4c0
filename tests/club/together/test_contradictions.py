"""What two laptops say otherwise, told with both values and by the names that stand."""

from datetime import datetime

from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.night.snags import add_snag
from obslog.club.register.named_records import add
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.sameness import make_same
from obslog.records.database import Database
from obslog.records.tables.logbook import Snag
from obslog.records.tables.logbook_tables import Member
from tests.club.together.conftest import Give


def test_both_values_are_told_with_who_wrote_them_and_when(contradicted: Database, now: datetime) -> None:
    found = {one.field: one for one in list_conflicts(contradicted).fields}
    assert found.keys() == {"lat_deg", "lon_deg", "note"}
    note = found["note"]
    assert (note.what, note.stands.value, note.lost.value) == ("Mill Field", "by the mill", "by the gate")
    assert note.lost.act == "edit site Mill Field"
    assert note.lost.at_utc == now


def test_who_was_there_by_both_contradicts_nothing(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    for database in (here, there):
        start_night(database, "Mill Field", now, present=["Ines"])
    give(there, here)
    assert list_conflicts(here).fields == []


def test_a_value_that_names_a_record_which_was_joined_to_another_is_told_by_the_name_that_stands(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", "Inez", {}, now)
    add_snag(here, "power", "flat battery", now, mount="Heron")
    give(here, there)
    for database, name in ((there, "Inez"), (here, "Bram Ostler")):
        with database.write(now, "say who it was") as session:
            member = session.scalars(select(Member).where(Member.name == name)).one()
            session.scalars(select(Snag)).one().member_id = member.id
    make_same(here, "Ines", "Inez", now)
    give(there, here)
    (found,) = list_conflicts(here).fields
    assert (found.field, found.stands.value, found.lost.value) == ("member_id", "Bram Ostler", "Ines")
