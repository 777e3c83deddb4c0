"""Who has rights that another version gave hears of it where it matters: when refused, in a check, and as the owner."""

import hashlib
from collections.abc import Iterator

import pytest
from sqlalchemy import text

from obslog.club.office.server_logins import make
from obslog.records.care.schema_drift import drift_found
from obslog.records.database import Database
from obslog.records.driver_errors import NotAllowed
from obslog.records.opening import open_database
from obslog.records.roles.given_rights import RightsOfAnother, rights_there, what_to_give
from obslog.records.roles.making import LOGINS, RIGHTS, RIGHTS_OF, rules_of
from obslog.records.roles.rights import ServerRole
from obslog.records.tables.schema import metadata
from tests.conftest import NOW
from tests.records.roles.conftest import Opened

AS_GIVEN = {1: "c04efb8f5dec496c"}
"""A fingerprint of all that is given, by its number."""
BY_OLDER = ("NULL", f"'{RIGHTS_OF}{RIGHTS - 1}'", "'logins of the club'")
BY_NEWER = f"'{RIGHTS_OF}{RIGHTS + 1}'"
OLDER = "The club's logins have rights from an older obslog."


def given(as_login: Opened, remark: str) -> None:
    with as_login("owner").engine.begin() as connection:
        connection.exec_driver_sql(f"COMMENT ON TABLE {LOGINS} IS {remark}")


def refused(database: Database) -> NotAllowed:
    with pytest.raises(NotAllowed) as told, database.write(NOW) as session:
        session.execute(text("DELETE FROM loans"))
    return told.value


def checked(database: Database) -> list[tuple[str, str]]:
    return [(one.what, one.advice) for one in drift_found(database.engine) if one.subject == "roles"]


def said_at_opening(database: Database) -> list[str]:
    said: list[str] = []
    address = database.engine.url.render_as_string(hide_password=False)
    open_database(address, NOW, said.append).close()
    return said


def statements() -> Iterator[str]:
    called = {role: f"club_{role}" for role in ServerRole}
    return rules_of(metadata.tables, called, "public", lambda name: f'"{name}"')


def test_whoever_changes_what_roles_may_do_raises_the_number() -> None:
    """Or who has the rights of before would never hear that they are to be given anew."""
    told = hashlib.sha256("\n".join(statements()).encode()).hexdigest()
    raised = f"give the next number to RIGHTS in roles/making.py, and say here: {RIGHTS + 1}: {told[:16]!r}"
    assert told.startswith(AS_GIVEN[RIGHTS]), raised


def test_of_rights_of_this_version_nothing_is_said(as_login: Opened) -> None:
    assert not isinstance(refused(as_login("ines")), RightsOfAnother)
    assert checked(as_login("officer")) == []
    assert checked(as_login("owner")) == []
    assert said_at_opening(as_login("owner")) == []


@pytest.mark.parametrize("remark", BY_OLDER)
def test_rights_of_an_older_version_are_told_to_all_whom_they_concern(as_login: Opened, remark: str) -> None:
    given(as_login, remark)
    assert refused(as_login("ines")).hint == (
        "Nothing was changed. The club's logins have rights from an older obslog, which may be why. "
        "Let whoever owns the database type once: obslog db roles --make"
    )
    ((what, advice),) = checked(as_login("officer"))
    assert what == OLDER
    assert advice.endswith("Let whoever owns the database type once: obslog db roles --make")
    assert checked(as_login("owner")) == [(what, advice)]
    (said,) = said_at_opening(as_login("owner"))
    assert said.endswith("Give them those of this one: obslog db roles --make")
    assert said_at_opening(as_login("ines")) == said_at_opening(as_login("officer")) == []
    make(as_login("owner"), NOW)
    assert not isinstance(refused(as_login("ines")), RightsOfAnother)
    assert checked(as_login("owner")) == []
    assert said_at_opening(as_login("owner")) == []


def test_rights_of_a_newer_version_are_not_to_be_given_anew(as_login: Opened) -> None:
    given(as_login, BY_NEWER)
    with as_login("owner").engine.begin() as connection:
        connection.exec_driver_sql("DROP POLICY obslog_add ON acts")
    assert refused(as_login("ines")).hint.endswith("Install the newest obslog on this machine too.")
    for login in ("officer", "owner"):
        ((_what, advice),) = checked(as_login(login))
        assert advice == "Install the newest obslog on this machine too."
    assert said_at_opening(as_login("owner")) == []


def test_what_is_otherwise_under_an_older_version_is_told_once(as_login: Opened) -> None:
    given(as_login, "NULL")
    with as_login("owner").engine.begin() as connection:
        connection.exec_driver_sql("DROP POLICY obslog_add ON acts")
    ((what, advice),) = checked(as_login("owner"))
    assert what.endswith("1 object (acts).")
    assert advice.endswith("obslog db roles --make")


def test_a_file_and_a_server_without_roles_have_no_rights_of_anybody(
    sqlite_database: Database, postgres_database: Database
) -> None:
    for database in (sqlite_database, postgres_database):
        with database.engine.connect() as connection:
            assert rights_there(connection) is None
            assert what_to_give(connection) is None
