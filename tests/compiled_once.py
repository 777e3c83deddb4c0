"""Statements of SQLite are compiled once for all tests of a process, though each test has an engine of its own.

An engine keeps what it compiled, by the statement and its dialect. A command line makes an engine and a test runs many
command lines; to compile the same statements for each of them took a sixth of the time of the tests of commands. So the
engines that tests have the program make share one dialect and one store of compiled statements. What a statement is
compiled to depends on these two alone; connections, files and transactions remain each engine's own.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest
from sqlalchemy import Engine, create_engine
from sqlalchemy.util import LRUCache

from obslog.records import engine as engines

KEPT = 2000  # more than there are in the program


def sharing() -> Callable[..., Engine]:
    """`create_engine` for SQLite, sharing; for any other database it is as always."""
    kept: LRUCache[Any, Any] = LRUCache(KEPT)
    first = create_engine("sqlite://")
    first.connect().close()  # a dialect learns at its first connection what the database can do
    first.dispose()

    def make(url: Any, **options: Any) -> Engine:
        engine = create_engine(url, **options)
        if engine.dialect.name == "sqlite":
            engine.dialect = first.dialect
            engine.update_execution_options(compiled_cache=kept)
        return engine

    return make


@contextmanager
def statements_compiled_once() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engines, "create_engine", sharing())
        yield
