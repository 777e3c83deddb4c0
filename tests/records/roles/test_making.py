"""Roles are made once or often to the same end, and say which login is what."""

from collections.abc import Callable

import pytest
from sqlalchemy import Connection, make_url, text

from obslog.club.office.server_logins import (
    MemberWanted,
    give_login,
    make,
    server_roles,
    take_login,
)
from obslog.records.database import Database
from obslog.records.driver_errors import NotAllowed
from obslog.records.engine import make_engine
from obslog.records.opening import open_database
from obslog.records.roles.making import NoRolesYet, NoServer, SchemaOpenToAll, UnknownLogin, renew_roles
from obslog.records.roles.rights import ServerRole
from tests.conftest import NOW, quiet
from tests.records.roles.conftest import Opened


def rights(database: Database) -> list[tuple[str, ...]]:
    """All rights on all tables, and all rules of rows, as the server keeps them."""
    with database.engine.connect() as connection:
        asked = (
            "SELECT relname::text, relacl::text, relrowsecurity::text FROM pg_class WHERE relkind = 'r' "
            "AND relnamespace = 'public'::regnamespace ORDER BY 1",
            "SELECT tablename::text, policyname::text, roles::text, qual, with_check FROM pg_policies ORDER BY 1, 2",
            "SELECT tgname::text, tgrelid::regclass::text FROM pg_trigger ORDER BY 1, 2",
        )
        return [tuple(row) for query in asked for row in connection.execute(text(query))]


def test_made_again_they_are_the_same(as_login: Opened) -> None:
    owner = as_login("owner")
    before = rights(owner)
    make(owner, NOW)
    with owner.engine.begin() as connection:
        renew_roles(connection)
    assert rights(owner) == before


def test_what_a_later_version_brings_is_covered_when_rights_are_renewed(as_login: Opened) -> None:
    owner = as_login("owner")
    with owner.engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE club_library (id uuid PRIMARY KEY)")
        renew_roles(connection)
    with as_login("reader").engine.connect() as connection:
        assert connection.scalar(text("SELECT count(*) FROM club_library")) == 0


def test_logins_are_listed_with_their_members(as_login: Opened) -> None:
    found = server_roles(as_login("owner"))
    assert found.made
    told = {(one.login.split("_")[1], one.role.value, one.member) for one in found.logins}
    assert told == {
        ("bram", "member", "Bram Ostler"),
        ("ines", "member", "Ines"),
        ("officer", "officer", None),
        ("reader", "reader", None),
    }
    assert server_roles(as_login("reader")) == found


def test_a_login_whose_role_is_taken_reads_nothing_any_more(as_login: Opened) -> None:
    reader, owner = as_login("reader"), as_login("owner")
    login = next(one.login for one in server_roles(owner).logins if one.role is ServerRole.READER)
    assert login not in {one.login for one in take_login(owner, NOW, login).logins}
    with pytest.raises(NotAllowed), reader.read() as session:
        session.execute(text("SELECT * FROM nights"))
    with pytest.raises(UnknownLogin):
        take_login(owner, NOW, login)


def test_a_login_has_one_role_the_last_that_was_given(as_login: Opened) -> None:
    owner = as_login("owner")
    login = next(one.login for one in server_roles(owner).logins if one.role is ServerRole.READER)
    give_login(owner, NOW, login, ServerRole.OFFICER, None)
    assert [one.role for one in server_roles(owner).logins if one.login == login] == [ServerRole.OFFICER]
    with pytest.raises(MemberWanted):
        give_login(owner, NOW, login, ServerRole.MEMBER, None)


def test_only_the_owner_gives_roles(as_login: Opened) -> None:
    for login in ("ines", "officer", "reader"):
        with pytest.raises(NotAllowed):
            give_login(as_login(login), NOW, "mallory", ServerRole.OFFICER, None)
        with pytest.raises(NotAllowed):
            make(as_login(login), NOW)


def test_a_file_and_a_server_without_roles_say_so(
    sqlite_database: Database, postgres_database: Database
) -> None:
    with pytest.raises(NoServer):
        make(sqlite_database, NOW)
    with pytest.raises(NoServer):
        server_roles(sqlite_database)
    assert not server_roles(postgres_database).made
    with pytest.raises(NoRolesYet):
        give_login(postgres_database, NOW, "ines", ServerRole.READER, None)


def test_where_every_login_may_make_tables_the_administrator_is_asked_for(
    postgres_admin: Connection, new_postgres_url: Callable[[], str]
) -> None:
    """So it is on servers before version 15, and in databases that come from one."""
    url = make_url(new_postgres_url())
    club, plain = url.database, f"{url.database}_plain"
    for statement in (f"CREATE ROLE {plain} LOGIN CREATEROLE", f"ALTER DATABASE {club} OWNER TO {plain}"):
        postgres_admin.exec_driver_sql(statement)
    administrator = make_engine(url.render_as_string())
    with administrator.begin() as connection:
        connection.exec_driver_sql("ALTER SCHEMA public OWNER TO obslog")
        connection.exec_driver_sql("GRANT CREATE ON SCHEMA public TO PUBLIC")
    owner = open_database(url.set(username=plain).render_as_string(), NOW, quiet)
    with pytest.raises(SchemaOpenToAll) as told:
        make(owner, NOW)
    assert not server_roles(owner).made
    with administrator.begin() as connection:
        for statement in told.value.hint.partition(": ")[2].split("; "):
            connection.exec_driver_sql(statement)
    assert make(owner, NOW).made
    owner.close()
    administrator.dispose()
    postgres_admin.exec_driver_sql(f"DROP DATABASE {club} WITH (FORCE)")
    postgres_admin.exec_driver_sql(f"CREATE DATABASE {club}")
    for name in (plain, *(f"{club}_{role}" for role in ServerRole)):
        postgres_admin.exec_driver_sql(f"DROP ROLE {name}")
