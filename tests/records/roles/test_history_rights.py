"""History on a server: whoever adds to it does so under their own name, and says what they themselves did just then."""

from dataclasses import replace
from uuid import UUID

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from obslog.club.night.nights import note_night, start_night
from obslog.club.night.open_night import NightChoice
from obslog.club.register.undo import redo, undo
from obslog.records.database import Database
from obslog.records.history.author import Author
from obslog.records.undoing.undo_errors import NothingOfHereToUndo
from tests.conftest import NOW
from tests.records.roles.conftest import Opened

ACT = "01990000-0000-7000-8000-00000000000a"
NO_RIGHT = "42501"
LAPTOP = UUID("01990000-0000-7000-8000-0000000000aa")
ADD_ACT = f"INSERT INTO acts (id, at_utc, sentence, who) VALUES ('{ACT}', now(), 'saw M 31', {{who}})"
ADD_CHANGE = (
    "INSERT INTO changes (id, act_id, record_kind, record_id) "
    "VALUES (gen_random_uuid(), {act}, 'Arrival', gen_random_uuid())"
)
ADD_BATCH = (
    "INSERT INTO change_batches (id, act_id, record_kind, what, first_id, last_id, records, record_ids) "
    "SELECT gen_random_uuid(), {act}, 'Arrival', 'added', key, key, 1, uuid_send(key) FROM gen_random_uuid() AS key"
)
NEWEST = "(SELECT id FROM acts ORDER BY id DESC LIMIT 1)"
MARK = "UPDATE acts SET undone_utc = now() WHERE id = '{act}'"
UNDOING = f"INSERT INTO acts (id, at_utc, sentence, who, undoes_id) VALUES ('{ACT}', now(), 'undo', 'Ines', '{{act}}')"


def done(database: Database, *statements: str) -> bool:
    """Whether the server lets all of these pass in one transaction, and each of them changes something."""
    with database.engine.connect() as connection, connection.begin() as transaction:
        try:
            return all(connection.execute(text(statement)).rowcount for statement in statements)
        except DBAPIError as error:
            if getattr(error.orig, "sqlstate", "") != NO_RIGHT:
                raise
            return False
        finally:
            transaction.rollback()


def authors(database: Database) -> list[str | None]:
    with database.read() as session:
        return list(session.execute(text("SELECT who FROM acts ORDER BY id")).scalars())


def newest_act(database: Database) -> UUID:
    with database.read() as session:
        found: UUID = session.execute(text(f"SELECT {NEWEST}")).scalar_one()
    return found


@pytest.mark.parametrize("who", ["'Bram Ostler'", "'ines'", "'Nobody'", "NULL"])
def test_a_member_adds_no_act_in_the_name_of_another_or_of_nobody(as_login: Opened, who: str) -> None:
    assert not done(as_login("ines"), ADD_ACT.format(who=who))
    assert not done(as_login("reader"), ADD_ACT.format(who=who))
    assert done(as_login("officer"), ADD_ACT.format(who=who)), "who merges writes down what others did"


def test_a_member_adds_acts_in_their_own_name(as_login: Opened) -> None:
    assert done(as_login("ines"), ADD_ACT.format(who="'Ines'"))


@pytest.mark.parametrize("adding", [ADD_CHANGE, ADD_BATCH])
def test_what_changed_is_said_of_an_own_act_of_the_same_moment(bram_at_night: Opened, adding: str) -> None:
    ines = bram_at_night("ines")
    assert done(ines, ADD_ACT.format(who="'Ines'"), adding.format(act=f"'{ACT}'"))
    assert not done(ines, adding.format(act=NEWEST)), "of Bram's night"
    note_night(ines, NightChoice(), NOW, present=["Ines"])
    assert authors(ines)[-1] == "Ines"
    assert not done(ines, adding.format(act=NEWEST)), "of her own of before"


def test_only_who_takes_an_act_back_says_that_it_is(bram_at_night: Opened) -> None:
    ines, act = bram_at_night("ines"), newest_act(bram_at_night("owner"))
    marking, undoing = MARK.format(act=act), UNDOING.format(act=act)
    assert not done(ines, marking)
    assert not done(ines, ADD_ACT.format(who="'Ines'"), marking)
    assert not done(ines, undoing.replace("'Ines'", "'Bram Ostler'"), marking)
    assert done(ines, undoing, marking)
    assert not done(ines, undoing, "UPDATE acts SET undoes_id = NULL")
    assert not done(ines, undoing, "UPDATE acts SET who = 'Ines'")


def test_who_writes_is_told_by_the_login_whatever_the_laptop_says(as_login: Opened) -> None:
    ines = replace(as_login("ines"), find_author=lambda: Author("Bram Ostler", LAPTOP))
    start_night(ines, "Mill Field", NOW, present=["Ines"])
    undo(ines, NOW)
    redo(ines, NOW)
    assert authors(ines)[-3:] == ["Ines"] * 3


def test_an_officer_whose_member_is_not_known_is_called_as_the_laptop_says(as_login: Opened) -> None:
    officer = replace(as_login("officer"), find_author=lambda: Author("Olga", LAPTOP))
    start_night(officer, "Mill Field", NOW, present=["Ines"])
    assert authors(officer)[-1] == "Olga"


@pytest.mark.parametrize("victim", ["bram", "officer"])
def test_undo_never_takes_back_what_another_says_was_done_on_this_laptop(
    as_login: Opened, victim: str
) -> None:
    ines = replace(as_login("ines"), find_author=lambda: Author(None, LAPTOP))
    start_night(ines, "Mill Field", NOW, present=["Ines"])
    of_here = replace(as_login(victim), find_author=lambda: Author("Olga", LAPTOP))
    with pytest.raises(NothingOfHereToUndo):
        undo(of_here, NOW)
