"""A check of the owner's sees where somebody may do more or less than their role, and what puts it right."""

import pytest
from sqlalchemy import Connection, make_url

from obslog.club.office.server_logins import make
from obslog.records.care.schema_drift import drift_found
from obslog.records.database import Database
from obslog.records.opening import open_database
from obslog.records.roles.rights import ServerRole
from tests.conftest import NOW, quiet
from tests.records.roles.conftest import Opened

SPOILT = {
    "ALTER TABLE nights DISABLE ROW LEVEL SECURITY": "nights",
    "DROP POLICY obslog_add ON acts": "acts",
    "CREATE POLICY easy ON acts FOR ALL TO {club}_member USING (TRUE)": "acts",
    "ALTER POLICY obslog_add ON acts WITH CHECK (TRUE)": "acts",
    "REVOKE SELECT ON sites FROM {club}_reader": "sites",
    "GRANT UPDATE ON loans TO {club}_member": "loans",
    "GRANT SELECT ON contacts TO PUBLIC": "contacts",
    "GRANT UPDATE (sentence) ON acts TO {club}_member": "acts",
    "GRANT CREATE ON SCHEMA public TO PUBLIC": "the schema",
    "CREATE OR REPLACE FUNCTION obslog_me() RETURNS uuid LANGUAGE sql STABLE AS 'SELECT id FROM members LIMIT 1'": (
        "obslog_me"
    ),
    "ALTER TABLE nights DISABLE TRIGGER obslog_only_closes_nights": "nights",
}


def told(database: Database) -> list[tuple[str, bool]]:
    return [(one.what, one.grave) for one in drift_found(database.engine) if one.subject == "roles"]


def test_roles_as_they_were_made_are_as_they_should_be(as_login: Opened) -> None:
    assert drift_found(as_login("owner").engine) == []


@pytest.mark.parametrize("statement", SPOILT)
def test_what_was_changed_is_named_and_made_anew(as_login: Opened, statement: str) -> None:
    owner = as_login("owner")
    with owner.engine.begin() as connection:
        connection.exec_driver_sql(statement.format(club=make_url(owner.engine.url).database))
    (found,) = told(owner)
    assert found == (
        f"Rights of roles are not as this version gives them: 1 object ({SPOILT[statement]}).",
        False,
    )
    make(owner, NOW)
    assert told(owner) == []


@pytest.mark.parametrize("login", ["ines", "officer", "reader"])
def test_whoever_is_not_the_owner_compares_names(as_login: Opened, login: str) -> None:
    with as_login("owner").engine.begin() as connection:
        connection.exec_driver_sql("ALTER TABLE nights DISABLE ROW LEVEL SECURITY")
        connection.exec_driver_sql("DROP INDEX ix_loans_member_id")
    (found,) = drift_found(as_login(login).engine)
    assert found.what == "Missing, or not as this version makes it: 1 index (ix_loans_member_id)."


def test_a_copy_in_another_database_needs_roles_of_its_own(
    as_login: Opened, postgres_admin: Connection
) -> None:
    """As a dump is put back: what the roles may do is told there of those of the first database."""
    owner = as_login("owner")
    club = str(make_url(owner.engine.url).database)
    owner.engine.dispose()
    postgres_admin.exec_driver_sql(f"CREATE DATABASE {club}_back TEMPLATE {club}")
    back = open_database(owner.engine.url.set(database=f"{club}_back").render_as_string(), NOW, quiet)
    lacking = ", ".join(f"{club}_back_{role}" for role in sorted(ServerRole))
    assert told(back) == [
        (f"Rights of roles are not as this version gives them: 3 objects ({lacking}).", False)
    ]
    make(back, NOW)
    assert drift_found(back.engine) == []
    back.close()
    postgres_admin.exec_driver_sql(f"DROP DATABASE {club}_back WITH (FORCE)")
    for role in ServerRole:
        postgres_admin.exec_driver_sql(f"DROP ROLE {club}_back_{role}")
