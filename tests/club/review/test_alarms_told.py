"""Alarms of the control chart, from histories on record to the sentence of the verdict: which of them count."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from shutil import copy

import pytest

from obslog.club.register.rule_book import set_rule
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.cli.program import Program
from tests.club.performance.histories import NOW, Evening, put_on_record
from tests.club.review.evidence import NIGHTS, SOON, mounts_of, told, with_names

FIRST_ALARM, SECOND_ALARM = NIGHTS[9], NIGHTS[20]
SERVICED = NIGHTS[12]


def steady(mount: str, far: dict[int, list[float]], count: int = 25) -> Iterator[Evening]:
    """Set-ups that land 5' and 7' out in turn, by two members in turn, but for those nights told apart.

    Each distance is a set-up of its own, of six arrivals. Eight quiet nights set the chart. One landing 100' out counts
    as 2.5 sd at most: the average rises to 0.2 x 2.5 = 0.5 sd, which is 2.5 times its own sd then, and within limits of
    about 2.7; a second one to 0.9, 3.5 times its own. Nine quiet nights bring that down to 0.9 x 0.8^9 = 0.12; two
    more landings far out to 0.98, where the average's sd is 0.33.
    """
    for place, night in enumerate(NIGHTS[:count]):
        for arcmin in far.get(place, [5.0 + 2 * (place % 2)]):
            yield Evening(night, [arcmin] * 6, mount=mount, observer=("Ines", "Bram Ostler")[place % 2])


ALARMED = {place: [100.0] for place in (8, 9, 19, 20)}
CHARTED = ("Alder", "Birch", "Cedar", "Dogwood", "Elder")


@pytest.fixture(scope="module")
def charted(sqlite_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """Five mounts: over the limit twice; under it twice; over, mended and over again; over twice with a cleaning
    between; over twice in one night. Nothing is written by the tests."""
    path = Path(copy(sqlite_template, tmp_path_factory.mktemp("charted") / "club.db"))
    database = with_names(Database(make_engine(str(path)), str(path)), CHARTED)
    put_on_record(
        database,
        [
            *steady("Alder", ALARMED),
            *steady("Birch", {place: [0.6] for place in ALARMED}),
            *steady("Cedar", {place: [100.0] for place in (8, 9, 20, 21)}),
            *steady("Dogwood", ALARMED),
            *steady("Elder", {9: [100.0, 100.0, 0.6, 0.6, 100.0, 100.0, 100.0]}),
        ],
    )
    # the charts run for 80 days: one false alarm in that time, as limits of 2.7 make
    set_rule(database, "alarms-a-year", 4.5, NOW)
    add_service(database, "mount", "Cedar", "new worm", NOW, on=SERVICED, mechanical=True)
    add_service(database, "mount", "Dogwood", "wiped", NOW, on=SERVICED, mechanical=False)
    yield database
    database.close()


def alarms(database: Database, mount: str, today: date) -> list[date]:
    growth = mounts_of(database, today)[mount].growth
    assert growth is not None
    return growth.alarm_nights


def test_an_alarm_counts_through_the_last_of_its_days(charted: Database) -> None:
    last = FIRST_ALARM + timedelta(days=180)  # the rule alarm-days
    assert alarms(charted, "Alder", last) == [FIRST_ALARM, SECOND_ALARM]
    assert told(charted, "Alder", last) == [
        f"its landing error exceeded the control limit on 2 nights, most recently on {SECOND_ALARM}"
    ]
    assert alarms(charted, "Alder", last + timedelta(days=1)) == [SECOND_ALARM]
    assert told(charted, "Alder", last + timedelta(days=1)) == []  # one alarm is no verdict
    assert alarms(charted, "Alder", SECOND_ALARM + timedelta(days=181)) == []


def test_a_landing_better_than_the_limit_is_no_alarm_against_the_mount(charted: Database) -> None:
    assert alarms(charted, "Birch", SOON) == []
    assert told(charted, "Birch", SOON) == []


def test_alarms_before_a_mechanical_service_are_forgotten_and_after_it_they_count(charted: Database) -> None:
    """Cedar alarmed on the tenth night and, with eight quiet nights since its service, on the tenth after that."""
    assert alarms(charted, "Cedar", SOON) == [NIGHTS[21]]
    assert told(charted, "Cedar", SOON) == []


def test_a_service_that_is_not_mechanical_leaves_the_alarms_standing(charted: Database) -> None:
    found = mounts_of(charted, SOON)["Dogwood"]
    assert alarms(charted, "Dogwood", SOON) == [FIRST_ALARM, SECOND_ALARM]
    assert (found.serviced_on, found.setups) == (None, 25)


def test_a_night_counts_once_however_often_the_limit_was_left_in_it(charted: Database) -> None:
    assert alarms(charted, "Elder", SOON) == [FIRST_ALARM]
    assert mounts_of(charted, SOON)["Elder"].setups == 25 + 6


def test_of_a_mended_mount_the_nights_since_then_are_counted_that_of_the_day_among_them(
    charted: Database,
) -> None:
    found = mounts_of(charted, SOON)["Cedar"]
    assert (found.serviced_on, found.setups) == (SERVICED, 25 - 12)
    assert mounts_of(charted, SOON)["Alder"].setups == 25


def test_the_setups_of_the_last_year_are_those_of_365_dates(charted: Database) -> None:
    """As the nights of use are counted, and the days lent: today and the 364 dates before it."""
    a_year_on = NIGHTS[3] + timedelta(days=364)
    assert mounts_of(charted, a_year_on)["Alder"].setups_last_year == 25 - 3
    assert mounts_of(charted, a_year_on + timedelta(days=1))["Alder"].setups_last_year == 25 - 4
    assert mounts_of(charted, a_year_on)["Cedar"].setups_last_year == 25 - 3  # before its service too


def test_what_the_axes_do_is_not_told_of_a_mount_without_a_type(charted: Database) -> None:
    assert mounts_of(charted, SOON)["Alder"].own is None


def test_alarms_are_told_on_the_screen_and_to_scripts(
    charted: Database, capsys: pytest.CaptureFixture[str]
) -> None:
    words = f"its landing error exceeded the control limit on 2 nights, most recently on {SECOND_ALARM}"
    program = Program(capsys, {"OBSLOG_DB": charted.where}, datetime.combine(SOON, time(12), UTC))
    assert program.must("review", "Alder").out.splitlines()[:2] == [
        "Alder (mount): watch",
        f"  watch: {words}",
    ]
    one = program.document("review", "Alder")
    assert (one["reasons"], one["setups_last_year"], one["judged"]) == ([words], 25, True)
    nights = [str(FIRST_ALARM), str(SECOND_ALARM)]
    assert one["evidence"] == [
        {"status": "watch", "weight": 2, "words": words, "numbers": {"nights": nights}}
    ]
    assert program.document("review", "Birch")["reasons"] == []
