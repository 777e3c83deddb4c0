"""A member is known by every name and way of being reached that they ever had, and by no part of another's."""

from datetime import datetime

import pytest
from sqlalchemy import select

from obslog.club.privacy.member_words import all_selves, known_by, naming_texts, typed_by, words_of
from obslog.club.register.contacts import contact_of, set_contact
from obslog.club.register.named_records import add, edit
from obslog.errors import WholeNameNeeded
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Member


@pytest.fixture
def renamed(club: Database, now: datetime) -> Database:
    add(club, "member", "Tamsin Holloway", {}, now)
    set_contact(club, "Tamsin Holloway", {"phone": "01632 960 001"}, now)
    set_contact(club, "Tamsin Holloway", {"phone": "01632 960 417", "email": "t@kettle.example"}, now)
    edit(club, "member", "Tamsin Holloway", {}, now, rename="Tamsin Kettle")
    return club


def test_all_that_they_were_ever_called_or_reached_by_is_known(renamed: Database) -> None:
    assert known_by(renamed, "Tamsin Kettle") == [
        "01632 960 001",
        "01632 960 417",
        "Tamsin Holloway",
        "Tamsin Kettle",
        "t@kettle.example",
    ]
    with pytest.raises(WholeNameNeeded):
        known_by(renamed, "Tamsin")


def test_the_beginning_of_a_name_is_theirs_where_no_other_begins_so(renamed: Database, now: datetime) -> None:
    add(renamed, "member", "Tamara Voss", {}, now)
    with renamed.read() as session:
        member = session.scalars(select(Member).where(Member.name == "Tamsin Kettle")).one()
        theirs = typed_by(
            session, member.id, words_of(session, all_selves(session, member.id), contact_of(session, member))
        )
        assert {who: theirs(who) for who in ("tams", "Tamsin Holloway", "Tam", "Tamara", "Bram")} == {
            "tams": True,
            "Tamsin Holloway": True,
            "Tam": False,
            "Tamara": False,
            "Bram": False,
        }


def test_texts_with_the_whole_name_come_before_those_with_a_part(renamed: Database, now: datetime) -> None:
    edit(renamed, "mount", "Heron", {"note": "ask Tamsin"}, now)
    edit(renamed, "site", "Mill Field", {"note": "the key is with tamsin holloway"}, now)
    edit(renamed, "member", "Tamsin Kettle", {"note": "Tamsin Kettle is tall"}, now)
    with renamed.read() as session:
        member = session.scalars(select(Member).where(Member.name == "Tamsin Kettle")).one()
        found = naming_texts(
            session, member, words_of(session, all_selves(session, member.id), contact_of(session, member))
        )
    assert [(text.text, whole) for text, whole in found] == [
        ("the key is with tamsin holloway", True),
        ("ask Tamsin", False),
    ]
