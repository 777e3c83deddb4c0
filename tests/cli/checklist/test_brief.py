"""`brief` for a real sky and real records: what stands on the screen is what they say.

A brief takes a while to make, so each is made once and shown in both layouts at every width.
"""

import re
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from obslog.cli.checklist.brief import Briefing, brief, show_brief
from obslog.cli.site_and_time import PlannedThere
from obslog.club.register.observing_site import observing_site
from obslog.club.sky.where import where_is
from obslog.records.database import Database
from obslog.records.engine import make_engine
from tests.cli.screens import Shown, screens, shown_by
from tests.cli.states import state_at

RIDGE, ZONE = "Kestrel Ridge", ZoneInfo("Africa/Johannesburg")
FULL = (False, True)
LISTED = r"\d\. ([\w ]+): (\d+)° up, azimuth (\d+)°"
JOINED = r"(?:: |; )([A-Z][\w ]+) (\d+)°(?: up, azimuth|,) (\d+)°"
NOW = datetime(2026, 3, 2, 20, 10, tzinfo=UTC)


@pytest.fixture(scope="module")
def records(outside_template: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Database]:
    """The club with a set-up of Heron at Mill Field; a copy, for what is computed is kept in it."""
    path = str(shutil.copy(outside_template, tmp_path_factory.mktemp("brief") / "club.db"))
    database = Database(make_engine(path), path)
    yield database
    database.close()


@cache
def made(records: Database, at: str | None, member: str | None, *mounts: str) -> Briefing:
    return brief(records, state_at(NOW), PlannedThere(site=RIDGE, at=at), [*mounts] or None, member)


def brief_shown(briefing: Briefing, full: bool) -> Iterator[Shown]:
    return shown_by(lambda screen: show_brief(screen, briefing, full))


@pytest.mark.parametrize("full", FULL)
@pytest.mark.parametrize("at", ["2026-03-02T19:00:00Z", "2026-03-02T15:00:00Z", "2026-03-03T02:30:00Z"])
def test_the_moon_and_the_stars_are_where_the_sky_has_them(records: Database, at: str, full: bool) -> None:
    """Places in the sky are held against published ones in tests/published and tests/sky."""
    view, briefing = observing_site(records, RIDGE), made(records, at, None, "Heron")
    instant, sync = datetime.fromisoformat(at), briefing.made.sync_utc
    assert sync >= instant
    moon = where_is(view, "Moon", instant)
    for shown in brief_shown(briefing, full):
        told = re.search(r"% lit, (below the horizon|(\d+)° up)", shown.words)
        assert told
        assert (told[1] == "below the horizon") == (moon.alt_deg <= 0)
        assert told[2] is None or int(told[2]) == pytest.approx(moon.alt_deg, abs=0.51)
        assert f"night of 2026-03-02, {instant.astimezone(ZONE):%H:%M}" in shown.words
        assert (
            f"Sync at {(sync + timedelta(seconds=30)).astimezone(ZONE):%H:%M}" in shown.words
        )  # to the minute
        stars = re.findall(LISTED if full else JOINED, shown.words)
        assert len(stars) == 3
        for name, alt, az in stars:
            there = where_is(view, name, sync)
            assert (float(alt), float(az)) == pytest.approx((there.alt_deg, there.az_deg), abs=0.6), name


@pytest.mark.parametrize("full", FULL)
def test_all_mounts_are_told_unless_one_is_named(records: Database, full: bool) -> None:
    at = "2026-03-02T19:00:00Z"
    for shown in brief_shown(made(records, at, None), full):
        assert all(name in shown.words for name in ("Bracken", "Heron", "Thistle"))
        assert "Ines" not in shown.words
    for shown in brief_shown(made(records, at, None, "Heron"), full):
        assert "Heron" in shown.words
        assert not any(name in shown.words for name in ("Bracken", "Thistle"))


@pytest.mark.parametrize("full", FULL)
def test_where_half_of_the_go_tos_land_is_what_scripts_read(records: Database, full: bool) -> None:
    """The radii and the eyepiece are held against their truth in tests/club/checklist/test_briefing.py."""
    briefing = made(records, "2026-03-02T19:00:00Z", None, "Heron")
    (mount,) = briefing.made.mounts
    landing, eyepiece = mount.expected_landing_arcmin, mount.eyepiece
    assert landing
    assert eyepiece
    land = r"half of the go-tos land within (\d+)', 95 % within (\d+)'; "
    for shown in brief_shown(briefing, full):
        told = re.search(land + r"use (.+?) \(field (\d+)', (\d+) % land in it\)", shown.words)
        assert told
        assert told[3] == eyepiece.eyepiece
        numbers = [landing.half, landing.ninety_five_percent, eyepiece.field_arcmin, 100 * eyepiece.chance]
        assert [float(told[n]) for n in (1, 2, 4, 5)] == pytest.approx(numbers, abs=0.51)


def test_typed_without_a_time_it_is_for_now_and_for_whom_it_names(
    outside_template: Path, tmp_path: Path
) -> None:
    words = ("brief", "--site", "kestrel ridge", "--mount", "thistle", "--member", "ines")
    environment = {"OBSLOG_DB": str(shutil.copy(outside_template, tmp_path / "club.db"))}
    for extra in ((), ("--full",)):
        (shown,) = screens(environment, NOW, *words, *extra, widths=[80])
        assert "Kestrel Ridge, night of 2026-03-02, 22:10, Ines" in shown.words
        assert "Thistle" in shown.words
        assert "Polaris" not in shown.words, "an altaz mount needs no pole"
        assert ("in this order:" in shown.words) == bool(extra)
