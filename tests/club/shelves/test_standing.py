"""How a count stands: what should be where, what was seen, and what is not looked for."""

from datetime import datetime, timedelta

from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.finishing import finish, what_would_change
from obslog.club.shelves.standing import past_counts, standing
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Found

TOMORROW = timedelta(days=1)


def test_each_item_stands_in_one_way(club: Database, now: datetime) -> None:
    write_paper(club, "Heron", {"place": "shelf 2"}, now)
    go_missing(club, "Long tube", now)
    lend(club, "Thistle", "Ines", now)
    retire(club, "eyepiece", "Wide 25", "worn", now.date(), now)
    start(club, now)
    saw(club, "Heron", now, note="dusty")
    stands = standing(club)
    found = {item.name: item.found for item in stands.items}
    assert "Wide 25" not in found  # it is retired, and was not seen
    assert {name: found.pop(name) for name in ("Heron", "Thistle", "Long tube")} == {
        "Heron": Found.SEEN,
        "Thistle": Found.ON_LOAN,
        "Long tube": Found.STILL_MISSING,
    }
    assert found
    assert set(found.values()) == {Found.NOT_SEEN}
    assert stands.expected == 1 + len(found)
    assert (stands.items[0].name, stands.items[0].note) == (
        "Heron",
        "dusty",
    )  # those without a place come last


def test_what_was_seen_and_then_lent_is_on_loan_and_nothing_more(club: Database, now: datetime) -> None:
    start(club, now)
    saw(club, "Heron", now)
    lend(club, "Heron", "Ines", now + TOMORROW)
    [heron] = [item for item in standing(club).items if item.name == "Heron"]
    assert heron.found is Found.ON_LOAN
    assert what_would_change(club, now + TOMORROW).against_record == []


def test_losses_are_told_of_the_newest_first(club: Database, now: datetime) -> None:
    for days, names in ((0, ["Heron", "Wide 25"]), (30, ["Heron"])):
        start(club, now + timedelta(days=days))
        for name in names:
            saw(club, name, now + timedelta(days=days))
        finish(club, now + timedelta(days=days))
    newer, older = past_counts(club)
    assert (newer.finished_on - older.finished_on).days == 30
    assert (newer.expected, newer.not_found) == (2, 1)  # the others had been missing since the first
    assert newer.percent == 50.0
