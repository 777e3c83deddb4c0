"""Databases of an older revision, and Alembic as developers run it: on what OBSLOG_DB names, with nothing handed in."""

from collections.abc import Callable, Iterable

import pytest
from alembic.config import Config
from sqlalchemy import text

from obslog.records.engine import make_engine, writing
from obslog.records.upgrading import upgrade
from tests.records.tables.test_schema import alembic_config


def on_database(target: str, act: Callable[[Config, str], object], revision: str) -> None:
    """What `alembic upgrade` or `alembic downgrade` does, which is handed in as `act`."""
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("OBSLOG_DB", target)
        act(alembic_config(), revision)


def fill_at_revision(target: str, revision: str, statements: Iterable[str]) -> None:
    """Make a database of that revision and run statements in it; `{false}` stands for what each database calls it."""
    engine = make_engine(target)
    upgrade(engine, revision=revision)
    false = "0" if engine.dialect.name == "sqlite" else "false"
    with writing(engine).begin() as connection:
        for statement in statements:
            connection.execute(text(statement.format(false=false).replace(":", r"\:")))
    engine.dispose()
