"""Making the roles of a club's server, and saying which login is what. All of it may be done again at any time."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import Connection, inspect
from sqlalchemy.orm import Session

from obslog.errors import ObslogError, WrongInput
from obslog.records.change_counting import as_owner
from obslog.records.roles.functions import FUNCTIONS
from obslog.records.roles.rights import (
    ALL_BUT_FROM_THE_PROGRAM,
    CLOSING,
    CONTACT_KIND,
    HISTORY,
    HISTORY_CHANGED,
    KEPT,
    ONLY_CLOSES,
    OWN_ROWS,
    SET_ASIDE,
    UNREAD_BY_MEMBERS,
    OwnRows,
    ServerRole,
)

LOGINS = "obslog_logins"
RIGHTS = 1
"""Which rights these are, in the order in which versions gave them: to be raised with any change of what is given."""
RIGHTS_OF = "rights of obslog, version "
_READ, _WRITE = "SELECT", "SELECT, INSERT, UPDATE, DELETE"
_NO_CONTACT = f"record_kind <> '{CONTACT_KIND}'"


class NoServer(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "This database is a file: who may read the file may do all.",
            "Roles are for a club on a server; docs/server.md says how to get there.",
        )


class NoRolesYet(ObslogError):
    def __init__(self) -> None:
        super().__init__("This server has no roles for the club yet.", "Make them: obslog db roles --make")


class SchemaOpenToAll(ObslogError):
    def __init__(self, schema: str, club: str, owner: str) -> None:
        super().__init__(
            f"Every login may make tables of its own in {club}, beside the club's.",
            f"Let the server's administrator type there, once: GRANT CREATE ON SCHEMA {schema} TO {owner}; "
            f"REVOKE CREATE ON SCHEMA {schema} FROM PUBLIC;",
        )


class UnknownLogin(WrongInput):
    def __init__(self, login: str) -> None:
        super().__init__(f"There is no login {login!r} among the club's.", "See them: obslog db roles")


@dataclass(frozen=True, slots=True, kw_only=True)
class ServerLogin:
    """A login of the server that is one of the club's roles, and the member who uses it."""

    login: str
    role: ServerRole
    member_id: UUID | None


def have_roles(connection: Connection) -> bool:
    """Whether the roles were made in this database."""
    return connection.dialect.name == "postgresql" and inspect(connection).has_table(LOGINS)


def make_roles(connection: Connection) -> None:
    """Make the roles, and give each its rights on every table that is there. Raises NoServer, SchemaOpenToAll."""
    if connection.dialect.name != "postgresql":
        raise NoServer
    for statement in _statements(connection):
        connection.exec_driver_sql(statement)
    if anybody_may_create(connection):
        owner = connection.exec_driver_sql("SELECT quote_ident(current_user)").scalar_one()
        raise SchemaOpenToAll(*_schema_and_database(connection), owner)


def anybody_may_create(connection: Connection) -> bool:
    """Whether every login may make tables and functions where those of the club are."""
    asked = (
        "SELECT EXISTS (SELECT 1 FROM pg_namespace, aclexplode(nspacl) AS one WHERE nspname = current_schema() "
        "AND one.grantee = 0 AND one.privilege_type = 'CREATE')"
    )
    return bool(connection.exec_driver_sql(asked).scalar_one())


def renew_roles(connection: Connection) -> None:
    """Give the roles their rights on what an upgrade has brought; nothing where there are no roles."""
    if have_roles(connection):
        for statement in _statements(connection):
            connection.exec_driver_sql(statement)


def logins(connection: Connection) -> list[ServerLogin]:
    """The logins that are one of the club's roles. Raises NoServer, NoRolesYet."""
    _needs_roles(connection)
    rows = connection.exec_driver_sql(
        "SELECT person.rolname, kind.rolname, known.member_id FROM pg_auth_members AS ties "
        "JOIN pg_roles AS person ON person.oid = ties.member JOIN pg_roles AS kind ON kind.oid = ties.roleid "
        f"LEFT JOIN {LOGINS} AS known ON known.login = person.rolname "
        "WHERE kind.rolname = ANY(%s) AND person.rolcanlogin ORDER BY person.rolname",
        (list(role_names(connection).values()),),
    )
    kinds = {name: role for role, name in role_names(connection).items()}
    return [
        ServerLogin(login=login, role=kinds[kind], member_id=member_id) for login, kind, member_id in rows
    ]


def set_login(session: Session, login: str, role: ServerRole, member_id: UUID | None) -> None:
    """Make `login`, or change what it is; it gets no password here. Raises NoServer, NoRolesYet."""
    connection = session.connection()
    _needs_roles(connection)
    name = _quoted(connection, login)
    known = connection.exec_driver_sql("SELECT 1 FROM pg_roles WHERE rolname = %s", (login,)).scalar()
    if not known:
        connection.exec_driver_sql(f"CREATE ROLE {name} LOGIN")
    for other in role_names(connection).values():
        connection.exec_driver_sql(f"REVOKE {_quoted(connection, other)} FROM {name}")
    connection.exec_driver_sql(f"GRANT {_quoted(connection, role_names(connection)[role])} TO {name}")
    connection.exec_driver_sql(f"DELETE FROM {LOGINS} WHERE login = %s", (login,))
    connection.exec_driver_sql(f"INSERT INTO {LOGINS} (login, member_id) VALUES (%s, %s)", (login, member_id))


def take_login_away(session: Session, login: str) -> None:
    """Take a login's role; the login itself stays, for it may be of other databases too. Raises UnknownLogin."""
    connection = session.connection()
    if login not in {known.login for known in logins(connection)}:
        raise UnknownLogin(login)
    for name in role_names(connection).values():
        connection.exec_driver_sql(f"REVOKE {_quoted(connection, name)} FROM {_quoted(connection, login)}")
    connection.exec_driver_sql(f"DELETE FROM {LOGINS} WHERE login = %s", (login,))


def _needs_roles(connection: Connection) -> None:
    if connection.dialect.name != "postgresql":
        raise NoServer
    if not have_roles(connection):
        raise NoRolesYet


def role_names(connection: Connection) -> dict[ServerRole, str]:
    """The name of each role. Roles are of the whole server: each club's bear the name of its database."""
    club = connection.exec_driver_sql("SELECT current_database()").scalar_one()
    return {role: f"{club}_{role}" for role in ServerRole}


def _quoted(connection: Connection, name: str) -> str:
    return connection.dialect.identifier_preparer.quote_identifier(name)


def _statements(connection: Connection) -> Iterator[str]:
    schema, club = _schema_and_database(connection)
    present = set(connection.exec_driver_sql("SELECT rolname FROM pg_roles").scalars())
    for name in role_names(connection).values():
        if name not in present:
            yield f"CREATE ROLE {_quoted(connection, name)} NOLOGIN"
    yield f"REVOKE TEMPORARY ON DATABASE {club} FROM PUBLIC"
    yield f"REVOKE CREATE ON SCHEMA {schema} FROM PUBLIC"
    yield from rules_of_tables(connection)
    yield f"COMMENT ON TABLE {LOGINS} IS '{RIGHTS_OF}{RIGHTS}'"


def rules_of_tables(connection: Connection) -> Iterator[str]:
    """The statements that give the roles their rights on all that is in the schema, and make what the rules ask."""
    for name, table in _rules_there(connection):
        yield f"DROP POLICY {_quoted(connection, name)} ON {_quoted(connection, table)}"
    tables = set(inspect(connection).get_table_names()) - ALL_BUT_FROM_THE_PROGRAM
    schema, _club = _schema_and_database(connection)
    quote = connection.dialect.identifier_preparer.quote_identifier
    yield from rules_of(tables, role_names(connection), schema, quote)


def rules_of(
    tables: Collection[str], called: Mapping[ServerRole, str], schema: str, quote: Callable[[str], str]
) -> Iterator[str]:
    """The same of tables without any rule, for roles that are called so."""
    names = {role: quote(name) for role, name in called.items()}
    everybody = ", ".join(names.values())
    yield (
        f"CREATE TABLE IF NOT EXISTS {LOGINS} "
        "(login name PRIMARY KEY, member_id uuid REFERENCES members (id) ON DELETE CASCADE)"
    )
    yield f"REVOKE ALL ON ALL TABLES IN SCHEMA {schema} FROM PUBLIC, {everybody}"
    yield f"GRANT USAGE ON SCHEMA {schema} TO {everybody}"
    yield f"GRANT SELECT ON alembic_version, {LOGINS} TO {everybody}"
    for signature, (gives, query) in FUNCTIONS.items():
        yield (
            f"CREATE OR REPLACE FUNCTION {signature} RETURNS {gives} LANGUAGE sql STABLE {as_owner(schema)} "
            f"AS $$ {query} $$"
        )
    for table in sorted(tables):
        yield from _on_table(table, names)
    for table, night in (("nights", "NEW.id"), ("setups", "NEW.night_id")):
        yield from _only_closes(table, night, called[ServerRole.OFFICER], schema)


def _rules_there(connection: Connection) -> Iterator[tuple[str, str]]:
    """Every rule of rows of the club's tables, whoever made it: each one more lets through what the others hold."""
    query = "SELECT policyname::text, tablename::text FROM pg_policies WHERE schemaname = current_schema()"
    return ((name, table) for name, table in connection.exec_driver_sql(query).all())


def _schema_and_database(connection: Connection) -> tuple[str, str]:
    schema, club = (
        _quoted(connection, connection.exec_driver_sql(f"SELECT {asked}()").scalar_one())
        for asked in ("current_schema", "current_database")
    )
    return schema, club


def _on_table(table: str, names: dict[ServerRole, str]) -> Iterator[str]:
    reader, member, officer = (names[role] for role in ServerRole)
    yield f"GRANT {_WRITE} ON {table} TO {officer}"
    if table in UNREAD_BY_MEMBERS:
        return
    yield f"GRANT {_READ} ON {table} TO {reader}, {member}"
    if table == KEPT:
        yield f"GRANT {_WRITE} ON {table} TO {member}"
    if column := HISTORY_CHANGED.get(table):
        yield f"GRANT UPDATE ({column}) ON {table} TO {member}"
    if own := OWN_ROWS.get(table):
        yield f"GRANT {_WRITE} ON {table} TO {member}"
        yield from _row_rules(table, names, own, "TRUE")
    if written := HISTORY.get(table):
        yield f"GRANT INSERT ON {table} TO {member}"
        yield from _row_rules(table, names, written, "TRUE" if table == "acts" else _NO_CONTACT)
    if aside := SET_ASIDE.get(table):
        yield f"GRANT INSERT, DELETE ON {table} TO {member}"
        yield from _row_rules(table, names, aside, _NO_CONTACT)


def _row_rules(table: str, names: dict[ServerRole, str], own: OwnRows, seen: str) -> Iterator[str]:
    reader, member, officer = (names[role] for role in ServerRole)
    rules: Sequence[tuple[str, str]] = (
        ("read", f"FOR SELECT TO {reader}, {member} USING ({seen})"),
        ("add", f"FOR INSERT TO {member} WITH CHECK ({own.added})"),
        ("change", f"FOR UPDATE TO {member} USING ({own.changed}) WITH CHECK ({own.changed})"),
        ("remove", f"FOR DELETE TO {member} USING ({own.changed})"),
        ("officer", f"FOR ALL TO {officer} USING (TRUE) WITH CHECK (TRUE)"),
    )
    if own.closed:
        rules = (*rules, ("close", f"FOR UPDATE TO {member} USING ({own.closed}) WITH CHECK (NOT open)"))
    if own.filled:
        filling = f"FOR UPDATE TO {member} USING (images IS NULL AND {own.filled}) WITH CHECK ({own.filled})"
        rules = (*rules, ("fill", filling))
    yield f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY"
    for name, rule in rules:
        yield f"CREATE POLICY obslog_{name} ON {table} {rule}"


def _only_closes(table: str, night: str, officer: str, schema: str) -> Iterator[str]:
    writes_all = f"pg_has_role(session_user, '{officer}', 'MEMBER')"
    name = f"{ONLY_CLOSES}_{table}"
    yield (
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql {as_owner(schema)} "
        f"AS $$ {CLOSING.format(writes_all=writes_all, night=night)} $$"
    )
    yield (
        f"CREATE OR REPLACE TRIGGER {name} BEFORE UPDATE ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()"
    )
