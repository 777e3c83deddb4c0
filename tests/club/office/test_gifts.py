"""What a letter of thanks may tell: only of a gift, only what is known, and a value only where it is asked for."""

from datetime import date, datetime

import pytest

from obslog.club.office.gifts import Gift, NotAGift, NoValueToTell, gift_of
from obslog.club.register.rule_book import set_rule
from obslog.club.storeroom.inventory_details import write_paper
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Acquired, Condition


def test_a_gift_is_told_as_it_is_on_record(club: Database, now: datetime) -> None:
    set_rule(club, "currency", "EUR", now)
    paper = {"acquired": Acquired.GIFT, "acquired_on": date(2026, 2, 1), "maker": "Northlight", "value": 85.0}
    write_paper(club, "Lead battery", paper, now)
    told = gift_of(club, "lead battery", donor=" Wilma  Ost ", condition=Condition.WORN)
    assert told == Gift(
        donor="Wilma Ost", item="Lead battery", category="battery", tag=None, maker="Northlight", model=None,
        serial=None, given_on=date(2026, 2, 1), condition=Condition.WORN, value=None, valued_on=None,
    )  # fmt: skip
    valued = gift_of(club, "Lead battery", with_value=True)
    assert (valued.value, valued.valued_on, valued.donor) == ("EUR 85.00", date(2026, 3, 2), None)


def test_what_is_no_gift_gets_no_letter(club: Database, now: datetime) -> None:
    with pytest.raises(NotAGift, match="how the club got it is not on record"):
        gift_of(club, "Heron")
    write_paper(club, "Heron", {"acquired": Acquired.BOUGHT}, now)
    with pytest.raises(NotAGift, match="it was bought"):
        gift_of(club, "Heron")
    write_paper(club, "Heron", {"acquired": Acquired.GIFT}, now)
    assert gift_of(club, "Heron").category == "mount"
    with pytest.raises(NoValueToTell):
        gift_of(club, "Heron", with_value=True)
    with pytest.raises(UnknownName):
        gift_of(club, "Hedgehog")
