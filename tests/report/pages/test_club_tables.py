"""The tables about the store-room, the club and a member hold what the database holds, asked without the program."""

from pathlib import Path

import pytest

from tests.report.pages.browser import PageBrowser, tables
from tests.report.pages.conftest import NOON_AFTER, PAGES, Written
from tests.report.pages.test_tables import asked, table

Tables = dict[str, list[list[str]]]
MEMBER = PAGES["member"][-1]
LANDED = """
    WITH marked AS (
        SELECT setup.id AS setup, setup.mount_id, night.night_of, arrival.at_utc, arrival.role,
            arrival.offset_east_arcmin IS NOT NULL OR arrival.landing IN ('finder', 'lost')
                OR (arrival.landing IS NOT NULL AND arrival.field_arcmin IS NOT NULL) AS tells
        FROM setups setup JOIN nights night ON night.id = setup.night_id
            JOIN arrivals arrival ON arrival.setup_id = setup.id),
    synced AS (SELECT setup, MAX(at_utc) AS last_sync FROM marked WHERE role = 'sync' GROUP BY setup),
    landed AS (SELECT DISTINCT setup, mount_id, night_of FROM marked JOIN synced USING (setup)
        WHERE tells AND at_utc > last_sync)
"""
LEVELS = (
    LANDED
    + """,
    counted AS (SELECT mount.name AS mount, own.tube_id, tube.name AS tube, member.name AS member,
            (SELECT MIN(done_on) FROM services
                WHERE equipment_id = landed.mount_id AND mechanical AND done_on > night_of) AS until
        FROM landed JOIN setups own ON own.id = landed.setup JOIN equipment mount ON mount.id = landed.mount_id
            LEFT JOIN equipment tube ON tube.id = own.tube_id LEFT JOIN members member ON member.id = own.member_id),
    levels AS (SELECT until, member, mount || CASE WHEN
                (SELECT COUNT(DISTINCT other.tube_id) FROM counted other
                    WHERE other.mount = counted.mount AND other.until IS counted.until) > 1
            THEN ' with ' || tube ELSE '' END || COALESCE(' until ' || until, '') AS name FROM counted)
"""
)
"""The set-ups that tell where go-tos land: each with its mount until it was mended, and its tube if it had several."""
OF_MOUNTS = LEVELS + "SELECT name, CAST(COUNT(*) AS TEXT) FROM levels WHERE until IS NULL GROUP BY name"
OF_YEARS = (
    LANDED
    + """
    SELECT years.year, years.nights, years.setups,
        (SELECT COUNT(*) FROM landed WHERE SUBSTR(night_of, 1, 4) = years.year)
    FROM (SELECT SUBSTR(night_of, 1, 4) AS year, COUNT(DISTINCT night.id) AS nights, COUNT(setup.id) AS setups
        FROM nights night LEFT JOIN setups setup ON setup.night_id = night.id GROUP BY 1) AS years ORDER BY 1
"""
)
OF_MONTHS = """
    SELECT SUBSTR(night_of, 1, 7), COUNT(*) FROM nights WHERE night_of BETWEEN :name AND '2026-10-31' GROUP BY 1
"""
LOANS = """
    SELECT COALESCE(kit.name, item.name), out_on FROM loans LEFT JOIN kits kit ON kit.id = kit_id
        LEFT JOIN equipment item ON item.id = loans.equipment_id WHERE back_on IS NULL ORDER BY due_on
"""
WAITING = """
    SELECT COALESCE(kit.name, item.name), SUBSTR(asked_utc, 1, 10) FROM reservations
        LEFT JOIN kits kit ON kit.id = kit_id
        LEFT JOIN equipment item ON item.id = reservations.equipment_id WHERE closed_on IS NULL
"""
VALUES = """
    SELECT CAST(COUNT(*) AS TEXT), CAST(COUNT(value) AS TEXT), CAST(COUNT(*) - COUNT(value) AS TEXT), SUM(value)
    FROM equipment LEFT JOIN papers ON papers.equipment_id = equipment.id
    WHERE retired_on IS NULL AND written_off_on IS NULL
"""
OWN_MONTHS = """
    WITH own AS (SELECT id FROM members WHERE name = :name),
    there AS (SELECT night_id FROM attendances JOIN own ON own.id = member_id
        UNION SELECT night_id FROM setups JOIN own ON own.id = member_id
        UNION SELECT night_id FROM observations JOIN own ON own.id = member_id)
    SELECT SUBSTR(night_of, 1, 7), COUNT(*) FROM nights JOIN there ON there.night_id = nights.id GROUP BY 1
"""
OWN_MOUNTS = (
    LEVELS
    + """
    SELECT name, SUM(member IS :name), SUM(member IS NOT :name) FROM levels
    GROUP BY name HAVING SUM(member IS :name) > 0
"""
)
OWN_SNAGS = """
    SELECT CAST(COUNT(DISTINCT snag.setup_id) AS TEXT) FROM snags snag JOIN setups setup ON setup.id = snag.setup_id
        JOIN members member ON member.id = setup.member_id WHERE member.name = :name GROUP BY snag.step
"""


@pytest.fixture(scope="module")
def of_store(browser: PageBrowser, written: Written) -> Tables:
    return browser.see(written("store"), tables)


@pytest.fixture(scope="module")
def of_club(browser: PageBrowser, written: Written) -> Tables:
    return browser.see(written("club"), tables)


@pytest.fixture(scope="module")
def of_member(browser: PageBrowser, written: Written) -> Tables:
    return browser.see(written("member"), tables)


def test_every_mount_has_its_set_ups_since_it_was_mended(of_store: Tables, demo_file: Path) -> None:
    rows = asked(demo_file, OF_MOUNTS, "")
    assert len(rows) > 5
    told = [(row[0], row[1]) for row in table(of_store, "Where half of each")]
    assert sorted(told) == sorted(rows)


def test_every_open_loan_and_everybody_who_waits_is_there(of_store: Tables, demo_file: Path) -> None:
    loans, waiting = asked(demo_file, LOANS, ""), asked(demo_file, WAITING, "")
    assert loans
    assert [(row[0], row[2]) for row in table(of_store, f"{len(loans)} open loan")] == loans
    assert waiting
    assert sorted((row[0], row[3]) for row in table(of_store, f"{len(waiting)} place")) == sorted(waiting)


def test_values_add_up_to_those_on_record(of_store: Tables, demo_file: Path) -> None:
    ((items, known, unknown, total),) = asked(demo_file, VALUES, "")
    *places, together = table(of_store, "Values by place")
    assert together[1:] == [items, f"{total:,.2f}", known, unknown]
    for column, whole in ((1, items), (3, known), (4, unknown)):
        assert sum(int(row[column]) for row in places) == int(whole)


def test_every_year_has_its_nights_and_landings(of_club: Tables, demo_file: Path) -> None:
    rows = asked(demo_file, OF_YEARS, "")
    told = [
        (row[0].removesuffix(" so far"), *map(int, row[1:4]))
        for row in table(of_club, "Where half of the club")
    ]
    assert told == rows
    assert told[-1][0] == str(NOON_AFTER.year)


def test_every_month_has_its_nights(of_club: Tables, demo_file: Path) -> None:
    rows = dict(asked(demo_file, OF_MONTHS, "2024-11-01"))
    told = {month: int(nights) for month, nights in table(of_club, "Nights by month")}
    assert len(told) == 24
    assert {month: nights for month, nights in told.items() if nights} == rows


def test_a_members_months_mounts_and_snags_are_their_own(of_member: Tables, demo_file: Path) -> None:
    told = {month: int(nights) for month, nights in table(of_member, "Your nights") if int(nights)}
    assert told == dict(asked(demo_file, OWN_MONTHS, MEMBER))
    mounts = [(row[0], int(row[1]), int(row[5])) for row in table(of_member, "Where half of the go-tos")]
    assert sorted(mounts) == sorted(asked(demo_file, OWN_MOUNTS, MEMBER))
    snags = sorted((row[1],) for row in table(of_member, "Snags in your"))
    assert snags == sorted(asked(demo_file, OWN_SNAGS, MEMBER))
