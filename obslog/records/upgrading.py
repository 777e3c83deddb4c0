"""Making and upgrading a database's tables, from the Alembic revisions shipped with the program.

Alembic takes a quarter of a second to import: it is imported only when there is something to make or upgrade. Whether
there is, is told by comparing the database's revision with a constant here, which a test holds equal to the newest.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DBAPIError, NoSuchTableError, SQLAlchemyError

from obslog.errors import ObslogError
from obslog.records.engine import writing
from obslog.settings import resource_dir

if TYPE_CHECKING:
    from alembic.config import Config

SCHEMA_REVISION = "0017"
_UPGRADE_LOCK = 716_823_001  # any number, the same for all who upgrade one PostgreSQL database


class BrokenReferences(ObslogError):
    def __init__(self, rows: object) -> None:
        super().__init__(
            f"The upgrade would leave records that refer to nothing: {rows}.",
            "Nothing was changed. Please report this to the developers with these numbers.",
        )


class TablesMissing(ObslogError):
    """An older database that is not as its revision made it: something was taken out of it, or never came in."""

    def __init__(self, engine: Engine, why: str) -> None:
        where = engine.url.render_as_string(hide_password=True) if engine.url.host else engine.url.database
        super().__init__(
            f"{where} cannot be brought up to date, for something is missing in it: {why}.",
            "Nothing was changed. Go back to a copy that is whole: obslog db restore",
        )


def upgrade(
    engine: Engine,
    migrations: Path | None = None,
    revision: str = "head",
    first: Callable[[Connection], None] | None = None,
    then: Callable[[Connection], None] | None = None,
) -> None:
    """Bring the tables to `revision` in one transaction: either all of it happens, or nothing.

    `first` is called inside the transaction, when nobody else can write any more and nothing is changed yet;
    `then` when the tables are as they are to be.
    """
    from alembic import command

    config = _config(migrations)
    with rebuilding_tables(engine) as connection:
        if connection.dialect.name != "sqlite":
            connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_UPGRADE_LOCK})")
        if first is not None:
            first(connection)
        config.attributes["connection"] = connection
        try:
            command.upgrade(config, revision)
        except (SQLAlchemyError, KeyError, ValueError) as error:
            if missing := _what_is_missing(error):
                raise TablesMissing(engine, missing) from error
            raise
        if then is not None:
            then(connection)


@contextmanager
def rebuilding_tables(engine: Engine) -> Iterator[Connection]:
    """A transaction in which SQLite lets a table that others refer to be made anew; then the references are checked.

    Raises BrokenReferences, and nothing is changed, where one then refers to nothing.
    """
    with writing(engine).connect() as connection:
        _sqlite_foreign_keys(connection, on=False)
        try:
            with connection.begin():
                yield connection
                _check_references(connection)
        finally:
            _sqlite_foreign_keys(connection, on=True)


def _check_references(connection: Connection) -> None:
    """Raises BrokenReferences; a server has checked them by itself."""
    if connection.dialect.name != "sqlite":
        return
    bad = connection.exec_driver_sql("PRAGMA foreign_key_check").fetchmany(3)
    if bad:
        raise BrokenReferences(bad)


def _what_is_missing(error: Exception) -> str | None:
    """The table, column, index or constraint that a revision did not find, in a few words; None where it failed else.

    Source: PostgreSQL's manual, appendix A (42703, 42704 and 42P01: undefined column, object and table).
    """
    if isinstance(error, NoSuchTableError):
        return f"no such table: {error}"
    if isinstance(error, DBAPIError):
        told = str(error.orig).strip().splitlines()[0]
        undefined = getattr(error.orig, "sqlstate", None) in ("42703", "42704", "42P01")
        return told if undefined or told.startswith("no such") else None
    told = str(error.args[0]) if error.args else ""
    if isinstance(error, ValueError):
        return told[:1].lower() + told[1:] if told.startswith("No such constraint") else None
    return f"no such column: {told}" if isinstance(error, KeyError) else None


def newest_revision(migrations: Path) -> str | None:
    """The revision that the scripts in a folder lead to."""
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_config(migrations)).get_current_head()


def known_revisions(migrations: Path | None = None) -> set[str]:
    """All revisions that this program knows."""
    from alembic.script import ScriptDirectory

    return {script.revision for script in ScriptDirectory.from_config(_config(migrations)).walk_revisions()}


def _config(migrations: Path | None) -> "Config":
    from alembic.config import Config

    config = Config()
    folder = str(migrations or resource_dir("migrations"))
    config.set_main_option("script_location", folder.replace("%", "%%"))
    return config


def _sqlite_foreign_keys(connection: Connection, on: bool) -> None:
    """Tables are rebuilt with the references off; inside a transaction the pragma would do nothing."""
    if connection.dialect.name == "sqlite":
        raw = connection.connection.driver_connection
        if raw is not None:
            raw.execute(f"PRAGMA foreign_keys={'ON' if on else 'OFF'}").close()
