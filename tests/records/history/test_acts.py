"""Acts are found by the ends of their keys, and those of an upgrade told from those of people."""

from datetime import datetime
from uuid import UUID

import pytest
from sqlalchemy import insert, select

from obslog.club.register.named_records import add
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.acts import NoSuchAct, act_named, not_derived, that_hold
from obslog.records.tables.keys import is_derived
from obslog.records.tables.logbook_tables import Act

ONE, OTHER = UUID("018f22e2-79b0-7cc3-98c4-000000abcdef"), UUID("018f22e2-79b0-7cc3-98c4-000001abcdef")
MADE = UUID("018f22e2-79b0-8cc3-98c4-00000012ab34")


@pytest.fixture
def acts(database: Database, now: datetime) -> Database:
    with database.write(now) as session:
        for key, sentence in ((ONE, "one"), (OTHER, "other"), (MADE, "made")):
            session.execute(insert(Act).values(id=key, at_utc=now, sentence=sentence))
    return database


def named(database: Database, reference: str) -> str:
    with database.read() as session:
        return act_named(session, reference).sentence


def test_an_act_is_found_by_the_end_of_its_key_in_capitals_or_not(acts: Database) -> None:
    assert named(acts, "12ab34") == named(acts, " 12AB34 ") == named(acts, str(MADE)) == "made"
    assert named(acts, "1abcdef") == "other"


@pytest.mark.parametrize("reference", ["ab34", "", "%", "zzzzzz", "12ab35", "______", "abcdef"])
def test_what_is_no_reference_or_that_of_several_is_refused(acts: Database, reference: str) -> None:
    with pytest.raises(NoSuchAct) as refused:
        named(acts, reference)
    assert refused.value.message.startswith("Several" if reference == "abcdef" else "No act")


def test_acts_of_people_are_told_from_those_of_an_upgrade(acts: Database) -> None:
    assert [is_derived(key) for key in (ONE, MADE)] == [False, True]
    with acts.read() as session:
        found = session.scalars(select(Act.sentence).where(not_derived()).order_by(Act.id)).all()
    assert found == ["one", "other"]


def test_an_act_that_was_undone_does_not_hold_nor_does_its_undoing(database: Database, now: datetime) -> None:
    add(database, "member", "Ines", {}, now)
    add(database, "member", "Bram", {}, now)
    undo(database, now)
    with database.read() as session:
        assert session.scalars(select(Act.sentence).where(*that_hold())).all() == ["add member Ines"]
