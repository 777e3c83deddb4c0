"""A member who leaves: nothing in the database names them or tells how they were reached, and no record is lost."""

import re
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import func, inspect, select, text

from obslog.club.night.night_pages import list_nights
from obslog.club.night.nights import start_night
from obslog.club.night.observations import ObservationEntry, record_observations
from obslog.club.night.setups import start_setup
from obslog.club.night.snags import add_snag, list_snags
from obslog.club.privacy.leaving_members import StillHas, leave
from obslog.club.register.contacts import set_contact
from obslog.club.register.named_records import add, edit, listed, shown
from obslog.club.register.undo import undo
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import hand_over, lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.waiting_list import reserve, waiting_list
from obslog.club.upkeep.services import add_service, list_services
from obslog.errors import UnknownName
from obslog.records.care.copying import back_up
from obslog.records.database import Database
from obslog.records.history.author import Author
from obslog.records.nameless import HasLeft
from obslog.records.tables.logbook_tables import Act, Change, Observation, Setup
from obslog.records.undoing.undo_errors import CannotUndo
from obslog.vocabulary.steps import Step

NAME, EARLIER = "Zoë Ångström-Kettle", "Zoë Halloran"
PHONE, OLD_PHONE, EMAIL, ADDRESS = "01632 960 417", "01632 960 001", "zoe@kettle.example", "3 Otter Row"
TRACES = (NAME, EARLIER, "Ångström", "Halloran", PHONE, OLD_PHONE, EMAIL, ADDRESS, "likes doubles")


def traces(database: Database) -> list[str]:
    """Where any of the words stands: all columns of all tables that the database has, read as text, in any case."""
    found = []
    with database.engine.connect() as connection:
        for table in inspect(connection).get_table_names():
            for row in connection.execute(text(f'SELECT * FROM "{table}"')).mappings():
                for column, value in row.items():
                    told = f"{value}".casefold()
                    told += (
                        told.encode().decode("unicode_escape") if told.isascii() else ""
                    )  # JSON writes \u00eb
                    found += [f"{table}.{column}: {word}" for word in TRACES if word.casefold() in told]
    return found


@pytest.fixture
def member(club: Database, now: datetime) -> Database:
    """A member with a history: renamed, reached, lent to, handed over to, waiting, observing, serviced a mount."""
    days = (now - timedelta(days=60 - day) for day in range(60))
    add(club, "member", EARLIER, {"note": "likes doubles"}, next(days))
    edit(club, "member", EARLIER, {}, next(days), rename=NAME)
    set_contact(club, NAME, {"phone": OLD_PHONE}, next(days))
    set_contact(club, NAME, {"phone": PHONE, "email": EMAIL, "address": ADDRESS}, next(days))
    add_kit(club, "Evening kit", ["Wide 25", "dust cap"], next(days))
    lend(club, "Evening kit", "Ines", next(days))
    hand_over(club, "Evening kit", NAME.upper(), next(days))
    take_back(club, "Evening kit", next(days), by=NAME)
    lend(club, "Stop 20", "Ines", next(days))
    reserve(club, "Stop 20", NAME, next(days))
    reserve(club, "Stop 20", "Bram Ostler", next(days))
    add_service(club, "mount", "Heron", "new belt", next(days), on=(now - timedelta(days=55)).date(), by=NAME)
    start_night(club, "Mill Field", now - timedelta(hours=2), present=[NAME])
    start_setup(club, "Heron", now - timedelta(hours=2), tube="Long tube", observer=NAME)
    record_observations(club, "M 44", ObservationEntry(), now, observers=[NAME])
    add_snag(club, Step.LEVEL, "the bubble was off", now, mount="Heron", member=NAME)
    return club


def test_the_search_for_traces_finds_them_before(member: Database) -> None:
    found = " ".join(traces(member))
    for place in (
        "members.name",
        "members.note",
        "contacts.phone",
        "acts.sentence",
        "changes.after",
        "changes.before",
    ):
        assert place in found


def test_after_leaving_no_column_of_any_table_holds_the_name_or_a_contact(
    member: Database, now: datetime
) -> None:
    left = leave(member, NAME, now)
    assert re.fullmatch(r"Former member [0-9a-f]{6}", left.name)
    assert (left.done, left.contact_deleted) == (True, True)
    assert traces(member) == []


def test_all_records_are_kept_under_the_neutral_name(member: Database, now: datetime) -> None:
    with member.read() as session:
        before = [session.scalar(select(func.count()).select_from(table)) for table in (Observation, Setup)]
    neutral = leave(member, NAME, now).name
    with member.read() as session:
        after = [session.scalar(select(func.count()).select_from(table)) for table in (Observation, Setup)]
    assert before == after == [1, 1]
    assert [loan.member for loan in list_loans(member, now.date(), with_back=True)][:2] == [
        "Ines",
        neutral,
    ]
    assert list_services(member, name="Heron")[0].by == neutral
    assert list_nights(member)[0].present == [neutral]
    assert shown(member, "member", neutral.upper())["retired_on"] == now.date()
    assert neutral not in [who["name"] for who in listed(member, "member")]
    with pytest.raises(UnknownName):
        shown(member, "member", NAME)


def test_their_place_in_a_waiting_list_goes_to_the_next(member: Database, now: datetime) -> None:
    assert leave(member, NAME, now).no_longer_waits_for == ["Stop 20"]
    assert [line.member for line in waiting_list(member)] == ["Bram Ostler"]


def test_who_has_something_out_cannot_leave(member: Database, now: datetime) -> None:
    lend(member, "Lead battery", NAME, now)
    with pytest.raises(StillHas) as refused:
        leave(member, NAME, now)
    assert "Lead battery" in refused.value.message
    assert 'obslog loan back "Lead battery"' in refused.value.hint
    assert shown(member, "member", NAME)["retired_on"] is None
    assert waiting_list(member)[0].member == NAME


def test_undo_never_brings_a_name_back(member: Database, now: datetime) -> None:
    leave(member, NAME, now)
    with pytest.raises(CannotUndo):
        undo(member, now)
    add(member, "member", "Cleo Marsh", {}, now)
    assert undo(member, now) == "add member Cleo Marsh"
    assert traces(member) == []


def test_acts_on_other_things_keep_what_they_changed(member: Database, now: datetime) -> None:
    with member.read() as session:
        before = session.scalar(
            select(func.count()).select_from(Change).where(Change.record_kind != "Contact")
        )
    leave(member, NAME, now)
    with member.read() as session:
        leaving = select(Act.id).order_by(Act.id.desc()).limit(1).scalar_subquery()
        kept = session.scalar(
            select(func.count())
            .select_from(Change)
            .where(Change.record_kind != "Contact", Change.act_id != leaving)
        )
        sentences = session.scalars(select(Act.sentence)).all()
    assert kept == before
    assert "hand Evening kit over to Former member" in sentences
    assert "write down how a member is reached" not in sentences


def test_who_types_their_own_leaving_is_not_named_as_its_author(member: Database, now: datetime) -> None:
    leave(replace(member, find_author=lambda: Author(who=NAME[:6])), NAME, now)
    assert traces(member) == []
    with member.read() as session:
        newest = session.scalars(select(Act).order_by(Act.id.desc()).limit(1)).one()
    assert newest.who == "Former member"


def test_the_neutral_name_is_one_that_nobody_has(club: Database, now: datetime) -> None:
    expected = leave(club, "Ines", now, only_look=True).name
    add(club, "member", expected.upper(), {}, now)
    others = [leave(club, name, now).name for name in ("Ines", "Bram Ostler")]
    assert len({name.casefold() for name in (expected, *others)}) == 3
    assert all(name.startswith("Former member ") for name in others)
    with pytest.raises(HasLeft):
        leave(club, others[0], now)


def test_one_who_had_retired_keeps_the_day(club: Database, now: datetime) -> None:
    retire(club, "member", "Ines", "moved to Otter Row", now.date() - timedelta(days=9), now)
    member = shown(club, "member", leave(club, "Ines", now).name)
    assert (member["retired_on"], member["retired_why"]) == (now.date() - timedelta(days=9), "left the club")


@pytest.fixture
def mentioned(member: Database, now: datetime) -> Database:
    """Texts with the name: in a snag, in the note of a mount, in a kit's name, and one with the first name alone."""
    add_snag(member, Step.PACK, f"lent on by zoë  ångström-kettle, call {PHONE}", now, mount="Heron")
    edit(member, "mount", "Heron", {"note": "Zoë says it sticks"}, now)
    add_kit(member, f"{NAME}'s kit", ["red torch"], now)
    return member


def test_texts_that_name_them_are_pointed_out_and_those_with_the_whole_name_lose_it(
    mentioned: Database, now: datetime
) -> None:
    """What others and things are called is the officer's to change, as is a part of the name."""
    names_them = [snag.reference for snag in list_snags(mentioned) if PHONE in snag.text]
    left = leave(mentioned, NAME, now)
    assert {(m.kind, m.field, m.whole_name, m.replaced) for m in left.mentions} == {
        ("snags", "text", True, True),
        ("kits", "name", True, False),
        ("equipment", "note", False, False),
    }
    assert [m.reference for m in left.mentions if m.kind == "snags"] == names_them
    assert all(place.startswith(("kits.name", "changes.after")) for place in traces(mentioned))
    with mentioned.read() as session:
        words = session.execute(text("SELECT text, search_text FROM snags ORDER BY id DESC")).first()
    assert words == (
        "lent on by Former member, call (taken out)",
        "lent on by former member, call (taken out)",
    )
    assert shown(mentioned, "mount", "Heron")["note"] == "Zoë says it sticks"


def test_only_looking_changes_nothing(mentioned: Database, now: datetime) -> None:
    before = traces(mentioned)
    left = leave(mentioned, NAME, now, only_look=True)
    assert (left.done, len(left.mentions)) == (False, 3)
    assert traces(mentioned) == before
    assert waiting_list(mentioned)[0].member == NAME


def test_a_name_within_another_word_is_left_alone(club: Database, now: datetime) -> None:
    add(club, "member", "Ann", {}, now)
    edit(club, "mount", "Heron", {"note": "the channel was retuned; Ann said so"}, now)
    leave(club, "Ann", now)
    assert shown(club, "mount", "Heron")["note"] == "the channel was retuned; Former member said so"


def test_the_file_itself_holds_no_remnant(sqlite_club: Database, now: datetime) -> None:
    """Deleted rows of SQLite stay readable in the file's unused pages and in its log until these are written anew."""
    add(sqlite_club, "member", "Quentin Quagmire", {"note": "from Mudlark Lane"}, now)
    set_contact(sqlite_club, "Quentin Quagmire", {"phone": "01632 960 888"}, now)
    path = Path(str(sqlite_club.engine.url.database))
    words = (b"Quagmire", b"quagmire", b"Mudlark", b"960 888")

    def remnants() -> set[bytes]:
        files = [path, *(path.with_name(path.name + end) for end in ("-wal", "-shm"))]
        held = b"".join(file.read_bytes() for file in files if file.exists())
        return {word for word in words if word in held}

    assert remnants() == set(words)
    assert leave(sqlite_club, "Quentin Quagmire", now).wiped is True
    assert remnants() == set()


def test_copies_in_which_the_name_stands_are_named_and_left_as_they_are(
    sqlite_club: Database, now: datetime
) -> None:
    path = Path(str(sqlite_club.engine.url.database))
    without = path.with_name("a-copy-without.db")
    back_up(sqlite_club.engine, without)
    add(sqlite_club, "member", "Quentin Quagmire", {}, now)
    upgraded = path.with_name(f"{path.stem}.before-0004-20260101T000000Z{path.suffix}")
    by_hand = path.with_name("sunday.sqlite")
    for copy in (upgraded, by_hand):
        back_up(sqlite_club.engine, copy)
    before = [copy.read_bytes() for copy in (upgraded, by_hand)]
    assert set(leave(sqlite_club, "Quentin Quagmire", now).copies) == {str(upgraded), str(by_hand)}
    assert [copy.read_bytes() for copy in (upgraded, by_hand)] == before


def test_of_a_member_who_left_nothing_more_is_written(member: Database, now: datetime) -> None:
    """Their old name is not given back, and no note is kept that those who merge would leave out."""
    left = leave(member, NAME, now).name
    for values, rename in (({"note": "fond of tea"}, None), ({}, NAME)):
        with pytest.raises(HasLeft):
            edit(member, "member", left, values, now, rename=rename)
    with pytest.raises(HasLeft):
        set_contact(member, left, {"phone": PHONE}, now)
    with pytest.raises(HasLeft):
        retire(member, "member", left, "moved to Otter Row", now.date(), now)
    assert traces(member) == []
