"""Taking the other value, and dropping what cannot stand: ordinary acts that other laptops follow."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.history.told import ActHistory, RecordHistory, history_of, newest_acts
from obslog.club.night.snags import add_snag
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import redo, undo
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import Conflicts, list_conflicts
from obslog.club.together.deciding import CannotChoose, choose, drop, keep
from obslog.club.together.references import NoSuchConflict
from obslog.club.together.sameness import make_same
from obslog.records.database import Database
from obslog.records.tables.lending import Absence, Loan, LoanPart
from obslog.records.tables.logbook_tables import Item, Member, Site
from obslog.records.undoing.undo_errors import CannotUndo, ContradictsItself
from tests.club.together.conftest import Give, named, rows


def place(database: Database) -> tuple[object, ...]:
    with database.read() as session:
        query = select(Site.lat_deg, Site.lon_deg, Site.note).where(Site.name == "Mill Field")
        return tuple(session.execute(query).one())


def reference_of(database: Database, field: str) -> str:
    (found,) = [one.reference for one in list_conflicts(database).fields if one.field == field]
    return found


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


def test_a_choice_that_is_taken_back_leaves_the_conflict_as_it_was_on_both_laptops(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    open_before = list_conflicts(contradicted).fields
    choose(contradicted, reference_of(contradicted, "lat_deg"), later)
    give(contradicted, there)
    assert [one.field for one in list_conflicts(there).fields] == ["note"]
    undo(contradicted, later)
    assert place(contradicted) == (52.4, 0.14, "by the mill")
    assert list_conflicts(contradicted).fields == open_before
    give(contradicted, there)
    assert list_conflicts(there).fields == open_before
    redo(contradicted, later)
    assert [one.field for one in list_conflicts(contradicted).fields] == ["note"]
    give(contradicted, there)
    assert [one.field for one in list_conflicts(there).fields] == ["note"]
    undo(contradicted, later)
    give(contradicted, there)
    assert list_conflicts(there).fields == list_conflicts(contradicted).fields == open_before
    choose(there, reference_of(there, "lat_deg"), later)
    assert place(there) == (52.3, 0.13, "by the mill")


def test_a_choice_taken_back_elsewhere_is_open_again_here(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    open_before = list_conflicts(contradicted).fields
    choose(contradicted, reference_of(contradicted, "note"), later)
    give(contradicted, there)
    (choice,) = [one for one in newest_acts(there, 1) if one.act.startswith("choose")]
    undo(there, later, choice.reference)
    give(there, contradicted)
    for database in (contradicted, there):
        assert place(database) == (52.4, 0.14, "by the mill")
        assert list_conflicts(database).fields == open_before


def test_what_stands_is_kept_and_listed_no_more_on_both_laptops_until_that_is_taken_back(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    open_before, stood = list_conflicts(contradicted).fields, rows(contradicted)
    said = keep(contradicted, reference_of(contradicted, "note").upper(), later)
    assert said.sentence == "Kept: by the mill for the note of Mill Field."
    assert {one.field for one in list_conflicts(contradicted).fields} == {"lat_deg", "lon_deg"}
    keep(contradicted, reference_of(contradicted, "lon_deg"), later)
    assert list_conflicts(contradicted).fields == []
    give(contradicted, there)
    assert list_conflicts(there).fields == []
    assert rows(contradicted) == rows(there) == stood
    for expected in (["note"], []):
        undo(contradicted, later)
        give(contradicted, there)
        for one in (contradicted, there):
            listed = list_conflicts(one).fields
            assert listed == [conflict for conflict in open_before if conflict.field not in expected]
    redo(contradicted, later)
    assert {one.field for one in list_conflicts(contradicted).fields} == {"lat_deg", "lon_deg"}
    assert rows(contradicted) == stood


def test_the_history_tells_what_was_kept_as_one_change_that_left_it_as_it_was(
    contradicted: Database, later: datetime
) -> None:
    keep(contradicted, reference_of(contradicted, "note"), later)
    (act,) = newest_acts(contradicted, 1)
    told = history_of(contradicted, act.reference, 9)
    assert isinstance(told, ActHistory)
    assert (act.act, [(one.what, one.fields) for one in told.changes]) == (
        "keep the note of Mill Field",
        [("kept", [])],
    )
    life = history_of(contradicted, "Mill Field", 1)
    assert isinstance(life, RecordHistory)
    assert [(entry.what, entry.fields) for entry in life.entries] == [("kept", [])]


def test_who_keeps_where_a_private_site_lies_does_not_round_it_where_it_is_known(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    for one, lat_deg in ((here, 52.312345), (there, 52.412345)):
        edit(one, "site", "Mill Field", {"lat_deg": lat_deg, "lon_deg": 0.154321, "private": True}, now)
    give(there, here)
    assert place(here)[0] == 52.41
    keep(here, reference_of(here, "lat_deg"), later)
    assert place(here)[0] == 52.41
    give(here, there)
    assert place(there)[:2] == (52.412345, 0.154321)
    undo(here, later)
    give(here, there)
    assert place(there)[:2] == (52.412345, 0.154321)


def test_who_wrote_over_what_stands_without_knowing_that_it_was_kept_contradicts_nothing(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    keep(contradicted, reference_of(contradicted, "note"), later)
    edit(there, "site", "Mill Field", {"note": "by the lane"}, later)
    give(there, contradicted)
    assert place(contradicted)[-1] == "by the lane"
    assert {one.field for one in list_conflicts(contradicted).fields} == {"lat_deg", "lon_deg"}


def test_a_name_that_another_has_since_is_kept_out_and_that_is_taken_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    edit(here, "member", "Bram Ostler", {}, now, rename="Bram")
    edit(there, "member", "Bram Ostler", {}, now, rename="Bram O.")
    give(there, here)
    add(here, "member", "Bram", {}, later)
    open_before, stood = list_conflicts(here), rows(here)
    keep(here, reference_of(here, "name"), later)
    assert list_conflicts(here).fields == []
    undo(here, later)
    assert (list_conflicts(here), rows(here)) == (open_before, stood)


def test_that_a_record_stays_removed_is_kept_and_taken_back(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "item", "Lens", {}, now)
    give(here, there)
    edit(there, "item", "Lens", {"note": "scratched"}, now)
    undo(here, now)
    give(there, here)
    open_before, stood = list_conflicts(here), rows(here)
    said = keep(here, reference_of(here, "note"), later)
    assert said.sentence == "Kept: Lens stays removed."
    assert list_conflicts(here) == Conflicts(fields=[], to_settle=[])
    give(here, there)
    assert list_conflicts(there) == Conflicts(fields=[], to_settle=[])
    undo(here, later)
    give(here, there)
    assert list_conflicts(here) == list_conflicts(there) == open_before
    assert rows(here) == rows(there) == stood


@pytest.fixture
def joined_since(here: Database, there: Database, give: Give, now: datetime, later: datetime) -> Database:
    """Both have noted something of Inez, who was then made one with Ines here."""
    add(here, "member", "Inez", {}, now)
    give(here, there)
    for database, note in ((here, "tall"), (there, "small")):
        edit(database, "member", "Inez", {"note": note}, now)
    give(there, here)
    make_same(here, "Ines", "Inez", later)
    return here


def test_what_stands_of_one_who_was_made_one_with_another_is_kept(
    joined_since: Database, there: Database, give: Give, later: datetime
) -> None:
    open_before, stood = list_conflicts(joined_since), rows(joined_since)
    keep(joined_since, reference_of(joined_since, "note"), later)
    assert list_conflicts(joined_since).fields == []
    give(joined_since, there)
    assert list_conflicts(there).fields == []
    undo(joined_since, later)
    assert (list_conflicts(joined_since), rows(joined_since)) == (open_before, stood)


def test_what_was_written_since_the_choice_is_not_unsettled_by_taking_it_back(
    contradicted: Database, there: Database, give: Give, later: datetime
) -> None:
    choose(contradicted, reference_of(contradicted, "note"), later)
    edit(contradicted, "site", "Mill Field", {"note": "by the lane"}, later)
    (choice,) = [one for one in newest_acts(contradicted, 5) if one.act.startswith("choose")]
    with pytest.raises(CannotUndo, match="edit site Mill Field"):
        undo(contradicted, later, choice.reference)
    assert {one.field for one in list_conflicts(contradicted).fields} == {"lat_deg", "lon_deg"}


def test_what_is_no_conflict_cannot_be_chosen_or_dropped(contradicted: Database, later: datetime) -> None:
    with pytest.raises(NoSuchConflict):
        choose(contradicted, "abcdef", later)
    with pytest.raises(NoSuchConflict):
        keep(contradicted, "abcdef", later)
    with pytest.raises(NoSuchConflict):
        drop(contradicted, "abcdef", later)


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
        assert len(session.scalars(select(Loan)).all()) == len(session.scalars(select(LoanPart)).all()) == 1


def test_what_contradicts_itself_and_was_dropped_is_to_be_recorded_anew(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """It was found before it was missing: the day of the one was written here, that of the other there."""
    add(here, "item", "Lens", {}, now)
    with here.write(now, "say that it is missing") as session:
        lens = session.scalars(select(Item).where(Item.name == "Lens")).one()
        session.add(Absence(equipment_id=lens.id, since=now.date()))
    give(here, there)
    with here.write(now, "say that it is found") as session:
        session.scalars(select(Absence)).one().found_on = now.date()
    with there.write(now, "correct since when it is missing") as session:
        session.scalars(select(Absence)).one().since = now.date() + timedelta(days=3)
    [broken] = give(there, here).to_settle
    assert broken.why == "broken"
    drop(here, broken.reference, later)
    assert list_conflicts(here).to_settle == []
    before = rows(here)
    with pytest.raises(ContradictsItself, match="what contradicts itself") as refused:
        undo(here, later)
    assert refused.value.hint == "Nothing was changed. Record it anew, as it was."
    assert rows(here) == before


@pytest.fixture
def dropped(here: Database, there: Database, give: Give, now: datetime, later: datetime) -> Database:
    """The battery is lent on both laptops, and the second loan was dropped here; the other laptop knows."""
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now + timedelta(minutes=1))
    (waits,) = give(there, here).to_settle
    drop(here, waits.reference, later)
    give(here, there)
    return here


@pytest.mark.parametrize("undone_there", [False, True])
def test_what_was_dropped_waits_again_when_that_is_undone_while_the_other_stands(
    dropped: Database, there: Database, give: Give, later: datetime, undone_there: bool
) -> None:
    one, other = (there, dropped) if undone_there else (dropped, there)
    (act,) = newest_acts(one, 1)
    assert act.act == "drop the loan of Lead battery to Bram Ostler since 2026-03-02"
    undo(one, later, act.reference)
    give(one, other)
    give(other, one)
    for database in (one, other):
        (waits,) = list_conflicts(database).to_settle
        assert waits.what == "the loan of Lead battery to Bram Ostler since 2026-03-02"
        assert borrowers(database) == ["Ines"]
    assert rows(one) == rows(other)
    take_back(other, "Lead battery", later)
    give(other, one)
    for database in (one, other):
        assert list_conflicts(database).to_settle == []
        assert borrowers(database) == ["Bram Ostler"]


def test_what_was_dropped_stands_when_that_is_undone_after_the_other_has_ended(
    dropped: Database, there: Database, give: Give, later: datetime
) -> None:
    take_back(dropped, "Lead battery", later)
    (act,) = [one for one in newest_acts(dropped, 5) if one.act.startswith("drop")]
    undo(dropped, later, act.reference)
    give(dropped, there)
    for database in (dropped, there):
        assert borrowers(database) == ["Bram Ostler"]
        assert list_conflicts(database).to_settle == []
    assert rows(dropped) == rows(there)


def test_where_somebody_else_has_it_since_it_is_said_what_to_take_back_first(
    dropped: Database, later: datetime
) -> None:
    take_back(dropped, "Lead battery", later)
    lend(dropped, "Lead battery", "Ines", later)
    before = rows(dropped)
    lent, _back, act = newest_acts(dropped, 3)
    with pytest.raises(CannotUndo, match=f"taken its place since: {lent.act}") as refused:
        undo(dropped, later, act.reference)
    assert refused.value.hint == f"Nothing was changed. Take that back first: obslog undo {lent.reference}"
    assert rows(dropped) == before


def test_what_was_dropped_waits_again_for_what_was_taken_back_before(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    """A snag of a mount of which one laptop takes back that it was put on record."""
    add(here, "mount", "Osprey", {}, now)
    (added,) = newest_acts(here, 1)
    give(here, there)
    add_snag(there, "power", "flickers", later, mount="Osprey")
    undo(here, later, added.reference)
    (waits,) = give(there, here).to_settle
    drop(here, waits.reference, later)
    assert list_conflicts(here).to_settle == []
    undo(here, later)
    assert [one.what for one in list_conflicts(here).to_settle] == [waits.what]
    give(here, there)
    assert rows(here) == rows(there)


def test_a_value_of_one_who_was_made_one_with_another_is_told_so(
    joined_since: Database, later: datetime
) -> None:
    """Not as removed: what was of the one is of the other now, but for a value that gave way."""
    (told,) = list_conflicts(joined_since).fields
    assert (told.what, told.removed, told.joined_to, told.lost.value) == ("Inez", False, "Ines", "tall")
    with pytest.raises(CannotChoose, match="value of Inez cannot stand: it was made one with Ines"):
        choose(joined_since, told.reference, later)


def borrowers(database: Database) -> list[str]:
    with database.read() as session:
        query = select(Member.name).join(Loan, Loan.member_id == Member.id).where(Loan.back_on.is_(None))
        return list(session.scalars(query))
