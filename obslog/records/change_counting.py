"""Counting, in the database itself, how often what is computed of each mount's nights has changed.

Triggers do it, so that no way of writing goes past it: an act, an import, an undoing, another program, SQL typed
by hand. A result that was computed at one count is never taken for that of another (kept_results.py).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, inspect

from obslog.vocabulary.sky_scales import SkyScale

PREFIX = "count_changes_of_"
_COUNT_ALL = "UPDATE mount_changes SET changes = changes + 1"
_COUNT_ALL_ANEW = (
    "DELETE FROM kept_results",
    _COUNT_ALL,
    "INSERT INTO mount_changes (mount_id, changes) "
    "SELECT id, 0 FROM mounts WHERE id NOT IN (SELECT mount_id FROM mount_changes)",
)
_A_TABLE_ON_POSTGRESQL = 2
_OF_TUBE = "SELECT mount_id FROM setups WHERE tube_id ="


@dataclass(frozen=True, slots=True)
class Counted:
    """Which changes of a table count, and for which mounts; `{row}` stands for the row as it was or as it is now.

    `columns` are those whose update counts; `when` a condition on the row; `comes_and_goes` whether a new row or one
    taken away counts too.
    """

    columns: str
    mounts: str
    when: str = "TRUE"
    comes_and_goes: bool = True


COUNTED = {
    "arrivals": Counted(
        "setup_id, at_utc, role, target, ra_hours, dec_deg, pier_side, offset_east_arcmin, offset_north_arcmin, "
        "landing, field_arcmin, centring_arcmin, sheet_line",
        "SELECT mount_id FROM setups WHERE id = {row}.setup_id",
    ),
    "setups": Counted("night_id, mount_id, tube_id, member_id, ordinal", "SELECT {row}.mount_id"),
    "nights": Counted(
        "site_id, night_of", "SELECT mount_id FROM setups WHERE night_id = {row}.id", comes_and_goes=False
    ),
    "sky_readings": Counted(
        "night_id, scale, value",
        "SELECT mount_id FROM setups WHERE night_id = {row}.night_id",
        f"{{row}}.scale = '{SkyScale.TEMPERATURE_C}'",
    ),
    "sites": Counted(
        "name, name_key, lat_deg, lon_deg, elevation_m",
        "SELECT mount_id FROM setups JOIN nights ON nights.id = setups.night_id WHERE nights.site_id = {row}.id",
        comes_and_goes=False,
    ),
    "members": Counted(
        "name", "SELECT mount_id FROM setups WHERE member_id = {row}.id", comes_and_goes=False
    ),
    "equipment": Counted(
        "name, name_key", f"SELECT {{row}}.id UNION {_OF_TUBE} {{row}}.id", comes_and_goes=False
    ),
    "mounts": Counted("mount_type, controller, refraction", "SELECT {row}.id"),
    "services": Counted(
        "equipment_id, done_on, mechanical",
        f"SELECT {{row}}.equipment_id UNION {_OF_TUBE} {{row}}.equipment_id",
        "{row}.mechanical",
    ),
}


def start_counting(connection: Connection) -> None:
    """Put the triggers there, in place of any that are; nothing where the database is too old to count.

    What was written while nobody counted is taken for a change of every mount.
    """
    stop_counting(connection)
    if not inspect(connection).has_table("mount_changes"):
        return
    for statement in _COUNT_ALL_ANEW:
        connection.exec_driver_sql(statement)
    if connection.dialect.name == "sqlite":
        statements = _of_sqlite()
    else:
        schema = connection.exec_driver_sql("SELECT quote_ident(current_schema())").scalar_one()
        statements = _of_postgresql(schema)
    for statement in statements:
        connection.exec_driver_sql(statement)


def is_counting(connection: Connection) -> bool:
    """Whether every trigger is there, as this version makes it: a program that makes a table anew may lose them."""
    if connection.dialect.name == "sqlite":
        query = f"SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name GLOB '{PREFIX}*'"
        return set(connection.exec_driver_sql(query).scalars()) == set(_of_sqlite())
    at_work = connection.exec_driver_sql(
        "SELECT count(*) FROM pg_trigger WHERE starts_with(tgname, %(prefix)s) AND tgenabled <> 'D' "
        "AND pg_table_is_visible(tgrelid)",
        {"prefix": PREFIX},
    )
    return bool(at_work.scalar_one() == _A_TABLE_ON_POSTGRESQL * len(COUNTED))


def stop_counting(connection: Connection) -> None:
    """Take the triggers away: while they refer to it, SQLite does not let a table be made anew."""
    if connection.dialect.name == "sqlite":
        query = f"SELECT name FROM sqlite_master WHERE type = 'trigger' AND name GLOB '{PREFIX}*'"
        for (name,) in connection.exec_driver_sql(query).all():
            connection.exec_driver_sql(f"DROP TRIGGER {name}")
        return
    for table in COUNTED:
        connection.exec_driver_sql(f"DROP FUNCTION IF EXISTS {PREFIX}{table} CASCADE")


def _of_sqlite() -> Iterator[str]:
    """SQLite counts row by row. A row that a REPLACE puts another in place of goes without a DELETE being told of it.

    Source: SQLite's documentation of ON CONFLICT (REPLACE) and of PRAGMA recursive_triggers.
    """
    for table, counted in COUNTED.items():
        yield (
            f"CREATE TRIGGER {PREFIX}{table}_replace BEFORE INSERT ON {table} "
            f"WHEN EXISTS (SELECT 1 FROM {table} WHERE id = NEW.id) BEGIN {_bump_replaced(table, counted)}; END"
        )
        ways = {"UPDATE": f"UPDATE OF {counted.columns}"}
        if counted.comes_and_goes:
            ways |= {"INSERT": "INSERT", "DELETE": "DELETE"}
        for way, event in ways.items():
            rows = {"UPDATE": ("OLD", "NEW"), "INSERT": ("NEW",), "DELETE": ("OLD",)}[way]
            bumps = "".join(f"{_bump(counted, row)}; " for row in rows)
            begun = f"{_begin_counting('NEW')}; " if (table, way) == ("mounts", "INSERT") else ""
            yield f"CREATE TRIGGER {PREFIX}{table}_{way.lower()} AFTER {event} ON {table} BEGIN {begun}{bumps}END"


def as_owner(schema: str) -> str:
    """What makes a function of PostgreSQL act as its owner, on the tables of this schema alone.

    Who calls it may not write to those tables, and must not put temporary ones of the same names before them.
    Source: PostgreSQL's documentation of CREATE FUNCTION, "Writing SECURITY DEFINER Functions Safely".
    """
    return f"SECURITY DEFINER SET search_path = {schema}, pg_temp"


def _of_postgresql(schema: str) -> Iterator[str]:
    """A count once a transaction: each one more would leave a dead row, which the next has to step over.

    The tables are those of the schema that the triggers were made in, whatever path a restoring program sets; they
    count as their owner, whoever writes.
    Source: PostgreSQL's documentation, 5.6 (xmin, the transaction that wrote a row) and 9.27 (pg_current_xact_id).
    """
    once = " AND xmin <> pg_current_xact_id()::xid"
    for table, counted in COUNTED.items():
        begun = f"IF TG_OP = 'INSERT' THEN {_begin_counting('NEW')}; END IF;" if table == "mounts" else ""
        yield (
            f"CREATE FUNCTION {PREFIX}{table}() RETURNS trigger LANGUAGE plpgsql {as_owner(schema)} "
            f"AS $$ BEGIN IF TG_OP = 'TRUNCATE' THEN {_COUNT_ALL}; RETURN NULL; END IF; {begun} "
            f"IF TG_OP <> 'INSERT' THEN {_bump(counted, 'OLD')}{once}; END IF; "
            f"IF TG_OP <> 'DELETE' THEN {_bump(counted, 'NEW')}{once}; END IF; "
            "RETURN NULL; END $$"
        )
        ways = f"UPDATE OF {counted.columns}" + (" OR INSERT OR DELETE" if counted.comes_and_goes else "")
        yield (
            f"CREATE TRIGGER {PREFIX}{table} AFTER {ways} ON {table} "
            f"FOR EACH ROW EXECUTE FUNCTION {PREFIX}{table}()"
        )
        yield (
            f"CREATE TRIGGER {PREFIX}{table}_truncate AFTER TRUNCATE ON {table} "
            f"FOR EACH STATEMENT EXECUTE FUNCTION {PREFIX}{table}()"
        )


def _bump(counted: Counted, row: str) -> str:
    mounts, when = counted.mounts.format(row=row), counted.when.format(row=row)
    return f"UPDATE mount_changes SET changes = changes + 1 WHERE mount_id IN ({mounts}) AND {when}"


def _bump_replaced(table: str, counted: Counted) -> str:
    mounts, when = counted.mounts.format(row="was"), counted.when.format(row="was")
    of_was = f"SELECT 1 FROM {table} AS was WHERE was.id = NEW.id AND mount_changes.mount_id IN ({mounts}) AND {when}"
    return f"{_COUNT_ALL} WHERE EXISTS ({of_was})"


def _begin_counting(row: str) -> str:
    return f"INSERT INTO mount_changes (mount_id, changes) VALUES ({row}.id, 0) ON CONFLICT (mount_id) DO NOTHING"
