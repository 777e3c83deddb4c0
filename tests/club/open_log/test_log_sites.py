"""Sites of a log: by name, or made with the place and zone that it tells."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_sites import SITE_NOT_TOLD, Sites, fixed_zone
from obslog.exchange.open_log.records import Log, LogSite
from obslog.records.database import Database
from tests.club.open_log.nights import NOW


@pytest.mark.parametrize("minutes", [-720, -300, 0, 60, 330, 345, 570, 840])
def test_a_zone_is_always_so_far_ahead(minutes: int) -> None:
    zone = fixed_zone(minutes)
    assert zone is not None
    for month in (1, 7):
        offset = datetime(2026, month, 1, tzinfo=ZoneInfo(zone)).utcoffset()
        assert offset is not None
        assert offset.total_seconds() / 60 == minutes


@pytest.mark.parametrize("minutes", [None, -210, 17, -780])
def test_where_no_zone_is_so_none_is_taken(minutes: int | None) -> None:
    assert fixed_zone(minutes) is None


def test_a_site_is_found_by_name_or_made_once(sqlite_club: Database) -> None:
    with sqlite_club.read() as session:
        log = Log(
            sites={
                "a": LogSite(id="a", name="mill  FIELD", lat_deg=48.0, lon_deg=11.0),
                "b": LogSite(id="b", name="Hollow Down", lat_deg=51.25, lon_deg=-1.5, timezone_minutes=0),
            }
        )
        sites = Sites(intake=Intake(session=session, rows=(), now=NOW), log=log, file="log.xml", made=[])
        sites.load()
        assert sites.named("a").name == "Mill Field"
        made = sites.named("b")
        assert made is sites.named("b")
        assert (made.lat_deg, made.zone) == (51.25, "Etc/GMT")
        assert sites.named("nowhere").name == SITE_NOT_TOLD
        assert sites.made == ["site Hollow Down", f"site {SITE_NOT_TOLD}"]
        assert "Mill Field lies elsewhere in the file; its place on record stays." in sites.remarks()
        wall = datetime(2026, 7, 1, 23)  # noqa: DTZ001 - by the clocks of the site
        assert sites.instant(wall, made) == datetime(2026, 7, 1, 23, tzinfo=UTC)
