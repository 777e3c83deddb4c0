"""Laptops that share a club: each a file of its own."""

import random
import shutil
from collections.abc import Callable
from contextlib import suppress
from datetime import timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

from sqlalchemy import event
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.together.forgetting import Forgetting
from obslog.errors import ObslogError
from obslog.exchange.bundles.entries import Entry
from obslog.records.bundles.taking_in import TakenIn, take_in
from obslog.records.bundles.telling import Choice, tell
from obslog.records.database import Database
from obslog.records.engine import make_engine
from obslog.records.history.author import Author
from obslog.records.merging import obstacles
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook import Act, Change, ChangeBatch
from obslog.records.tables.logbook_tables import (
    Item,
    Member,
    Mount,
    Site,
)
from obslog.records.undoing.undoing import redo_next, undo_last
from tests.conftest import wait_for_no_disk
from tests.records.merging.doings import BEGUN, DOING, NAMED, undo
from tests.records.merging.whole_log import Key, rows_now

__all__ = ["BEGUN", "NAMED", "Laptop", "begin_club", "laptops"]


class Laptop:
    """One file in a folder of its own, and who works on it."""

    def __init__(self, path: Path, chance: random.Random) -> None:
        engine = make_engine(str(path))
        event.listen(engine, "connect", wait_for_no_disk)
        self.database = Database(engine, str(path), find_author=self._author)
        self.folder = path.parent
        self.chance = chance
        self.now = BEGUN
        self.who: str | None = None

    def _author(self) -> Author:
        return Author(who=self.who)

    def do(self, what: Callable[[Session], None], sentence: str = "do something") -> None:
        """Something that a person does; where the program or the database refuses it, it did not happen."""
        self.wait()
        with suppress(ObslogError, IntegrityError), self.database.write(self.now, sentence) as session:
            what(session)

    def wait(self) -> None:
        """Until somebody does something again: mostly minutes, now and then a day."""
        self.now += timedelta(days=1) if self.chance.random() < 0.1 else timedelta(minutes=1)

    def something(self) -> None:
        """Whatever somebody might do next."""
        doing = self.chance.choices(list(DOING), list(DOING.values()))[0]
        if doing is undo:
            self.wait()
            take_back = self.chance.choice([undo_last, undo_last, redo_next])
            with suppress(ObslogError), self.database.write(self.now) as session:
                take_back(session, self.now)
            return
        self.do(lambda session: doing(session, self.chance))

    def take_from(self, *others: "Laptop") -> TakenIn:
        return self.take_in(*(other.told() for other in others))

    def told(self) -> list[Entry]:
        """All that this laptop knows."""
        with self.database.read() as session:
            return list(tell(session, Choice(with_private=True)))

    def take_in(self, *bundles: list[Entry]) -> TakenIn:
        with self.database.write(self.now) as session:
            return take_in(session, bundles, Forgetting().prepare)

    def close(self) -> None:
        """Nobody works on it any more, and nothing of it stays."""
        self.database.close()
        shutil.rmtree(self.folder)

    def rows(self) -> dict[Key, dict[str, Any]]:
        with self.database.read() as session:
            return rows_now(session)

    def asides(self) -> set[Any]:
        with self.database.read() as session:
            return set(obstacles.all_asides(session))

    def log(self) -> dict[str, set[Any]]:
        """The keys of all that is in the log."""
        with self.database.read() as session:
            driver: Any = session.connection().connection.driver_connection
            return {
                kind.__name__: {key for (key,) in driver.execute(f"SELECT id FROM {kind.__tablename__}")}
                for kind in (Act, Change, ChangeBatch)
            }


def laptops(template: Path, folder: Path, count: int, seed: int) -> list[Laptop]:
    """So many laptops of one club, from one file, which are nobody's yet."""
    chance = random.Random(seed)
    found = []
    for number in range(count):
        own = folder / f"laptop{seed}-{number}-{uuid4().hex}"
        own.mkdir()
        found.append(Laptop(Path(shutil.copy(template, own)), random.Random(chance.random())))
    return found


def begin_club(database: Database) -> None:
    """A site, two members, a mount, two items and a kit, each by an act."""
    with database.write(BEGUN, "begin") as session:
        for kind, names in (
            (Site, ["Mill"]),
            (Member, ["Ines", "Bram"]),
            (Mount, ["Heron"]),
            (Item, ["Case", "Lamp"]),
            (Kit, ["Kit one"]),
        ):
            for name in names:
                session.add(kind(name=name, name_key=name_key(name)))
