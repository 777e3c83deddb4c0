"""What a finished stocktake found is told as it was then, whatever has become of the items since."""

from dataclasses import replace
from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import func, select

from obslog.club.register.named_records import edit
from obslog.club.register.undo import undo
from obslog.club.shelves.counting import NoStocktake, saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.shelves.standing import NoStocktakeOn, standing
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import lend
from obslog.club.storeroom.missing import be_found
from obslog.club.storeroom.retirement import write_off
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.officer import NotFound, Stocktake, StocktakeLine, StocktakeTick
from obslog.vocabulary.storeroom import Found

DAY = timedelta(days=1)


def a_count(database: Database, now: datetime) -> None:
    """Heron and Wide 25 seen, the one elsewhere; Thistle lent; all else not seen; of the kit the dew cap missing."""
    write_paper(database, "Heron", {"place": "shelf 2", "tag": "M-01", "value": 300.0}, now)
    write_paper(database, "Wide 25", {"place": "drawer", "value": 60.0}, now)
    write_paper(database, "Long tube", {"place": "rack", "tag": "T-07", "value": 900.0}, now)
    add_kit(database, "Evening kit", ["Heron", "dew cap", "cable"], now)
    lend(database, "Thistle", "Ines", now)
    start(database, now, "Ines")
    saw(database, "M-01", now, place="attic")
    saw(database, "Wide 25", now, note="dusty")
    saw(database, "a torch", now, place="attic")
    saw(database, "Evening kit", now, without=["dew cap"])


def test_what_was_shown_before_finishing_is_shown_after_it_whatever_has_changed_since(
    club: Database, now: datetime
) -> None:
    a_count(club, now)
    before = standing(club)
    finish(club, now + DAY)
    after = standing(club)
    assert after == replace(before, finished_on=(now + DAY).date())

    later = now + 30 * DAY
    edit(club, "mount", "Heron", {}, later, rename="Grey heron")
    write_paper(club, "Grey heron", {"tag": "M-99", "place": "hall", "value": 10.0}, later)
    be_found(club, "Long tube", later)
    write_off(club, "Wide 25", "trodden on", later)
    remove_part(club, "Evening kit", "cable", "worn", later)
    edit(club, "kit", "Evening kit", {}, later, rename="Late kit")
    assert standing(club) == after
    assert standing(club, date(2026, 3, 3)) == after


def test_the_words_of_a_count_worked_out_by_hand(club: Database, now: datetime) -> None:
    a_count(club, now)
    finish(club, now + DAY)
    then = standing(club)
    with club.read() as session:
        items = session.scalar(select(func.count()).select_from(Equipment)) or 0
    # All items but the one that is lent; two of them were seen.
    assert (then.expected, then.not_seen) == (items - 1, items - 3)
    assert (then.started_on, then.finished_on, then.member) == (date(2026, 3, 2), date(2026, 3, 3), "Ines")
    named = {item.name: item for item in then.items}
    assert (named["Heron"].found, named["Heron"].place, named["Heron"].seen_at) == (
        Found.ELSEWHERE,
        "shelf 2",
        "attic",
    )
    assert (named["Wide 25"].found, named["Wide 25"].note) == (Found.SEEN, "dusty")
    assert (named["Long tube"].found, named["Long tube"].tag, named["Long tube"].value) == (
        Found.NOT_SEEN,
        "T-07",
        900.0,
    )
    assert named["Thistle"].found is Found.ON_LOAN
    assert [(part.kit, part.part, part.found) for part in then.parts] == [
        ("Evening kit", "dew cap", Found.NOT_SEEN),
        ("Evening kit", "cable", Found.SEEN),
    ]
    assert [line.text for line in then.not_on_record] == ["a torch"]
    assert set(then.changes.goes_missing) == set(named) - {"Heron", "Wide 25", "Thistle"}
    assert [(one.name, one.place, one.seen_at) for one in then.changes.moved] == [
        ("Heron", "shelf 2", "attic")
    ]
    assert then.changes.parts_missing == ["dew cap of Evening kit"]


def test_undoing_the_finishing_takes_what_was_kept_with_it(club: Database, now: datetime) -> None:
    a_count(club, now)
    before = standing(club)
    finish(club, now + DAY)
    undo(club, now + DAY)
    assert standing(club) == before
    with club.read() as session:
        assert session.scalars(select(StocktakeLine)).all() == []


def test_of_one_from_before_lines_were_kept_what_was_ticked_and_not_found_is_told(
    club: Database, now: datetime
) -> None:
    write_paper(club, "Heron", {"place": "shelf 2"}, now)
    with club.write(now) as session:
        old = Stocktake(started_on=date(2025, 3, 1), finished_on=date(2025, 3, 2), expected=40, not_found=1)
        session.add(old)
        session.flush()
        keys = dict(session.execute(select(Equipment.name, Equipment.id)).all())
        session.add(StocktakeTick(stocktake_id=old.id, equipment_id=keys["Heron"], seen_utc=now))
        session.add(NotFound(stocktake_id=old.id, equipment_id=keys["Wide 25"]))
    then = standing(club)
    assert (then.whole, then.expected, then.not_seen) == (False, 40, 1)
    assert {item.name: item.found for item in then.items} == {
        "Heron": Found.SEEN,
        "Wide 25": Found.NOT_SEEN,
    }


def test_a_stocktake_is_found_by_any_of_its_days(club: Database, now: datetime) -> None:
    with pytest.raises(NoStocktake):
        standing(club)
    for first, last in ((0, 2), (2, 2), (5, 7)):
        start(club, now + first * DAY)
        finish(club, now + last * DAY)
    start(club, now + 9 * DAY)

    def days(day: int | None) -> tuple[date, date | None]:
        then = standing(club, day if day is None else (now + day * DAY).date())
        return then.started_on, then.finished_on

    def dates(first: int, last: int | None) -> tuple[date, date | None]:
        return (now + first * DAY).date(), None if last is None else (now + last * DAY).date()

    assert days(0) == days(1) == dates(0, 2)
    assert days(2) == dates(2, 2)  # the newer of two that were finished on the day
    assert days(6) == dates(5, 7)
    assert days(None) == days(9) == days(30) == dates(9, None)
    with pytest.raises(NoStocktakeOn, match="2026-03-10"):
        days(8)
    assert [past.started_on for past in standing(club, (now + 6 * DAY).date()).past] == [
        dates(2, 2)[0],
        dates(0, 2)[0],
    ]
