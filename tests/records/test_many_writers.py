"""Many programs that write into one database at once: what was acknowledged is on record, once, and the file whole."""

import json
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import text

from obslog.records.care.damage import complaints
from obslog.records.database import Database
from obslog.records.opening import open_database
from tests.records.children import side_by_side

ACTS_EACH = 15
WRITE = """
import json, os
from obslog.records.driver_errors import DatabaseInUse
from obslog.records.tables.logbook_tables import Member

def work():
    database = open_database(sys.argv[1], NOW, lambda said: None)
    acknowledged = []
    for number in range(int(sys.argv[2])):
        name = f"{os.getpid()}-{number}"
        while len(acknowledged) <= number:
            try:
                with database.write(NOW, f"add {name}") as session:
                    before = session.query(Member).count()
                    session.add(Member(name=name, name_key=name, note=str(before)))
            except DatabaseInUse:  # longer than the time-out, on a busy machine: nothing was changed, so once more
                continue
            acknowledged.append(name)
    database.close()
    print(json.dumps(acknowledged))
"""


def check(database: Database, said: list[str], writers: int) -> None:
    acknowledged = Counter(name for one in said for name in json.loads(one))
    assert len(said) == writers
    assert acknowledged.total() == writers * ACTS_EACH
    with database.read() as session:
        kept = Counter(session.execute(text("SELECT name FROM members")).scalars())
        acts = session.execute(text("SELECT sentence FROM acts ORDER BY id")).scalars().all()
        before = session.execute(text("SELECT note FROM members")).scalars()
        seen = sorted(int(note) for note in before)
    assert kept == acknowledged
    assert Counter(acts) == Counter({f"add {name}": 1 for name in acknowledged})
    assert seen == list(range(len(seen))), "each saw all that was written before it"
    assert complaints(database.engine) == []
    for one in said:  # and the acts of each are in the order in which it did them
        own = [f"add {name}" for name in json.loads(one)]
        assert [act for act in acts if act in set(own)] == own


@pytest.mark.slow
def test_eight_writers_on_one_file_lose_nothing(sqlite_path: Path, now: datetime, said: list[str]) -> None:
    told = side_by_side(8, WRITE, sqlite_path, ACTS_EACH)
    database = open_database(str(sqlite_path), now, said.append)
    check(database, told, 8)
    database.close()


@pytest.mark.slow
def test_thirty_two_writers_on_a_server_lose_nothing(postgres_database: Database, said: list[str]) -> None:
    told = side_by_side(32, WRITE, postgres_database.where, ACTS_EACH)
    check(postgres_database, told, 32)
