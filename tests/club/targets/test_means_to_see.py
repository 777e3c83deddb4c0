"""The sky and the tube that targets are judged by, as the records have them."""

from datetime import UTC, date, datetime

import pytest
from numpy.testing import assert_allclose

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add, edit
from obslog.club.register.observing_site import observing_site
from obslog.club.targets.means_to_see import (
    USUAL_APERTURE_MM,
    JudgedIn,
    SkyOnRecord,
    judged_in,
    sky_on_record,
)
from obslog.grammar.sky_readings import read_sky
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Tube
from tests.conftest import NOW


def sky_of(database: Database, *nights: tuple[datetime, float]) -> SkyOnRecord | None:
    for at, reading in nights:
        start_night(database, "Mill Field", at, sky=[read_sky(f"sky-meter {reading}")])
    place = observing_site(database, "Mill Field").place
    with database.read() as session:
        return sky_on_record(session, "Mill Field", place)


def night(month: int, day: int, hour: int = 21) -> datetime:
    return datetime(2026, month, day, hour, tzinfo=UTC)


def test_readings_under_the_moon_do_not_count_where_there_are_others(sqlite_club: Database) -> None:
    """Full on 3 March 2026, new on the 19th."""
    found = sky_of(sqlite_club, (night(3, 2), 18.4), (night(3, 17), 21.1), (night(3, 18), 21.3))
    assert found is not None
    assert found.median == pytest.approx(21.2)
    assert (found.readings, found.under_moon) == (2, False)
    assert found.sd == pytest.approx(0.2 / 2**0.5)


def test_where_all_were_taken_under_the_moon_it_is_said(sqlite_club: Database) -> None:
    found = sky_of(sqlite_club, (night(3, 1), 18.2), (night(3, 2), 18.4))
    assert found is not None
    assert found.median == pytest.approx(18.3)
    assert (found.readings, found.under_moon) == (2, True)


def test_a_bright_town_hides_a_thin_moon(sqlite_club: Database) -> None:
    """A crescent two days old, low in the west at dusk, is a thousandth of a sky of 18."""
    found = sky_of(sqlite_club, (night(3, 20, 19), 18.0), (night(3, 2), 17.5))
    assert found is not None
    assert (found.median, found.sd, found.readings) == (18.0, None, 1)


def test_without_a_reading_there_is_no_sky(sqlite_club: Database) -> None:
    assert sky_of(sqlite_club) is None


def test_the_tube_that_is_named_is_taken_with_the_eyepiece(sqlite_club: Database) -> None:
    """1000 mm by 25 mm is 40x."""
    with sqlite_club.read() as session:
        tube, eyepiece = by_name(session, Tube, "Long tube"), by_name(session, Eyepiece, "Wide 25")
        found = judged_in(session, tube, eyepiece)
        assert found == JudgedIn("Long tube", 212.0, "", 40.0)
        assert_allclose(found.views().magnification, [40.0])
        every = judged_in(session, tube, None)
        assert every.magnification is None
        assert every.views().magnification.size > 5


def test_without_one_it_is_the_largest_of_the_club_that_is_in_use(sqlite_club: Database) -> None:
    add(sqlite_club, "tube", "Great tube", {"aperture_mm": 400.0, "focal_mm": 1800.0}, NOW)
    add(sqlite_club, "tube", "Small tube", {"aperture_mm": 80.0, "focal_mm": 400.0}, NOW)
    with sqlite_club.read() as session:
        assert judged_in(session, None, None) == JudgedIn("Great tube", 400.0, "the club's largest", None)
    edit(sqlite_club, "tube", "Great tube", {"retired_on": date(2026, 1, 1)}, NOW)
    with sqlite_club.read() as session:
        assert judged_in(session, None, None) == JudgedIn("Long tube", 212.0, "the club's largest", None)


def test_a_club_without_tubes_is_judged_by_a_usual_one(sqlite_database: Database) -> None:
    with sqlite_database.read() as session:
        found = judged_in(session, None, None)
    assert (found.tube, found.aperture_mm) == (None, USUAL_APERTURE_MM)
    assert found.why == "a usual tube: none is on record"
