"""Laptops of one small club, made when they are asked for."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from obslog.records.opening import open_database
from tests.conftest import quiet
from tests.records.merging.laptops import BEGUN, Laptop, begin_club, laptops


@pytest.fixture
def some_laptops(tmp_path: Path) -> Iterator[Callable[[int], list[Laptop]]]:
    template = tmp_path / "club.db"
    database = open_database(str(template), BEGUN, quiet)
    begin_club(database)
    database.close()
    made: list[Laptop] = []

    def make(count: int) -> list[Laptop]:
        made.extend(laptops(template, tmp_path, count, 1))
        return made

    yield make
    for laptop in made:
        laptop.database.close()
