"""The sheet of a pointing run: stars all over the sky, under the names of the arrivals sheet."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from obslog.club.forms.blocks import Boxes, Explanation, Form, Table
from obslog.club.forms.run_sheet import COLUMNS, HEAD, LOWEST_ALT_DEG, MOON_DEG, run_sheet, run_stars
from obslog.club.performance.placed_arrivals import NoController
from obslog.club.register import named_records
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.club.sky.where import where_is
from obslog.errors import OutOfRange
from obslog.exchange.arrivals_rows import RULES
from obslog.records.database import Database
from obslog.sky.names.solar_system import Body
from obslog.sky.names.star_tables import all_stars
from obslog.sky.places.ephemeris import body_places
from obslog.values import Place
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.mounts import Controller, MountType, PierSide
from tests.club.forms.star_altitudes import altitude_deg

EVENING = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)


@pytest.fixture
def mill_field(club: Database) -> ObservingSite:
    return observing_site(club, "Mill Field")


def table(form: Form) -> Table:
    (found,) = [block for block in form.blocks if isinstance(block, Table)]
    return found


def test_boxes_and_columns_have_the_names_of_the_arrivals_sheet_in_its_order(
    club: Database, mill_field: ObservingSite
) -> None:
    names = list(RULES)
    columns = [column.title for column in COLUMNS[1:]]
    assert list(HEAD) == [name for name in names if name in HEAD]
    assert columns == [name for name in names if name in columns]
    form = run_sheet(club, "heron", mill_field, EVENING)
    labels = [box.label for block in form.blocks if isinstance(block, Boxes) for box in block.boxes]
    assert labels == list(HEAD)
    assert form.title == "Pointing run: Heron"


@pytest.mark.parametrize("count", [4, 12, 20])
def test_half_stand_on_each_side_of_the_meridian_and_all_high_enough(
    mill_field: ObservingSite, count: int
) -> None:
    run, caution = run_stars(mill_field, EVENING, count, has_sides=True)
    places = {star.name: star for star in all_stars()}
    found = [
        altitude_deg(
            places[star.name].ra_hours,
            places[star.name].dec_deg,
            star.at_utc,
            lat_deg=52.2,
            lon_deg=0.12,
        )
        for star in run
    ]
    assert len({star.name for star in run}) == count
    assert min(alt for alt, _ in found) > LOWEST_ALT_DEG - 0.7  # by hand without air and precession
    assert sum(az < 180 for _, az in found) == count / 2
    for star, (_, az) in zip(run, found, strict=True):
        assert star.pier_side in (PierSide.WEST if az < 180 else PierSide.EAST, None)
    assert caution is None


def test_more_than_six_hours_from_the_meridian_the_side_stays_blank() -> None:
    fjord = ObservingSite("Fjord", Place(69.0, 19.0), ZoneInfo("Europe/Oslo"))
    run, _ = run_stars(fjord, datetime(2026, 12, 21, 17, tzinfo=UTC), 16, has_sides=True)
    hours = [where_is(fjord, star.name, star.at_utc).hour_angle_hours for star in run]
    assert max(abs(one) for one in hours) > 6
    assert [star.pier_side is None for star in run] == [abs(one) > 6 for one in hours]


def test_they_are_spread_in_declination_and_hour_angle(mill_field: ObservingSite) -> None:
    run, _ = run_stars(mill_field, EVENING, 12, has_sides=True)
    places = {star.name: star for star in all_stars()}
    dec = [places[star.name].dec_deg for star in run]
    az = [star.az_deg for star in run]
    assert max(dec) > 45
    assert min(dec) < 15
    assert all(any(begin <= one < begin + 90 for one in az) for begin in (0, 90, 180, 270)), (
        "a quarter is empty"
    )


@pytest.mark.parametrize("day", [1, 4, 8, 12, 16, 20, 24, 28])
def test_none_is_near_the_moon(mill_field: ObservingSite, day: int) -> None:
    run, _ = run_stars(mill_field, EVENING.replace(day=day), 16, has_sides=True)
    for star in run:
        moon = body_places(Body.MOON, star.at_utc, mill_field.place)
        one, other = np.radians([star.az_deg, star.alt_deg]), np.radians([moon.az_deg, moon.alt_deg])
        near = np.sin(one[1]) * np.sin(other[1]) + np.cos(one[1]) * np.cos(other[1]) * np.cos(
            one[0] - other[0]
        )
        assert (
            np.degrees(np.arccos(near)) > MOON_DEG - 1.5
        )  # what the Moon moves while the run goes on, and air


def test_one_sync_first_and_then_checks(mill_field: ObservingSite) -> None:
    run, _ = run_stars(mill_field, EVENING, 6, has_sides=False)
    assert [star.role for star in run] == [Role.SYNC, *[Role.CHECK] * 5]
    assert {star.pier_side for star in run} == {None}


CIVIL_DUSK = datetime(2026, 3, 2, 18, 17, tzinfo=UTC)
"""At Mill Field: the Sun set at 17:41, and goes down by 9 degrees an hour."""


def said(form: Form) -> str:
    return " ".join(block.words for block in form.blocks if isinstance(block, Explanation))


def test_at_dusk_bright_stars_are_taken_on_either_side(mill_field: ObservingSite) -> None:
    places = {star.name: star for star in all_stars()}
    dusk, night = (run_stars(mill_field, at, 12, has_sides=True)[0] for at in (CIVIL_DUSK, EVENING))
    faintest = [max(places[star.name].magnitude for star in run) for run in (dusk, night)]
    assert faintest[0] < 2.4 < 2.8 < faintest[1]
    assert sum(star.az_deg < 180 for star in dusk) == 6
    assert places[dusk[0].name].magnitude < 1.5


def test_stars_too_faint_for_the_twilight_are_told_with_when_all_can_be_found(
    club: Database, mill_field: ObservingSite
) -> None:
    words = said(run_sheet(club, "Heron", mill_field, CIVIL_DUSK))
    told = re.search(
        r"In twilight \d+ stars? may be too faint .* All can be found from (\d\d):(\d\d) on\.", words
    )
    assert told is not None
    shown = CIVIL_DUSK.replace(hour=int(told[1]), minute=int(told[2]))
    sun = body_places(Body.SUN, shown, mill_field.place)
    assert -9.3 < float(sun.airless_alt_deg) < -9.0
    assert "twilight" not in said(run_sheet(club, "Heron", mill_field, EVENING))


def test_where_one_side_has_few_stars_the_other_gives_the_rest(mill_field: ObservingSite) -> None:
    """Trees hide the east below 55 degrees: nine stars of the west, half as many more as stand there, are too few."""
    trees = replace(mill_field, horizon=((0.0, 55.0), (175.0, 55.0), (176.0, 0.0), (359.0, 0.0)))
    run, _ = run_stars(trees, CIVIL_DUSK, 12, has_sides=True)
    assert len(run) == 12
    assert 1 <= sum(star.az_deg < 180 for star in run) <= 2


def test_by_day_the_sun_is_warned_of(club: Database, mill_field: ObservingSite) -> None:
    _, caution = run_stars(mill_field, EVENING.replace(hour=12), 8, has_sides=True)
    assert caution is not None
    assert "Sun" in caution


def test_by_day_it_is_said_from_when_stars_are_seen_and_not_how_that_is_typed(
    club: Database, mill_field: ObservingSite
) -> None:
    """On 2 March at 52 degrees north and on the meridian of Greenwich civil dusk is a quarter past six."""
    words = said(run_sheet(club, "Heron", mill_field, EVENING.replace(hour=13)))
    assert re.search(r"It is too light for stars at 13:00\. The first are seen from 18:[12]\d on\.", words)
    assert "In twilight" not in words
    assert "--at" not in words


def test_what_the_mount_wrote_stays_blank(club: Database, mill_field: ObservingSite) -> None:
    form = run_sheet(club, "Heron", mill_field, EVENING, stars=5)
    titles = [column.title for column in COLUMNS]
    for row in table(form).rows:
        cells = dict(zip(titles, row, strict=True))
        assert [
            cells[name] for name in ("local", "offset_east_arcmin", "offset_north_arcmin", "landing", "note")
        ] == [""] * 5
        assert cells["role"] in list(Role)
    assert len(table(form).rows) == 5


def test_it_needs_a_mount_that_goes_to_stars_and_a_sensible_number(
    club: Database, mill_field: ObservingSite, now: datetime
) -> None:
    named_records.add(
        club, "mount", "Push along", {"mount_type": MountType.ALTAZ, "controller": Controller.NONE}, now
    )
    with pytest.raises(NoController):
        run_sheet(club, "Push along", mill_field, EVENING)
    for stars in (3, 25):
        with pytest.raises(OutOfRange):
            run_sheet(club, "Heron", mill_field, EVENING, stars=stars)
