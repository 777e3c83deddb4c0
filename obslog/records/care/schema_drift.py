"""Whether tables, columns, indexes and triggers are as this version makes them.

A file is compared with an empty one that the revisions have just made; a server's schema, with the rights of its
roles, with one that is made beside it and taken back. Who may not make that compares the names of tables alone.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache

from sqlalchemy import Connection, Engine, Index, create_engine, inspect
from sqlalchemy.pool import StaticPool

from obslog.english import counted
from obslog.records.care.finding import Finding
from obslog.records.change_counting import PREFIX, is_counting
from obslog.records.roles.given_rights import GIVE, LET_THE_OWNER, UPDATE, Given, an_obslog, rights_there
from obslog.records.roles.server_objects import (
    ObjectName,
    is_of_roles,
    may_compare,
    objects_as_made,
    objects_there,
    roles_lacking,
)
from obslog.records.tables.schema import metadata
from obslog.records.upgrading import upgrade

_DERIVED = ("index", "trigger")
_COUNTING = "The check puts them back: results that were kept are computed anew."
REPAIR = "obslog db check --repair makes them anew."
_ROLES = (
    "Somebody may do more than their role, or less. As the owner of the database, give the roles their rights anew: "
    f"{GIVE}"
)
_OF_OLDER = f"Somebody may be refused what this version lets them do. {LET_THE_OWNER}"
_LACKING = "Go back to a copy that is whole: obslog db restore"
_NOT_OURS = "Another program put them there. Triggers among them may change records: ask whoever did it."
_OTHERWISE = (
    "Rules that the program relies on may be missing: what another program writes is not refused. Go back to a copy of "
    "before that, or know of it; what is typed into this program is checked all the same."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """How a file's schema differs from what this version makes; each by its names, as they are told.

    `statements` make the indexes and triggers among those missing; `rights` are those of roles on a server.
    """

    missing: dict[str, list[str]] = field(default_factory=dict)
    foreign: dict[str, list[str]] = field(default_factory=dict)
    otherwise: list[str] = field(default_factory=list)
    statements: dict[str, str] = field(default_factory=dict)
    rights: list[str] = field(default_factory=list)

    def lack(self, kind: str, *names: str) -> None:
        self.missing.setdefault(kind, []).extend(names)

    def have_beside(self, kind: str, *names: str) -> None:
        self.foreign.setdefault(kind, []).extend(names)


def drift_of_file(connection: Connection) -> Drift:
    """How the schema of a SQLite file differs from what this version makes."""
    here, there, drift = _objects(connection), _expected(), Drift()
    for (kind, name), (sql, table) in there.items():
        if kind != "table" and ("table", table) not in here:
            continue  # it is missing with its table
        made = here.get((kind, name))
        if made is not None and _parts(made[0]) == _parts(sql):
            continue
        if kind == "table" and made is not None:
            _compare_tables(made[0], sql, name, drift)
            continue
        drift.lack(kind, name)
        if kind != "table":
            drift.statements[name] = sql
    for kind, name in here.keys() - there.keys():
        drift.have_beside(kind, name)
    drift.otherwise.sort()
    return drift


def _compare_tables(here: str, there: str, table: str, drift: Drift) -> None:
    columns, expected = _columns_of(here), _columns_of(there)
    lacking, more = sorted(expected - columns), sorted(columns - expected)
    drift.lack("column", *(f"{table}.{column}" for column in lacking))
    drift.have_beside("column", *(f"{table}.{column}" for column in more))
    if not lacking and not more:
        drift.otherwise.append(table)


def _columns_of(sql: str) -> set[str]:
    words = ("CONSTRAINT", "PRIMARY", "UNIQUE", "CHECK", "FOREIGN")
    return {part.split()[0] for part in _parts(sql)[1] if part and not part.startswith(words)}


def _objects(connection: Connection) -> dict[tuple[str, str], tuple[str, str]]:
    """The statement that made each table, index and trigger, and the table that it is of, by kind and name."""
    query = (
        "SELECT type, name, sql, tbl_name FROM sqlite_master "
        "WHERE sql IS NOT NULL AND name NOT GLOB 'sqlite_*' AND name <> 'alembic_version'"
    )
    return {(kind, name): (sql, of) for kind, name, sql, of in connection.exec_driver_sql(query)}


@cache
def _expected() -> Mapping[tuple[str, str], tuple[str, str]]:
    """What the revisions make of an empty file, in memory: once, for a repair asks three times."""
    engine = create_engine("sqlite://", poolclass=StaticPool)
    try:
        upgrade(engine)
        with engine.connect() as connection:
            return _objects(connection)
    finally:
        engine.dispose()


def _parts(sql: str) -> tuple[str, list[str], str]:
    """What a statement says, whatever its spacing and the order of its columns: head, parts between commas, tail."""
    plain = " ".join(sql.replace('"', "").split())
    found = re.fullmatch(r"([^(]*)\((.*)\)([^)]*)", plain)
    if found is None or not plain.upper().startswith(("CREATE TABLE", "CREATE UNIQUE INDEX", "CREATE INDEX")):
        return plain, [], ""
    parts, depth = [""], 0
    for sign in found[2]:
        depth += (sign == "(") - (sign == ")")
        if sign == "," and depth == 0:
            parts.append("")
        else:
            parts[-1] += sign
    tidy = [part.strip() for part in parts]
    return found[1].strip(), sorted(tidy) if "TABLE" in found[1] else tidy, found[3].strip()


def drift_of_server(connection: Connection) -> Drift:
    """How the schema of a server, and what its roles may do, differ from what this version makes."""
    if not may_compare(connection):
        return _names_lacking(connection)
    here, there = objects_there(connection), objects_as_made(connection)
    missing: dict[str, list[str]] = {}
    foreign: dict[str, list[str]] = {}
    otherwise: set[str] = set()
    no_roles = roles_lacking(connection)
    rights = set(no_roles)
    lacking = {one.table for one in there.keys() - here.keys() if one.kind == "table"}
    strange = {one.table for one in here.keys() - there.keys() if one.kind == "table"}
    for one in sorted(here.keys() | there.keys()):
        if here.get(one) == there.get(one) or (one.kind != "table" and one.table in lacking | strange):
            continue
        if is_of_roles(one):
            rights.update([] if no_roles else [one.table or one.name])
        elif one.kind == "rule" or (one.kind == "column" and one in here and one in there):
            otherwise.add(one.table)
        elif one in there:
            kind = "trigger" if one.kind == "function" else one.kind
            missing.setdefault(kind, []).append(_called(one))
        else:
            foreign.setdefault(one.kind, []).append(_called(one))
    missing = {kind: sorted(set(names)) for kind, names in missing.items()}
    return Drift(missing=missing, foreign=foreign, otherwise=sorted(otherwise), rights=sorted(rights))


def _called(one: ObjectName) -> str:
    return f"{one.table}.{one.name}" if one.kind == "column" else one.name


def _names_lacking(connection: Connection) -> Drift:
    """What of the tables, columns, indexes and counting triggers is missing by its name."""
    inspector = inspect(connection)
    there = set(inspector.get_table_names())
    missing: dict[str, list[str]] = {"table": sorted(metadata.tables.keys() - there)}
    for name in sorted(metadata.tables.keys() & there):
        columns = {column["name"] for column in inspector.get_columns(name)}
        missing.setdefault("column", []).extend(
            f"{name}.{c.name}" for c in metadata.tables[name].columns if c.name not in columns
        )
        indexes = {index["name"] for index in inspector.get_indexes(name)}
        expected = {str(index.name) for index in metadata.tables[name].indexes if _on_server(index)}
        missing.setdefault("index", []).extend(sorted(expected - indexes))
    if not missing["table"] and not is_counting(connection):
        missing["trigger"] = [f"{PREFIX}*"]
    return Drift(missing={kind: names for kind, names in missing.items() if names})


def _on_server(index: Index) -> bool:
    return bool(index.info.get("only_on") != "sqlite")


def drift_found(engine: Engine) -> list[Finding]:
    """How the schema differs from this version's, as findings."""
    with engine.connect() as connection:
        on_file = engine.dialect.name == "sqlite"
        drift = drift_of_file(connection) if on_file else drift_of_server(connection)
        there = rights_there(connection)
    return [*_findings(drift), *_of_rights(drift.rights, Given.THESE if there is None else there.given)]


def _findings(drift: Drift) -> Iterator[Finding]:
    for kind in ("table", "column", "index", "trigger"):
        names = drift.missing.get(kind, [])
        if names:
            counting = kind == "trigger" and all(name.startswith(PREFIX) for name in names)
            yield Finding(
                subject="schema",
                what=f"Missing, or not as this version makes it: {_named(kind, names)}.",
                count=len(names),
                advice=_COUNTING if counting else REPAIR if kind in _DERIVED else _LACKING,
                grave=not counting,
                repairable=kind in _DERIVED,
            )
    for kind, names in sorted(drift.foreign.items()):
        if names:
            yield Finding(
                subject="schema",
                what=f"Not of this program: {_named(kind, names)}.",
                count=len(names),
                advice=_NOT_OURS,
                grave=False,
            )
    if drift.otherwise:
        yield Finding(
            subject="schema",
            what=f"With other rules than this version gives: {_named('table', drift.otherwise)}.",
            count=len(drift.otherwise),
            advice=_OTHERWISE,
            grave=False,
        )


def _of_rights(otherwise: list[str], given: Given) -> Iterator[Finding]:
    """What to do about the rights of roles, one thing alone."""
    if otherwise and given is not Given.NEWER:
        what, advice = (
            f"Rights of roles are not as this version gives them: {_named('object', otherwise)}.",
            _ROLES,
        )
    elif given is not Given.THESE:
        what = f"The club's logins have rights from {an_obslog(given)}."
        advice = _OF_OLDER if given is Given.OLDER else UPDATE
    else:
        return
    yield Finding(subject="roles", what=what, count=max(len(otherwise), 1), advice=advice, grave=False)


def _named(kind: str, names: list[str], most: int = 5) -> str:
    """How many, and the first few by name: `2 indexes (ix_loans_member_id, ix_setups_mount_id)`."""
    shown = ", ".join(sorted(names)[:most])
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{counted(len(names), kind, 'indexes' if kind == 'index' else None)} ({shown}{more})"
