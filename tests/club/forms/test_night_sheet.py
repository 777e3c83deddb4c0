"""The sheet of a night: blank where nothing is known, the brief's stars where all is."""

import re
from datetime import UTC, date, datetime

import numpy as np
import pytest

from obslog.club.forms.blocks import Box, Boxes, Explanation, Form, Heading, Table
from obslog.club.forms.night_sheet import STAR_COLUMNS, PlannedNight, night_sheet, when_meant
from obslog.club.paper.questions import OF_NIGHT, OF_SETUP
from obslog.club.register import named_records
from obslog.club.register.observing_site import observing_site
from obslog.errors import UnknownName
from obslog.grammar.typed_times import OutsideNight
from obslog.records.database import Database
from obslog.sky.names.star_tables import all_stars
from tests.club.forms.star_altitudes import altitude_deg

TONIGHT = date(2026, 3, 2)


def boxes(form: Form) -> list[Box]:
    return [box for block in form.blocks if isinstance(block, Boxes) for box in block.boxes]


def star_rows(form: Form) -> list[tuple[str, ...]]:
    tables = [block for block in form.blocks if isinstance(block, Table) and block.columns == STAR_COLUMNS]
    return [row for table in tables for row in table.rows]


def test_a_sheet_of_no_night_in_particular_is_blank(club: Database, now: datetime) -> None:
    form = night_sheet(club, PlannedNight(), now)
    assert [box.filled for box in boxes(form)] == [None] * len(boxes(form))
    assert star_rows(form) == []
    assert form.about == ""


def test_it_asks_what_typing_up_asks(club: Database, now: datetime) -> None:
    labels = [box.label for box in boxes(night_sheet(club, PlannedNight(setups=2), now))]
    of_night = [asked.label for asked in OF_NIGHT if asked.name != "sky"]  # which has boxes of its own
    of_setup = [asked.label for asked in OF_SETUP]
    assert labels == of_night + of_setup + of_setup


def test_a_second_set_up_says_what_is_typed_before_it(club: Database, now: datetime) -> None:
    form = night_sheet(club, PlannedNight(setups=2), now)
    begun = [block for block in form.blocks if isinstance(block, Heading) and block.new_page]
    assert [block.words for block in begun] == ["Set-up 1", 'Set-up 2; type "setup" first']


def test_a_sheet_of_a_southern_site_asks_for_no_star_that_does_not_rise_there(
    club: Database, now: datetime
) -> None:
    south = {"lat_deg": -43.98, "lon_deg": 170.46, "zone": "Pacific/Auckland"}
    named_records.add(club, "site", "Kahu Ridge", south, now)
    for site, said in (("Kahu Ridge", True), ("Mill Field", False)):
        form = night_sheet(club, PlannedNight(site=site), now)
        words = " ".join(block.words for block in form.blocks if isinstance(block, Explanation))
        assert ("the Little Dipper does not rise here" in words) is said


@pytest.mark.parametrize("at", ["20:00", "23:30"])
def test_the_moon_is_told_with_the_hour_of_which_its_height_is(
    club: Database, now: datetime, at: str
) -> None:
    form = night_sheet(club, PlannedNight(site="Mill Field", mounts=("Heron",), on=TONIGHT, at=at), now)
    (tonight,) = [
        b.words for b in form.blocks if isinstance(b, Explanation) and b.words.startswith("Tonight")
    ]
    assert re.search(rf"Moon: .* lit, \d+° up at {at}(, (rises|sets) \d\d:\d\d)*\.$", tonight)


def test_names_are_those_on_record_and_each_mount_has_a_set_up(club: Database, now: datetime) -> None:
    form = night_sheet(club, PlannedNight(site="mill", mounts=("heron", "bracken"), setups=1), now)
    filled = [(box.label, box.filled) for box in boxes(form) if box.filled]
    assert filled == [("Site", "Mill Field"), ("Mount", "Heron"), ("Mount", "Bracken")]
    with pytest.raises(UnknownName):
        night_sheet(club, PlannedNight(mounts=("Nobody's",)), now)


@pytest.mark.parametrize(
    ("on", "at", "meant"),
    [
        # By the clocks of London, which keep universal time in March; a night runs from noon to noon.
        (TONIGHT, None, datetime(2026, 3, 2, 21, 0, tzinfo=UTC)),
        (TONIGHT, "19:30", datetime(2026, 3, 2, 19, 30, tzinfo=UTC)),
        (TONIGHT, "00:30", datetime(2026, 3, 3, 0, 30, tzinfo=UTC)),
        (TONIGHT, "2026-03-03 00:30", datetime(2026, 3, 3, 0, 30, tzinfo=UTC)),
        (date(2026, 2, 1), "00:30", datetime(2026, 2, 2, 0, 30, tzinfo=UTC)),
        (None, "23:30", datetime(2026, 3, 2, 23, 30, tzinfo=UTC)),
    ],
)
def test_a_time_is_one_of_the_night_that_is_named(
    club: Database, now: datetime, on: date | None, at: str | None, meant: datetime
) -> None:
    assert when_meant(observing_site(club, "Mill Field"), on, at, now) == meant


def test_an_instant_of_another_night_is_refused(club: Database, now: datetime) -> None:
    with pytest.raises(OutsideNight):
        when_meant(observing_site(club, "Mill Field"), TONIGHT, "2026-03-05 21:00", now)


@pytest.mark.parametrize(("at", "utc_hours"), [(None, 21.0), ("19:30", 19.5)])
def test_the_stars_to_sync_on_stand_where_spherical_trigonometry_has_them(
    club: Database, now: datetime, at: str | None, utc_hours: float
) -> None:
    # On 2 March the clocks of London show universal time. One degree is allowed for precession since 2000 and for air.
    form = night_sheet(club, PlannedNight(site="Mill Field", mounts=("Heron",), on=TONIGHT, at=at), now)
    places = {star.name: star for star in all_stars()}
    rows = star_rows(form)
    assert len(rows) == 3
    for order, name, _, when, altitude, direction, tube in rows:
        star = places[name]
        instant = datetime(2026, 3, 2, int(utc_hours), round(utc_hours % 1 * 60), tzinfo=UTC)
        alt, az = altitude_deg(star.ra_hours, star.dec_deg, instant, lat_deg=52.2, lon_deg=0.12)
        assert when == f"{instant:%H:%M}", order
        assert float(altitude.removesuffix("°")) == pytest.approx(alt, abs=1.0)
        told = float(direction.split(", ")[1].removesuffix("°"))
        assert abs((told - az + 180) % 360 - 180) * np.cos(np.radians(alt)) < 1.0
        # A German mount's tube is opposite the star, within 6 h of the meridian: cos H = (sin a - sin b sin d) / ...
        seen = np.sin(np.radians(alt)) > np.sin(np.radians(52.2)) * np.sin(np.radians(star.dec_deg))
        assert tube == (("west" if az < 180 else "east") if seen else "")


def test_the_same_night_gives_the_same_sheet_whenever_it_is_made(club: Database, now: datetime) -> None:
    wanted = PlannedNight(site="Mill Field", mounts=("Heron",), on=TONIGHT)
    assert night_sheet(club, wanted, now) == night_sheet(club, wanted, now.replace(day=5, hour=8))


def test_where_it_is_too_light_for_stars_that_is_said_instead(club: Database, now: datetime) -> None:
    made = night_sheet(club, PlannedNight(site="Mill Field", mounts=("Heron",), at="2026-06-21T09:00Z"), now)
    told = [block.words for block in made.blocks if isinstance(block, Explanation)]
    assert not [text for text in told if text.startswith("Planned")]
    assert [text for text in told if text.startswith("It is too light for stars at 10:00.")]
