"""What somebody may decide by hand on one of several laptops, by the functions behind the commands."""

from contextlib import suppress
from datetime import timedelta

from sqlalchemy import select

from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.deciding import choose, drop, keep
from obslog.club.together.left_open import WHY
from obslog.club.together.sameness import make_same
from obslog.errors import ObslogError
from obslog.records.tables.keys import reference_of
from obslog.records.tables.logbook import Act
from obslog.records.undoing.undoing import undo_named
from tests.records.merging.laptops import NAMED, Laptop


def decide_something(laptop: Laptop) -> None:
    """One decision at random; where the program refuses it, in its own words, it was not made."""
    laptop.now += timedelta(minutes=1)
    decide = laptop.chance.choice([_choose, _keep, _drop, _join, _take_back])
    with suppress(ObslogError):
        decide(laptop)


def _choose(laptop: Laptop) -> None:
    found = [one.reference for one in list_conflicts(laptop.database).fields]
    if found:
        choose(laptop.database, laptop.chance.choice(found), laptop.now)


def _keep(laptop: Laptop) -> None:
    found = [one.reference for one in list_conflicts(laptop.database).fields]
    if found:
        keep(laptop.database, laptop.chance.choice(found), laptop.now)


def _drop(laptop: Laptop) -> None:
    told = list_conflicts(laptop.database).to_settle
    found = [one.reference for one in told if one.why != WHY]  # a set-up that is open has its own command
    if found:
        drop(laptop.database, laptop.chance.choice(found), laptop.now)


def _join(laptop: Laptop) -> None:
    with laptop.database.read() as session:
        names = sorted(session.scalars(select(laptop.chance.choice(NAMED).name)))
    if len(names) > 1:
        kept, other = laptop.chance.sample(names, 2)
        make_same(laptop.database, kept, other, laptop.now, sure=True)


def _take_back(laptop: Laptop) -> None:
    """Any act, not only the newest."""
    with laptop.database.write(laptop.now) as session:
        acts = session.scalars(select(Act.id).order_by(Act.id)).all()
        undo_named(session, reference_of(laptop.chance.choice(acts)), laptop.now)
