"""Finding words again: what is found does not hang on which of the words is rare, and the newest comes first."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from itertools import permutations

import pytest
from sqlalchemy import event, select

from obslog.club.finding import NothingToFind, find_text
from obslog.club.night.snags import add_snag
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Arrival, Member, Mount, Night, Observation, Setup, Site
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.steps import Step

NOTES = ("soft oval glow", "Crème brûlée beside the glow", "oval, 100% grainy", "nothing but glow")


@pytest.fixture
def described(club: Database, now: datetime) -> Database:
    """Four notes of four minutes, the last written the newest, and an arrival with a note."""
    with club.write(now) as session:
        site, mount = session.scalars(select(Site)).first(), session.scalars(select(Mount)).first()
        assert site is not None
        assert mount is not None
        night = Night(site_id=site.id, night_of=date(2026, 3, 2))
        session.add(night)
        session.flush()
        setup = Setup(night_id=night.id, mount_id=mount.id)
        session.add(setup)
        session.flush()
        session.add_all(
            Observation(
                night_id=night.id, at_utc=now + timedelta(minutes=n), target=f"NGC {n}", description=text
            )
            for n, text in enumerate(NOTES)
        )
        session.add(Arrival(setup_id=setup.id, at_utc=now, role=Role.GOTO, target="M 81", note="oval drift"))
        session.add(Arrival(setup_id=setup.id, at_utc=now, role=Role.GOTO, target="M 82"))
        session.add(Member(name="Glow", name_key="glow"))
    return club


def test_the_newest_is_first_and_no_more_than_asked_for(described: Database) -> None:
    assert [hit.about for hit in find_text(described, "glow")] == ["NGC 3", "NGC 1", "NGC 0"]
    assert [hit.about for hit in find_text(described, "glow", most=1)] == ["NGC 3"]


@pytest.mark.parametrize("words", list(permutations(("GLOW", "brulee", "cr"))))
def test_the_order_of_the_words_does_not_count(described: Database, words: tuple[str, ...]) -> None:
    assert [hit.text for hit in find_text(described, " ".join(words))] == [NOTES[1]]


def test_parts_of_words_and_single_signs_are_found(described: Database) -> None:
    assert [hit.about for hit in find_text(described, "rain")] == ["NGC 2"]
    assert [hit.about for hit in find_text(described, "%")] == ["NGC 2"]
    assert find_text(described, "q") == []


def test_notes_of_arrivals_are_found_with_their_target(described: Database) -> None:
    assert [(hit.kind, hit.about) for hit in find_text(described, "drift oval")] == [("arrival", "M 81")]


def test_no_word_is_refused(described: Database) -> None:
    with pytest.raises(NothingToFind):
        find_text(described, " \n")


@contextmanager
def statements_of(database: Database) -> Iterator[list[tuple[str, tuple[object, ...]]]]:
    """The statements that a database is asked meanwhile, with their parameters."""
    asked: list[tuple[str, tuple[object, ...]]] = []

    def note(
        _connection: object, _cursor: object, statement: str, parameters: tuple[object, ...], *_: object
    ) -> None:
        asked.append((statement, parameters))

    event.listen(database.engine, "before_cursor_execute", note)
    yield asked
    event.remove(database.engine, "before_cursor_execute", note)


def test_sqlite_looks_through_the_narrow_index_from_the_newest_on(sqlite_club: Database) -> None:
    """What makes it quick: without the index, or with a sort, a common word costs as much as a rare one."""
    with statements_of(sqlite_club) as asked:
        find_text(sqlite_club, "oval")
    searches = [
        (table, s, p) for s, p in asked for table in ("observations", "arrivals") if f"FROM {table}" in s
    ]
    assert {table for table, _, _ in searches} == {"observations", "arrivals"}
    for table, statement, parameters in searches:
        with sqlite_club.engine.connect() as connection:
            plan = [
                row[3] for row in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", parameters)
            ]
        assert f"SCAN {table} USING COVERING INDEX ix_{table}_search" in plan


def test_a_snag_is_found_under_the_day_of_its_site(club: Database) -> None:
    late = datetime(2026, 3, 2, 22, 30, tzinfo=UTC)  # in Johannesburg it is 0:30 of 3 March
    add_snag(club, Step.CABLES, "lead caught", late, mount="Heron", site="Kestrel Ridge")
    add_snag(club, Step.CABLES, "lead worn", late, mount="Heron")
    assert {hit.text: hit.day for hit in find_text(club, "lead")} == {
        "lead caught": date(2026, 3, 3), "lead worn": date(2026, 3, 2),
    }  # fmt: skip
