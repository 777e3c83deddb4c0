"""What a folder of pages shows: all mounts, the newest nights, and members only where that was asked for."""

from datetime import date, datetime, timedelta

from obslog.club.overviews.folder_facts import folder_facts
from obslog.club.shelves.counting import start
from obslog.club.shelves.finishing import finish
from obslog.records.database import Database
from tests.club.performance.histories import NOW, counted_reading, fortnightly


def test_the_newest_nights_come_first_and_the_others_are_told(club_of_three: Database) -> None:
    facts = folder_facts(club_of_three, NOW, most_nights=3, with_members=False, with_names=False)
    nights = [one.night.page.night for one in facts.nights]
    assert nights == fortnightly(12)[:-4:-1]
    assert [(rows.count, rows.kind) for rows in facts.basis.left_out] == [(9, "night")]
    assert [one.mount for one in facts.mounts] == ["Alder", "Birch", "Cedar"]
    assert facts.members == []


def test_members_come_where_they_are_asked_for(club_of_three: Database) -> None:
    facts = folder_facts(club_of_three, NOW, most_nights=0, with_members=True, with_names=False)
    assert [one.member for one in facts.members] == ["Ines", "Tomasz"]


def test_the_stocktake_is_the_open_one_else_the_last_and_there_may_be_none(
    club: Database, now: datetime
) -> None:
    def of_which_day() -> date | None:
        facts = folder_facts(club, now, most_nights=0, with_members=False, with_names=False)
        return facts.stocktake.standing.started_on if facts.stocktake else None

    assert of_which_day() is None
    start(club, now - timedelta(days=3))
    finish(club, now - timedelta(days=2))
    assert of_which_day() == (now - timedelta(days=3)).date()
    start(club, now)
    assert of_which_day() == now.date()


def test_everything_is_read_in_one_session(club_of_three: Database) -> None:
    with counted_reading(club_of_three) as count:
        folder_facts(club_of_three, NOW, most_nights=2, with_members=True, with_names=False)
    assert count["sessions"] == 1
