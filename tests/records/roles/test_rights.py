"""What a login may do on a club's server, by the program's own acts and by SQL typed by hand."""

from collections.abc import Callable
from datetime import timedelta
from uuid import UUID

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from obslog.club.night.nights import end_night, note_night, start_night
from obslog.club.night.open_night import NightChoice
from obslog.club.night.setups import start_setup
from obslog.club.register import contacts, named_records
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.driver_errors import NotAllowed
from obslog.records.roles.rights import HISTORY, OWN_ROWS, SET_ASIDE, UNREAD_BY_MEMBERS
from obslog.records.tables.schema import metadata
from tests.conftest import NOW
from tests.records.roles.conftest import Opened

LATER = NOW + timedelta(hours=1)


def refused(database: Database, statement: str) -> bool:
    """Whether the server refuses a statement, or lets it pass all rows by."""
    with database.engine.connect() as connection:
        try:
            return connection.execute(text(statement)).rowcount == 0
        except DBAPIError as error:
            return getattr(error.orig, "sqlstate", "") == "42501"


def newest_reference(database: Database) -> str:
    with database.read() as session:
        newest: UUID = session.execute(text("SELECT id FROM acts ORDER BY id DESC LIMIT 1")).scalar_one()
    return newest.hex[-12:]


def ended(database: Database) -> None:
    """End the night that is open."""
    end_night(database, NightChoice(), LATER)


def test_a_member_records_an_evening_of_their_own(as_login: Opened) -> None:
    ines = as_login("ines")
    start_night(ines, "Mill Field", NOW, present=["Ines"])
    start_setup(ines, "Heron", NOW, tube="Long tube", observer="Ines", eyepiece="Wide 25")
    ended(ines)
    undo(ines, LATER)
    with ines.read() as session:
        assert session.scalar(text("SELECT count(*) FROM setups")) == 1
        assert session.scalar(text("SELECT open FROM nights")) is True
    ended(ines)  # and an act after an undoing


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE nights SET note = 'rain'",
        "DELETE FROM nights",
        "UPDATE nights SET site_id = (SELECT id FROM sites WHERE name = 'Mill Field')",
        "UPDATE attendances SET member_id = (SELECT id FROM members WHERE name = 'Ines')",
        "DELETE FROM attendances",
    ],
)
def test_the_night_of_another_cannot_be_changed(bram_at_night: Opened, statement: str) -> None:
    ended(bram_at_night("bram"))
    assert refused(bram_at_night("ines"), statement)
    assert not refused(bram_at_night("officer"), statement)


def test_nobody_puts_themselves_down_for_a_night_that_is_over(bram_at_night: Opened) -> None:
    ines = bram_at_night("ines")
    put_down = (
        "INSERT INTO attendances (id, night_id, member_id) SELECT gen_random_uuid(), nights.id, members.id "
        "FROM nights, members WHERE members.name = '{}'"
    )
    assert refused(ines, put_down.format("Bram Ostler")), "nor another, while it is open"
    ended(bram_at_night("bram"))
    assert refused(ines, put_down.format("Ines"))


def test_a_night_that_was_left_open_is_closed_by_the_next_and_not_changed(as_login: Opened) -> None:
    with as_login("owner").write(NOW) as session:
        session.execute(
            text(
                "INSERT INTO nights (id, site_id, night_of, open) SELECT '01890000-0000-7000-8000-000000000001', "
                "id, '2023-07-01', true FROM sites WHERE name = 'Mill Field'"
            )
        )
    ines = as_login("ines")
    assert refused(ines, "UPDATE nights SET note = 'mine now'")
    assert refused(ines, "UPDATE nights SET note = 'mine now', open = false")
    start_night(ines, "Mill Field", NOW, present=["Ines"])
    with ines.read() as session:
        nights = session.execute(text("SELECT open, note FROM nights ORDER BY night_of")).all()
    assert [tuple(night) for night in nights] == [(False, None), (True, None)]


def test_who_comes_to_an_open_night_puts_themselves_down_and_works_in_it(bram_at_night: Opened) -> None:
    ines = bram_at_night("ines")
    note_night(ines, NightChoice(), LATER, present=["Ines"])
    start_setup(ines, "Heron", LATER, tube="Long tube", observer="Ines")
    with ines.read() as session:
        assert session.scalar(text("SELECT count(*) FROM setups")) == 1


def test_an_old_night_that_nobody_is_put_down_for_is_nobodys(as_login: Opened) -> None:
    owner = as_login("owner")
    with owner.write(NOW) as session:
        session.execute(
            text(
                "INSERT INTO nights (id, site_id, night_of, open) SELECT '01890000-0000-7000-8000-000000000001', "
                "id, '2023-07-01', false FROM sites WHERE name = 'Mill Field'"
            )
        )
    assert refused(as_login("ines"), "UPDATE nights SET note = 'mine now'")
    assert refused(
        as_login("ines"),
        "INSERT INTO attendances (id, night_id, member_id) SELECT gen_random_uuid(), nights.id, members.id "
        "FROM nights, members WHERE members.name = 'Ines'",
    )


@pytest.mark.parametrize("login", ["ines", "reader"])
def test_no_other_table_is_written_by_who_is_no_officer(as_login: Opened, login: str) -> None:
    database = as_login(login)
    written = {*OWN_ROWS, *HISTORY, *SET_ASIDE, *(["kept_results"] if login == "ines" else [])}
    for table in sorted(metadata.tables.keys() - written):
        column = next(iter(metadata.tables[table].columns)).name
        for statement in (
            f"UPDATE {table} SET {column} = {column}",
            f"DELETE FROM {table}",
            f"INSERT INTO {table} SELECT * FROM {table}",
        ):
            with database.engine.connect() as connection, pytest.raises(DBAPIError) as told:
                connection.execute(text(statement))
            assert getattr(told.value.orig, "sqlstate", "") == "42501", statement


@pytest.mark.parametrize("login", ["ines", "reader"])
def test_all_is_read_but_contacts(as_login: Opened, login: str) -> None:
    with as_login("owner").write(NOW) as session:
        session.execute(
            text(
                "INSERT INTO contacts (id, member_id, phone) "
                "SELECT gen_random_uuid(), id, '0123 456' FROM members WHERE name = 'Ines'"
            )
        )
    database = as_login(login)
    for table in metadata.tables:
        if table in UNREAD_BY_MEMBERS:
            assert refused(database, f"SELECT * FROM {table}")
        else:
            with database.engine.connect() as connection:
                connection.execute(text(f"SELECT * FROM {table}"))


def test_what_history_keeps_of_contacts_is_not_read_either(as_login: Opened) -> None:
    owner = as_login("owner")
    contacts.set_contact(owner, "Ines", {"phone": "0123 456"}, NOW)
    with owner.read() as session:
        assert session.scalar(text("SELECT count(*) FROM changes WHERE record_kind = 'Contact'")) == 1
    with as_login("bram").read() as session:
        assert session.scalar(text("SELECT count(*) FROM changes WHERE record_kind = 'Contact'")) == 0


def test_history_is_added_to_and_never_changed(bram_at_night: Opened) -> None:
    for login in ("bram", "ines"):
        member = bram_at_night(login)
        for statement in (
            "UPDATE changes SET after = NULL",
            "DELETE FROM changes",
            "DELETE FROM acts",
            "UPDATE acts SET sentence = 'nothing happened'",
            "INSERT INTO changes (id, act_id, record_kind, record_id) "
            "SELECT gen_random_uuid(), id, 'Loan', id FROM acts",
        ):
            assert refused(member, statement), statement


def test_a_temporary_table_does_not_stand_in_for_one_that_is_asked(bram_at_night: Opened) -> None:
    ended(bram_at_night("bram"))
    ines = bram_at_night("ines")
    assert refused(ines, "CREATE TEMPORARY TABLE attendances (night_id uuid, member_id uuid)")
    with bram_at_night("owner").engine.connect() as connection:
        paths = connection.execute(
            text("SELECT proconfig FROM pg_proc WHERE prosecdef AND pronamespace = 'public'::regnamespace")
        ).scalars()
        found = list(paths)
    assert len(found) >= 3
    assert all(path == ["search_path=public, pg_temp"] for path in found)


def test_who_is_what_is_said_by_the_owner_alone(as_login: Opened) -> None:
    for login in ("ines", "officer", "reader"):
        for statement in (
            "UPDATE obslog_logins SET member_id = NULL",
            "DELETE FROM obslog_logins",
            "ALTER TABLE nights DISABLE ROW LEVEL SECURITY",
            "CREATE TABLE mine (id int)",
        ):
            assert refused(as_login(login), statement), (login, statement)


def test_what_may_not_be_done_is_said_in_a_sentence(bram_at_night: Opened) -> None:
    ended(bram_at_night("bram"))
    acts: list[Callable[[Database], object]] = [
        lambda club: named_records.add(club, "member", "Nobody", {}, NOW),
        lambda club: contacts.set_contact(club, "Ines", {"phone": "0123 456"}, NOW),
        lambda club: undo(club, LATER, newest_reference(club)),
    ]
    for act in acts:
        with pytest.raises(NotAllowed):
            act(bram_at_night("ines"))
    assert bram_at_night("officer")
    named_records.add(bram_at_night("officer"), "member", "Newcomer", {}, NOW)


def test_the_changes_of_mounts_are_counted_whoever_writes(as_login: Opened) -> None:
    ines = as_login("ines")
    start_night(ines, "Mill Field", NOW, present=["Ines"])
    counts = text("SELECT sum(changes) FROM mount_changes")
    with ines.read() as session:
        before = session.scalar(counts)
    start_setup(ines, "Heron", NOW, tube="Long tube", observer="Ines")
    with ines.read() as session:
        assert session.scalar(counts) > before
