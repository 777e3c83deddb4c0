"""How Alembic runs here: on the connection it is handed, or for developers on the database named by OBSLOG_DB."""

import os
import warnings
from typing import Any, Literal

from alembic import context
from alembic.autogenerate.api import AutogenContext
from sqlalchemy import Connection

PLAIN_TYPES = {
    "Key": "sa.Uuid().with_variant(sa.Text(), 'sqlite')",
    "UtcTime": "sa.DateTime(timezone=True).with_variant(sa.Text(), 'sqlite')",
    "LocalDate": "sa.Date().with_variant(sa.Text(), 'sqlite')",
    "YesNo": "sa.Boolean().with_variant(sa.Integer(), 'sqlite')",
    "Word": "sa.Text()",
    "Double": "sa.Double().with_variant(sa.REAL(), 'sqlite')",
}


def render_item(kind: str, item: Any, _context: AutogenContext) -> str | Literal[False]:
    """Write types as plain SQLAlchemy ones: an old revision must never need the application's code."""
    if kind == "type":
        return PLAIN_TYPES.get(type(item).__name__, False)
    return False


def run(connection: Connection) -> None:
    from obslog.records.change_counting import start_counting, stop_counting
    from obslog.records.tables.schema import metadata

    def is_of_this_database(thing: Any, *_: object) -> bool:
        """Whether something mapped belongs on this kind of database; an index may be for one kind alone."""
        return bool(thing.info.get("only_on", connection.dialect.name) == connection.dialect.name)

    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=connection.dialect.name == "sqlite",
        render_item=render_item,
        include_object=is_of_this_database,
        compare_type=True,
        compare_server_default=True,
        transactional_ddl=True,
        transaction_per_migration=False,
        autogenerate_plugins=["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"],
    )
    with context.begin_transaction():
        stop_counting(connection)
        with warnings.catch_warnings():  # SQLite tells Alembic nothing of an index over an expression
            warnings.filterwarnings("ignore", ".*expression-based index")
            context.run_migrations()
        start_counting(connection)


def run_for_developers() -> None:
    from obslog.records.engine import make_engine
    from obslog.records.upgrading import rebuilding_tables
    from obslog.settings import database_target

    engine = make_engine(database_target(None, os.environ))
    try:
        with rebuilding_tables(engine) as connection:
            run(connection)
    finally:
        engine.dispose()


handed_in = context.config.attributes.get("connection")
if handed_in is None:
    run_for_developers()
else:
    run(handed_in)
