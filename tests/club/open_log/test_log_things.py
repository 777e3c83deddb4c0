"""What observations refer to goes into a log once, and not where the standard has no place for it."""

from sqlalchemy import select

from obslog.club.open_log.log_things import NOBODY, LogThings
from obslog.club.register import named_records
from obslog.exchange.open_log.records import Log
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Eyepiece, Member, Tube
from tests.club.bring_in.sheets import NOW


def test_a_name_is_parted_at_its_last_space_and_nobody_has_a_word(sqlite_club: Database) -> None:
    named_records.add(sqlite_club, "member", "Maria de la Cruz", {}, NOW)
    with sqlite_club.read() as session:
        log = Log()
        things = LogThings(session, log, exact=False)
        for key in (*session.scalars(select(Member.id).order_by(Member.name_key)), None, None):
            things.observer(key)
    found = [(one.name, one.surname) for one in log.observers.values()]
    assert found == [("Bram", "Ostler"), ("Ines", ""), ("Maria de la", "Cruz"), ("not told", "")]
    assert log.observers[NOBODY].full_name == "not told"


def test_a_tube_or_an_eyepiece_of_unknown_size_is_no_element(sqlite_club: Database) -> None:
    named_records.add(sqlite_club, "tube", "Old tube", {"focal_mm": 900.0}, NOW)
    named_records.add(sqlite_club, "eyepiece", "Old eyepiece", {}, NOW)
    with sqlite_club.read() as session:
        log = Log()
        things = LogThings(session, log, exact=False)
        tubes = {name: things.scope(key) for key, name in session.execute(select(Tube.id, Tube.name))}
        eyepieces = {
            n: things.eyepiece(key) for key, n in session.execute(select(Eyepiece.id, Eyepiece.name))
        }
    assert [name for name, id in tubes.items() if id is None] == ["Old tube"]
    assert [name for name, id in eyepieces.items() if id is None] == ["Old eyepiece"]
    assert [scope.model for scope in log.scopes.values()] == ["Long tube"]


def test_a_filter_is_known_by_its_words(sqlite_club: Database) -> None:
    with sqlite_club.read() as session:
        log = Log()
        things = LogThings(session, log, exact=False)
        ids = [things.filter(words) for words in ("O III", "O III", "Nebula", None)]
    assert ids == ["filter-1", "filter-1", "filter-2", None]
    assert [(one.model, one.kind) for one in log.filters.values()] == [
        ("O III", "O-III"),
        ("Nebula", "other"),
    ]
