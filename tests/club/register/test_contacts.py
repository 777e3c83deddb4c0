"""How members are reached: written down, changed, taken away, and told only where it is asked for."""

from datetime import datetime

import pytest

from obslog.club.register.contacts import (
    NoEmail,
    Reach,
    member_with_contact,
    members_with_contacts,
    reach_of,
    set_contact,
)
from obslog.club.register.named_records import listed, shown
from obslog.club.register.undo import undo
from obslog.errors import NothingToChange, UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database


def test_what_is_given_changes_and_the_rest_stays(club: Database, now: datetime) -> None:
    set_contact(club, "ines", {"phone": " 01632 960 123 ", "address": "3 Otter Row"}, now)
    on_record = set_contact(club, "Ines", {"email": "ada@quill.example"}, now).on_record
    assert on_record == ["phone", "email", "address"]
    assert reach_of(club, "Ines") == Reach("01632 960 123", "ada@quill.example", "3 Otter Row")
    assert reach_of(club, "Bram Ostler") == Reach()


def test_an_empty_text_takes_away_and_undo_gives_back(club: Database, now: datetime) -> None:
    set_contact(club, "Ines", {"phone": "01632 960 123"}, now)
    assert set_contact(club, "Ines", {"phone": "", "email": ""}, now).on_record == []
    assert set_contact(club, "Bram Ostler", {"phone": ""}, now).on_record == []
    undo(club, now)
    assert reach_of(club, "Ines").phone == "01632 960 123"


def test_the_officers_list_has_everybody_and_the_members_list_no_contact(
    club: Database, now: datetime
) -> None:
    set_contact(club, "Ines", {"phone": "01632 960 123"}, now)
    assert [(who["name"], who["phone"]) for who in members_with_contacts(club)] == [
        ("Bram Ostler", None),
        ("Ines", "01632 960 123"),
    ]
    assert member_with_contact(club, "Ines")["phone"] == "01632 960 123"
    assert "01632 960" not in f"{listed(club, 'member')} {shown(club, 'member', 'Ines')}"


@pytest.mark.parametrize("email", ["ada", "@quill.example", "ada@", "a b@quill.example", "a@b@c"])
def test_what_is_no_email_address_is_refused(club: Database, now: datetime, email: str) -> None:
    with pytest.raises(NoEmail):
        set_contact(club, "Ines", {"email": email}, now)


def test_what_cannot_be_kept_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(UnusableText):
        set_contact(club, "Ines", {"address": "x" * 401}, now)
    with pytest.raises(UnusableText):
        set_contact(club, "Ines", {"phone": "0\x1b[31m"}, now)
    with pytest.raises(NothingToChange):
        set_contact(club, "Ines", {}, now)
    with pytest.raises(UnknownName):
        set_contact(club, "Inez", {"phone": "01632 960 123"}, now)
