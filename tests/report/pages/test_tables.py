"""The tables of a page hold what the database holds: read in the browser, and asked of SQLite without the program."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from tests.report.pages.browser import PageBrowser, tables
from tests.report.pages.conftest import PAGES, Written

MOUNT, NIGHT = PAGES["mount"][-1], PAGES["night"][-1]
SETUPS_WITH_LANDINGS = """
    WITH marked AS (
        SELECT night.night_of, site.name_key, setup.ordinal, setup.id AS setup, arrival.at_utc, arrival.role,
            arrival.offset_east_arcmin IS NOT NULL OR arrival.landing IN ('finder', 'lost')
                OR (arrival.landing IS NOT NULL AND arrival.field_arcmin IS NOT NULL) AS tells
        FROM setups setup JOIN equipment mount ON mount.id = setup.mount_id
            JOIN nights night ON night.id = setup.night_id JOIN sites site ON site.id = night.site_id
            JOIN arrivals arrival ON arrival.setup_id = setup.id
        WHERE mount.name = :name),
    synced AS (SELECT setup, MAX(at_utc) AS last_sync FROM marked WHERE role = 'sync' GROUP BY setup)
    SELECT night_of, CAST(ordinal AS TEXT), CAST(COALESCE(SUM(tells AND at_utc > last_sync), 0) AS TEXT)
    FROM marked LEFT JOIN synced USING (setup) GROUP BY setup ORDER BY night_of, name_key, ordinal
"""
SNAGS_BY_STEP = """
    SELECT step, CAST(COUNT(*) AS TEXT), CAST(SUM(fixed_utc IS NULL) AS TEXT)
    FROM snags JOIN equipment mount ON mount.id = equipment_id WHERE mount.name = :name GROUP BY step
"""
WHO = """
    SELECT COALESCE(member.name, 'not on record'), CAST(COUNT(*) AS TEXT), MAX(night.night_of)
    FROM setups setup JOIN equipment mount ON mount.id = setup.mount_id JOIN nights night ON night.id = setup.night_id
        LEFT JOIN members member ON member.id = setup.member_id
    WHERE mount.name = :name GROUP BY member.id
"""
ARRIVALS = """
    SELECT mount.name, CAST(setup.ordinal AS TEXT), REPLACE(arrival.role, 'goto', 'go-to'), arrival.target
    FROM arrivals arrival JOIN setups setup ON setup.id = arrival.setup_id
        JOIN nights night ON night.id = setup.night_id JOIN equipment mount ON mount.id = setup.mount_id
    WHERE night.night_of = :name ORDER BY mount.name_key, setup.ordinal, arrival.at_utc, arrival.id
"""
SKY = """
    SELECT scale, value FROM sky_readings JOIN nights night ON night.id = night_id WHERE night.night_of = :name
"""
SEEN = """
    SELECT target, sighting, COALESCE(description, '') FROM observations JOIN nights night ON night.id = night_id
    WHERE night.night_of = :name ORDER BY at_utc, observations.id
"""


def asked(database: Path, query: str, name: str) -> list[Any]:
    with closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True)) as connection:
        return connection.execute(query, {"name": name}).fetchall()


def table(found: dict[str, list[list[str]]], beginning: str) -> list[list[str]]:
    """The rows under the head of the table whose caption begins so."""
    (caption,) = [caption for caption in found if caption.startswith(beginning)]
    return found[caption][1:]


@pytest.fixture(scope="module")
def of_mount(browser: PageBrowser, written: Written) -> dict[str, list[list[str]]]:
    """The tables of a mount's page by their captions."""
    return browser.see(written("mount"), tables)


@pytest.fixture(scope="module")
def of_night(browser: PageBrowser, written: Written) -> dict[str, list[list[str]]]:
    """The tables of a night's page by their captions."""
    return browser.see(written("night"), tables)


def test_every_set_up_has_its_landings(of_mount: dict[str, list[list[str]]], demo_file: Path) -> None:
    rows = asked(demo_file, SETUPS_WITH_LANDINGS, MOUNT)
    assert len(rows) > 20
    assert [tuple(row[:3]) for row in table(of_mount, "Where half of")] == rows


def test_every_step_has_its_snags(of_mount: dict[str, list[list[str]]], demo_file: Path) -> None:
    rows = asked(demo_file, SNAGS_BY_STEP, MOUNT)
    assert len(rows) > 3
    assert sorted(tuple(row[1:3]) for row in table(of_mount, "Snags of")) == sorted(row[1:] for row in rows)


def test_everybody_has_his_set_ups(of_mount: dict[str, list[list[str]]], demo_file: Path) -> None:
    rows = asked(demo_file, WHO, MOUNT)
    assert len(rows) > 3
    assert sorted(map(tuple, table(of_mount, "Who set"))) == sorted(rows)


def test_every_arrival_is_on_the_chart(of_night: dict[str, list[list[str]]], demo_file: Path) -> None:
    rows = asked(demo_file, ARRIVALS, NIGHT)
    assert len(rows) > 5
    assert [tuple(row[1:5]) for row in table(of_night, "Where in the sky")] == rows


def test_every_reading_of_the_sky_is_told(of_night: dict[str, list[list[str]]], demo_file: Path) -> None:
    told = [(row[0], float(row[1])) for row in table(of_night, "What the sky was like")]
    assert sorted(told) == sorted(asked(demo_file, SKY, NIGHT))


def test_everything_seen_is_told_with_its_words(
    of_night: dict[str, list[list[str]]], demo_file: Path
) -> None:
    told = [(row[1], row[2], row[3]) for row in table(of_night, "What was looked at")]
    assert told == asked(demo_file, SEEN, NIGHT)
