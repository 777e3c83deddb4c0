"""A thing's papers: only what is given changes, and a value is of a day."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.undo import undo
from obslog.club.storeroom.inventory_details import NotValued, TagTaken, Valuation, write_paper
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.club.storeroom.store_page import store_page
from obslog.errors import NothingToChange, OutOfRange, UnknownName
from obslog.fields import UnusableText
from obslog.records.database import Database
from obslog.times import FutureDate
from obslog.vocabulary.storeroom import Acquired


def line_of(club: Database, name: str) -> StoreLine:
    return next(line for line in store_list(club, with_retired=True) if line.name == name)


def test_only_what_is_given_changes(club: Database, now: datetime) -> None:
    write_paper(club, "heron", {"tag": " M-01 ", "value": 900.0, "acquired": Acquired.GIFT}, now)
    write_paper(club, "Heron", {"value": 950.0, "place": "trunk"}, now)
    line = line_of(club, "Heron")
    assert (line.tag, line.value, line.place, line.acquired) == ("M-01", 950, "trunk", Acquired.GIFT)
    assert (line.cost, line.serial, line.acquired_on) == (None, None, None)  # unknown, not nothing
    write_paper(club, "Heron", {"value": None}, now)
    assert (line_of(club, "Heron").value, line_of(club, "Heron").tag) == (None, "M-01")
    undo(club, now)
    assert line_of(club, "Heron").value == 950


def test_a_gift_that_cost_nothing_is_not_unknown(club: Database, now: datetime) -> None:
    write_paper(club, "Heron", {"cost": 0.0}, now)
    assert line_of(club, "Heron").cost == 0


@pytest.mark.parametrize("tag", ["M-01", "m-01"])
def test_a_tag_is_on_one_thing(club: Database, now: datetime, tag: str) -> None:
    write_paper(club, "Heron", {"tag": "M-01"}, now)
    write_paper(club, "Heron", {"tag": "M-01"}, now)
    with pytest.raises(TagTaken, match="Heron"):
        write_paper(club, "Bracken", {"tag": tag}, now)


@pytest.mark.parametrize(
    ("values", "error"),
    [
        ({}, NothingToChange),
        ({"cost": -1.0}, OutOfRange),
        ({"value": float("nan")}, OutOfRange),
        ({"value": float("inf")}, OutOfRange),
        ({"serial": "  "}, UnusableText),
        ({"maker": "a\x1b[31m"}, UnusableText),
        ({"place": "x" * 201}, UnusableText),
        ({"acquired_on": date(2026, 3, 5)}, FutureDate),
    ],
)
def test_what_cannot_be_is_refused(
    club: Database, now: datetime, values: dict[str, object], error: type[Exception]
) -> None:
    with pytest.raises(error):
        write_paper(club, "Heron", values, now)
    assert line_of(club, "Heron").maker is None


def test_an_unknown_thing_has_no_papers(club: Database, now: datetime) -> None:
    with pytest.raises(UnknownName):
        write_paper(club, "Herron", {"tag": "1"}, now)


def valued(club: Database, *, with_names: bool = True) -> Valuation | None:
    return store_page(club, "Heron", date(2026, 3, 2), with_names=with_names).valuation


def test_a_value_is_of_the_day_on_which_it_is_set_unless_another_is_said(
    club: Database, now: datetime
) -> None:
    assert valued(club) is None
    write_paper(club, "Heron", {"value": 900.0, "valued_by": "Tomasz"}, now)
    assert valued(club) == Valuation(date(2026, 3, 2), "Tomasz")
    assert valued(club, with_names=False) == Valuation(date(2026, 3, 2), None)
    write_paper(club, "Heron", {"place": "trunk"}, now + timedelta(days=1))
    assert valued(club) == Valuation(date(2026, 3, 2), "Tomasz")
    write_paper(club, "Heron", {"value": 950.0, "valued_on": date(2025, 7, 1)}, now)
    assert valued(club) == Valuation(date(2025, 7, 1), None)  # Tomasz said nothing of 950
    write_paper(club, "Heron", {"valued_by": "a dealer"}, now)
    assert valued(club) == Valuation(date(2025, 7, 1), "a dealer")
    write_paper(club, "Heron", {"value": None}, now)
    assert valued(club) is None
    write_paper(club, "Heron", {"value": 1.0, "valued_on": None}, now)
    assert valued(club) == Valuation(None, None)


def test_nobody_values_what_has_no_value(club: Database, now: datetime) -> None:
    for values in ({"valued_on": date(2026, 3, 1)}, {"value": None, "valued_by": "Tomasz"}):
        with pytest.raises(NotValued):
            write_paper(club, "Heron", values, now)
    with pytest.raises(FutureDate):
        write_paper(club, "Heron", {"value": 1.0, "valued_on": date(2026, 3, 5)}, now)
