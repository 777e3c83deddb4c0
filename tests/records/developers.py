"""Alembic as developers run it: on the database that OBSLOG_DB names, with nothing handed in."""

from collections.abc import Callable

import pytest
from alembic.config import Config

from tests.records.tables.test_schema import alembic_config


def on_database(target: str, act: Callable[[Config, str], object], revision: str) -> None:
    """What `alembic upgrade` or `alembic downgrade` does, which is handed in as `act`."""
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("OBSLOG_DB", target)
        act(alembic_config(), revision)
