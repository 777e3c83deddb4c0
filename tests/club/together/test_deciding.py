"""Taking the other value, and dropping what cannot stand: ordinary acts that other laptops follow."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.club.storeroom.loans import lend
from obslog.club.together.deciding import CannotChoose, NoSuchConflict, choose, drop, list_conflicts
from obslog.records.opening import Database
from obslog.records.tables.logbook_tables import Site
from tests.club.together.conftest import Give, named, rows


@pytest.fixture
def contradicted(here: Database, there: Database, give: Give, now: datetime) -> Database:
    """Both have given Mill Field a place and a note; the other laptop's came later, and stand."""
    edit(here, "site", "Mill Field", {"lat_deg": 52.3, "lon_deg": 0.13, "note": "by the gate"}, now)
    edit(there, "site", "Mill Field", {"lat_deg": 52.4, "lon_deg": 0.14, "note": "by the mill"}, now)
    give(there, here)
    return here


def place(database: Database) -> tuple[object, ...]:
    with database.read() as session:
        query = select(Site.lat_deg, Site.lon_deg, Site.note).where(Site.name == "Mill Field")
        return tuple(session.execute(query).one())


def reference_of(database: Database, field: str) -> str:
    (found,) = [one.reference for one in list_conflicts(database).fields if one.field == field]
    return found


def test_both_values_are_told_with_who_wrote_them_and_when(contradicted: Database, now: datetime) -> None:
    found = {one.field: one for one in list_conflicts(contradicted).fields}
    assert found.keys() == {"lat_deg", "lon_deg", "note"}
    note = found["note"]
    assert (note.what, note.stands.value, note.lost.value) == ("Mill Field", "by the mill", "by the gate")
    assert note.lost.act == "edit site Mill Field"
    assert note.lost.at_utc == now


def test_the_other_value_is_taken_with_what_belongs_to_it(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    choose(contradicted, reference_of(contradicted, "lat_deg"), later)
    assert place(contradicted) == (52.3, 0.13, "by the mill")
    assert [one.field for one in list_conflicts(contradicted).fields] == ["note"]
    choose(contradicted, reference_of(contradicted, "note").upper(), later)
    assert place(contradicted) == (52.3, 0.13, "by the gate")
    assert list_conflicts(contradicted).fields == []
    give(contradicted, there)
    assert place(there) == (52.3, 0.13, "by the gate")
    undo(contradicted, later)
    assert place(contradicted) == (52.3, 0.13, "by the mill")


def test_what_is_no_conflict_cannot_be_chosen_or_dropped(contradicted: Database, later: datetime) -> None:
    with pytest.raises(NoSuchConflict):
        choose(contradicted, "abcdef", later)
    with pytest.raises(NoSuchConflict):
        drop(contradicted, reference_of(contradicted, "note"), later)


def test_a_value_of_what_was_removed_cannot_be_chosen(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "item", "Lens", {}, now)
    give(here, there)
    edit(there, "item", "Lens", {"note": "scratched"}, now)
    undo(here, now)
    give(there, here)
    with pytest.raises(CannotChoose, match="no place of its own"):
        choose(here, reference_of(here, "note"), later)


def test_a_name_that_another_has_cannot_be_chosen(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    edit(here, "member", "Bram Ostler", {}, now, rename="Bram")
    edit(there, "member", "Bram Ostler", {}, now, rename="Bram O.")
    give(there, here)
    add(here, "member", "Bram", {}, later)
    with pytest.raises(CannotChoose, match="another has it"):
        choose(here, reference_of(here, "name"), later)
    assert {"Bram", "Bram O."} <= set(named(here, "members"))


def test_what_cannot_stand_is_dropped_with_its_parts_and_on_the_other_laptop_too(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now + timedelta(minutes=1))
    (waits,) = give(there, here).to_settle
    said = drop(here, waits.reference, later)
    assert (
        said.sentence
        == "Dropped: the loan of Lead battery to Bram Ostler since 2026-03-02. Its history stays."
    )
    assert list_conflicts(here).to_settle == []
    give(here, there)
    assert rows(there) == rows(here)
    with there.read() as session:
        from obslog.records.tables.lending import Loan, LoanPart

        assert len(session.scalars(select(Loan)).all()) == len(session.scalars(select(LoanPart)).all()) == 1


def test_who_was_there_by_both_contradicts_nothing(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    for database in (here, there):
        start_night(database, "Mill Field", now, present=["Ines"])
    give(there, here)
    assert list_conflicts(here).fields == []
