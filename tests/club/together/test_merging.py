"""What two laptops did apart is there on both afterwards, and what cannot stand side by side is told."""

import json
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, select, text

from obslog.club.night.arrival_entries import ArrivalEntry
from obslog.club.night.arrivals import record_arrival
from obslog.club.night.nights import start_night
from obslog.club.night.open_night import SetupChoice
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag, list_snags
from obslog.club.register.contacts import reach_of, set_contact
from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import redo, undo
from obslog.club.sheets.arrivals_files import import_arrivals
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.merging import NoBundleThere, merge_bundles
from obslog.club.together.writing import WhatToTell, write_bundle_to
from obslog.exchange.bundles.errors import BrokenBundle
from obslog.offsets import read_offset_or_landing
from obslog.records.database import Database
from obslog.records.tables.logbook import Act, Change
from obslog.records.tables.logbook_tables import Arrival, Night, Setup, Site
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step
from tests.club.sheets.sheets import row, sheet_text
from tests.club.together.conftest import Give, named, rows
from tests.records.children import kill_at_each_statement

HERON = SetupChoice(mount="Heron")


def a_night(database: Database, now: datetime, target: str, note: str | None = None) -> None:
    """A night at Mill Field with a set-up of Heron and an arrival."""
    start_night(database, "Mill Field", now, note=note)
    start_setup(database, "Heron", now, tube="Long tube", observer="Ines")
    entry = ArrivalEntry(target=target, where=read_offset_or_landing("3E 2N"), eyepiece="Wide 25")
    record_arrival(database, Role.SYNC, entry, HERON, now, sure=True)


def counted(database: Database, kind: type) -> int:
    with database.read() as session:
        return session.scalar(select(func.count()).select_from(kind)) or 0


def test_a_night_that_two_wrote_is_one_with_the_set_ups_and_arrivals_of_both(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    a_night(here, now, "Regulus", note="clear")
    a_night(there, now + timedelta(minutes=5), "Procyon", note="windy")
    merged = give(there, here)
    assert merged.joined == ["The night of 2026-03-02 at Mill Field was on record twice, and is one."]
    with here.read() as session:
        assert session.scalars(select(Night.night_of)).all() == [date(2026, 3, 2)]
        setups = session.execute(select(Setup.ordinal, Arrival.target).join(Arrival)).all()
    assert sorted(map(tuple, setups)) == [(1, "Regulus"), (2, "Procyon")]
    give(here, there)
    assert rows(here) == rows(there)


def test_merging_again_adds_nothing(here: Database, there: Database, give: Give, now: datetime) -> None:
    a_night(there, now, "Procyon")
    give(there, here)
    before = rows(here)
    again = give(there, here)
    assert (again.acts, again.changes, again.records, again.came) == (0, 0, 0, {})
    assert rows(here) == before


def test_a_look_says_what_would_come_and_writes_nothing(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    before = rows(here), counted(here, Act)
    a_night(there, now, "Procyon")
    looked = give(there, here, only_look=True)
    assert not looked.done
    assert looked.came["arrival"] == looked.came["setup"] == looked.came["night"] == 1
    assert (rows(here), counted(here, Act)) == before


def test_the_second_of_two_of_one_name_stands_beside_it_until_it_is_called_otherwise(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "member", "Anna", {"note": "of the one"}, now)
    add(there, "member", "anna", {"note": "of the other"}, now + timedelta(minutes=1))
    merged = give(there, here)
    (one,) = merged.to_settle
    names = [name for name in named(here, "members") if name.lower().startswith("anna")]
    assert names == ["Anna", f"anna ({one.reference})"]
    edit(here, "member", "Anna", {}, later, rename="Anna Berg")
    assert [name for name in named(here, "members") if name.lower().startswith("anna")] == [
        "Anna Berg",
        "anna",
    ]
    assert list_conflicts(here).to_settle == []
    give(here, there)
    assert rows(here) == rows(there)


def test_of_two_open_loans_the_second_waits_until_the_first_has_ended(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now + timedelta(minutes=1))
    merged = give(there, here)
    (one,) = merged.to_settle
    assert (one.kind, one.why) == ("loan", "taken")
    assert one.what == "the loan of Lead battery to Bram Ostler since 2026-03-02"
    first = [line.reference for line in list_loans(here, now.date())]
    take_back(here, "Lead battery", later)
    second = [line.reference for line in list_loans(here, now.date())]
    assert len(first) == len(second) == 1
    assert first != second == [one.reference]
    assert list_conflicts(here).to_settle == []
    give(here, there)
    assert rows(here) == rows(there)


def test_the_act_by_which_a_waiting_record_came_can_be_undone(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now + timedelta(minutes=1))
    give(there, here)
    undo(here, later)  # the newest act, which is the other laptop's
    assert list_conflicts(here).to_settle == []
    take_back(here, "Lead battery", later)
    assert list_loans(here, now.date()) == []


def test_an_undoing_comes_along_and_so_does_doing_it_again(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(there, "member", "Anna", {}, now)
    give(there, here)
    undo(there, later)
    give(there, here)
    assert "Anna" not in named(here, "members")
    redo(there, later)
    give(there, here)
    assert "Anna" in named(here, "members")
    with here.read() as session, there.read() as other:
        undone = [set(map(tuple, s.execute(select(Act.id, Act.undone_utc)))) for s in (session, other)]
    assert undone[0] == undone[1]


def test_a_removal_on_one_laptop_stays_whatever_another_wrote_meanwhile(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(there, "item", "Old finder", {}, now)
    give(there, here)
    undo(there, later)
    edit(here, "item", "Old finder", {"note": "found again"}, later)
    give(there, here)
    assert "Old finder" not in named(here, "equipment")
    (lost,) = list_conflicts(here).fields
    assert (lost.field, lost.lost.value, lost.removed) == ("note", "found again", True)


def test_the_same_sheet_taken_in_on_both_laptops_is_there_once(
    here: Database, there: Database, give: Give, tmp_path: Path, later: datetime
) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text(
        sheet_text(*(row(target=f"star {n}", utc=f"2026-03-02T20:{n:02}:00Z") for n in range(30)))
    )
    for database in (here, there):
        import_arrivals(database, sheet, later, create=True)
    give(there, here)
    give(here, there)
    assert counted(here, Arrival) == counted(there, Arrival) == 30
    assert rows(here) == rows(there)


def test_a_sheet_of_the_other_laptop_comes_in_at_once_and_can_be_found_and_undone(
    here: Database, there: Database, give: Give, tmp_path: Path, later: datetime
) -> None:
    sheet = tmp_path / "sheet.csv"
    sheet.write_text(
        sheet_text(
            *(row(target=f"star {n}", utc=f"2026-03-02T20:{n:02}:00Z", note="Träge") for n in range(30))
        )
    )
    import_arrivals(there, sheet, later, create=True)
    merged = give(there, here)
    assert merged.came["arrival"] == 30
    with here.read() as session:
        assert set(session.scalars(select(Arrival.search_text))) == {"trage"}
    undo(here, later)
    assert counted(here, Arrival) == 0
    give(here, there)
    assert counted(there, Arrival) == 0


def test_contacts_and_the_place_of_a_private_site_stay_at_home(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    add(there, "site", "Back garden", {"lat_deg": 51.23456, "lon_deg": 1.98765, "zone": "Europe/London"}, now)
    edit(there, "site", "Back garden", {"private": True}, now)
    set_contact(there, "Ines", {"phone": "01632 960 417"}, now)
    give(there, here)
    with here.read() as session:
        assert session.execute(
            select(Site.lat_deg, Site.lon_deg).where(Site.name == "Back garden")
        ).one() == (51.23, 1.99)
        told = "".join(f"{change}" for change in session.scalars(select(Change.after)))
    assert "51.23456" not in told
    assert "960 417" not in told
    assert reach_of(here, "Ines").phone is None
    whole = give(there, here, WhatToTell(with_private=True))
    assert whole.changed["site"] == 1
    assert reach_of(here, "Ines").phone == "01632 960 417"
    give(there, here)  # told only roughly once more
    with here.read() as session:
        assert session.scalar(select(Site.lat_deg).where(Site.name == "Back garden")) == 51.23456


def test_a_text_of_another_laptop_is_searched_as_if_it_had_been_typed_here(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    add_snag(there, next(iter(Step)), "Höhenschraube klemmt", now, mount="Heron")
    give(there, here)
    assert [snag.text for snag in list_snags(here)] == ["Höhenschraube klemmt"]
    with here.read() as session:
        assert session.scalar(text("SELECT search_text FROM snags")) == "hohenschraube klemmt"


def test_a_file_that_is_not_there_or_no_bundle_is_told(
    here: Database, later: datetime, tmp_path: Path
) -> None:
    with pytest.raises(NoBundleThere, match="no such file"):
        merge_bundles(here, [tmp_path / "missing"], later)
    with pytest.raises(NoBundleThere, match="folder"):
        merge_bundles(here, [tmp_path], later)
    (tmp_path / "text").write_text("Dear club")
    with pytest.raises(BrokenBundle):
        merge_bundles(here, [tmp_path / "text"], later)


def test_a_bundle_with_any_byte_changed_leaves_everything_as_it_was(
    there: Database, sqlite_club: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    a_night(there, now, "Procyon")
    whole = tmp_path / "whole.bundle"
    write_bundle_to(there, whole, WhatToTell(), later)
    data = whole.read_bytes()
    before = rows(sqlite_club), counted(sqlite_club, Act)
    broken = tmp_path / "broken.bundle"
    for place in range(0, len(data), 37):
        broken.write_bytes(data[:place] + bytes([data[place] ^ 0x20]) + data[place + 1 :])
        with pytest.raises(BrokenBundle):
            merge_bundles(sqlite_club, [broken], later)
        broken.write_bytes(data[:place])
        with pytest.raises(BrokenBundle):
            merge_bundles(sqlite_club, [broken], later)
    assert (rows(sqlite_club), counted(sqlite_club, Act)) == before


KILLED_MERGE = """
from sqlalchemy import text
from obslog.club.together.merging import merge_bundles

def prepare(number):
    pass

def work(number):
    if number:
        database = open_database(sys.argv[1], NOW, print)
        with database.read() as session:
            tables = ("acts", "changes", "nights", "arrivals")
            counts = [session.scalar(text(f"SELECT count(*) FROM {table}")) for table in tables]
            if counts != [int(one) for one in sys.argv[3].split(",")]:
                raise AssertionError(f"something was left by the merge that was killed before: {counts}")
        merge_bundles(database, [Path(sys.argv[2])], datetime(2026, 12, 31, tzinfo=UTC))
        database.close()
"""


@pytest.mark.slow
def test_a_merge_killed_at_any_statement_leaves_nothing(
    sqlite_club: Database, there: Database, now: datetime, later: datetime, tmp_path: Path
) -> None:
    a_night(sqlite_club, now, "Regulus")
    lend(sqlite_club, "Lead battery", "Ines", now)
    a_night(there, now + timedelta(minutes=5), "Procyon")
    lend(there, "Lead battery", "Bram Ostler", now + timedelta(minutes=6))
    bundle = tmp_path / "there.bundle"
    write_bundle_to(there, bundle, WhatToTell(), later)
    with sqlite_club.read() as session:
        counts = [
            session.scalar(text(f"SELECT count(*) FROM {table}"))
            for table in ("acts", "changes", "nights", "arrivals")
        ]
    sqlite_club.engine.dispose()
    statements = kill_at_each_statement(KILLED_MERGE, sqlite_club.where, bundle, ",".join(map(str, counts)))
    assert statements > 50
    assert counted(sqlite_club, Arrival) == 2
    assert counted(sqlite_club, Night) == 1
    assert json.dumps([one.why for one in list_conflicts(sqlite_club).to_settle]) == '["taken"]'
