"""What stands in the schema of a club's server, object by object, and what this version makes there.

What it makes is made once more in a schema beside the club's, in a transaction that is taken back.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, text

from obslog.records.change_counting import start_counting
from obslog.records.roles.making import LOGINS, have_roles, role_names, rules_of_tables
from obslog.records.tables.schema import metadata

_AS_MADE = "obslog_as_made"
_REVISION_TABLE = "alembic_version"
_OF_SCHEMA = "FROM pg_class AS c WHERE c.relnamespace = to_regnamespace(:schema) AND c.relkind IN ('r', 'p')"
_ON_TABLE = "JOIN pg_class AS c ON c.oid = {table} AND c.relnamespace = to_regnamespace(:schema)"

_OF_ROLES = ("row security", "rule of rows", "right")

STRUCTURE = (
    f"SELECT 'table', c.relname::text, c.relname::text, '' {_OF_SCHEMA}",
    "SELECT 'column', c.relname::text, a.attname::text, concat_ws(' ', format_type(a.atttypid, a.atttypmod), "
    "CASE WHEN a.attnotnull THEN 'NOT NULL' END, pg_get_expr(d.adbin, d.adrelid)) FROM pg_attribute AS a "
    f"{_ON_TABLE.format(table='a.attrelid')} LEFT JOIN pg_attrdef AS d "
    "ON d.adrelid = a.attrelid AND d.adnum = a.attnum "
    "WHERE a.attnum > 0 AND NOT a.attisdropped AND c.relkind IN ('r', 'p')",
    "SELECT 'rule', c.relname::text, k.conname::text, pg_get_constraintdef(k.oid) FROM pg_constraint AS k "
    f"{_ON_TABLE.format(table='k.conrelid')} WHERE k.contype IN ('c', 'f', 'p', 'u', 'x')",
    "SELECT 'index', c.relname::text, i.indexrelid::regclass::text, "
    "concat_ws(' ', pg_get_indexdef(i.indexrelid), CASE WHEN NOT i.indisvalid THEN 'not valid' END) "
    f"FROM pg_index AS i {_ON_TABLE.format(table='i.indrelid')} "
    "WHERE NOT EXISTS (SELECT 1 FROM pg_constraint AS k WHERE k.conindid = i.indexrelid AND k.contype <> 'f')",
    "SELECT 'trigger', c.relname::text, t.tgname::text, concat_ws(' ', pg_get_triggerdef(t.oid), t.tgenabled) "
    f"FROM pg_trigger AS t {_ON_TABLE.format(table='t.tgrelid')} WHERE NOT t.tgisinternal",
    "SELECT 'function', '', p.proname::text, concat_ws(' ', pg_get_function_arguments(p.oid), "
    "pg_get_function_result(p.oid), p.prosecdef, p.proconfig, p.prosrc) FROM pg_proc AS p "
    "WHERE p.pronamespace = to_regnamespace(:schema) "
    "AND NOT EXISTS (SELECT 1 FROM pg_depend AS d WHERE d.objid = p.oid AND d.deptype = 'e')",
)
"""Queries of kind, table, name and definition."""

RIGHTS = (
    f"SELECT 'row security', c.relname::text, '', 'on' {_OF_SCHEMA} AND c.relrowsecurity",
    "SELECT 'rule of rows', tablename::text, policyname::text, "
    "concat_ws(' | ', permissive, cmd, roles, qual, with_check) "
    "FROM pg_policies WHERE schemaname = :schema",
    "WITH given (name, list, prefix) AS ("
    f"SELECT c.relname, c.relacl, '' {_OF_SCHEMA} "
    "UNION ALL SELECT c.relname, a.attacl, a.attname || ': ' FROM pg_attribute AS a "
    f"{_ON_TABLE.format(table='a.attrelid')} "
    "UNION ALL SELECT 'the schema', nspacl, '' FROM pg_namespace WHERE nspname = :schema) "
    "SELECT 'right', name::text, coalesce(r.rolname, 'everybody')::text, "
    "string_agg(prefix || one.privilege_type, ', ' ORDER BY prefix, one.privilege_type) "
    "FROM given, aclexplode(list) AS one LEFT JOIN pg_roles AS r ON r.oid = one.grantee "
    "WHERE (one.grantee = 0 OR r.rolname = ANY(:roles)) "
    "AND NOT (name = 'the schema' AND one.grantee = 0 AND one.privilege_type = 'USAGE') GROUP BY name, r.rolname",
)
"""The same of what roles may do; to use a schema everybody may, as the server makes it."""


@dataclass(frozen=True, slots=True, order=True)
class ObjectName:
    """A table, column, rule, index, trigger, function or right; `table` is what it is of, empty of a function."""

    kind: str
    table: str
    name: str


Objects = Mapping[ObjectName, str]
"""What stands in a schema, and how each is defined."""


def objects_there(connection: Connection) -> Objects:
    """What stands in the club's schema; what roles may do only where they were made."""
    schema = connection.exec_driver_sql("SELECT current_schema()").scalar_one()
    return _objects(connection, schema, have_roles(connection) and not roles_lacking(connection))


def roles_lacking(connection: Connection) -> list[str]:
    """The roles that this database speaks of and the server has not got: it came from a dump of another."""
    if not have_roles(connection):
        return []
    there = connection.exec_driver_sql("SELECT rolname FROM pg_roles").scalars().all()
    return sorted(set(role_names(connection).values()) - set(there))


def may_compare(connection: Connection) -> bool:
    """Whether this login may make the schema beside the club's: its owner may."""
    asked = "SELECT has_database_privilege(current_database(), 'CREATE')"
    return bool(connection.exec_driver_sql(asked).scalar_one())


def objects_as_made(connection: Connection) -> Objects:
    """What this version makes, with roles where the club has them. Nothing of it is left."""
    with_roles = have_roles(connection) and not roles_lacking(connection)
    with connection.begin_nested() as passing:
        connection.exec_driver_sql(f"CREATE SCHEMA {_AS_MADE}")
        connection.exec_driver_sql(f"SET LOCAL search_path TO {_AS_MADE}")
        metadata.create_all(connection, checkfirst=False)
        connection.exec_driver_sql(f"CREATE TABLE {_REVISION_TABLE} (version_num text)")
        start_counting(connection)
        if with_roles:
            for statement in rules_of_tables(connection):
                connection.exec_driver_sql(statement)
        made = _objects(connection, _AS_MADE, with_roles)
        passing.rollback()
    return made


def _objects(connection: Connection, schema: str, with_roles: bool) -> Objects:
    roles = list(role_names(connection).values())
    queries: Sequence[str] = (*STRUCTURE, *(RIGHTS if with_roles else ()))
    found = {}
    for query in queries:
        bound = {name: value for name, value in (("schema", schema), ("roles", roles)) if f":{name}" in query}
        for kind, table, name, definition in connection.execute(text(query), bound):
            if table != _REVISION_TABLE or kind == "right":
                found[ObjectName(kind, table, name)] = _without(schema, definition)
    return found


def _without(schema: str, definition: str) -> str:
    """A definition without the name of the schema that it is in."""
    return definition.replace(f"{schema}.", "").replace(f"search_path={schema},", "search_path=")


def is_of_roles(one: ObjectName) -> bool:
    """Whether it says who may do what."""
    return one.kind in _OF_ROLES or one.name.startswith("obslog_") or one.table == LOGINS
