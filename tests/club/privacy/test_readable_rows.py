"""Rows are told in names instead of keys, other members are not named, and what is unknown everywhere is left out."""

from datetime import UTC, date, datetime

import pytest

from obslog.club.night.nights import start_night
from obslog.club.night.setups import start_setup
from obslog.club.privacy.readable_rows import RowReader, cell_words
from obslog.club.storeroom.loans import lend
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.schema import metadata


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (None, ""),
        (True, "yes"),
        (False, "no"),
        (0, "0"),
        (2.5, "2.5"),
        (date(2026, 3, 2), "2026-03-02"),
        (datetime(2026, 3, 2, 21, 40, tzinfo=UTC), "2026-03-02 21:40:00 UTC"),
        ("a text", "a text"),
    ],
)
def test_a_value_is_told_in_words(value: object, words: str) -> None:
    assert cell_words(value) == words


def test_keys_are_told_as_names(club: Database, now: datetime) -> None:
    start_night(club, "Mill Field", now)
    start_setup(club, "Heron", now, tube="Long tube", observer="Ines")
    lend(club, "Stop 20", "Ines", now, by="Bram Ostler")
    with club.read() as session:
        ines = by_name(session, Member, "Ines")
        reader = RowReader(session, ines.id)
        loans, setups = metadata.tables["loans"], metadata.tables["setups"]
        heads, [loan] = reader.rows(loans, loans.c.member_id == ines.id)
        told = dict(zip(heads, loan, strict=True))
        assert (told["member"], told["issued by"], told["item"]) == ("you", "another member", "Stop 20")
        assert "back on" not in heads
        heads, [setup] = reader.rows(setups, setups.c.member_id == ines.id, left_out=["member_id"])
        told = dict(zip(heads, setup, strict=True))
        assert (told["night"], told["tube"]) == ("2026-03-02 at Mill Field", "Long tube")
        assert "member" not in heads


def test_rows_of_which_nothing_else_is_known_are_told_by_their_reference(
    club: Database, now: datetime
) -> None:
    start_night(club, "Mill Field", now, present=["Ines"])
    with club.read() as session:
        ines = by_name(session, Member, "Ines")
        there = metadata.tables["attendances"]
        heads, rows = RowReader(session, ines.id).rows(
            there, there.c.member_id == ines.id, left_out=["member_id", "night_id"]
        )
    assert heads == ["reference"]
    assert [len(row[0]) for row in rows] == [6]
