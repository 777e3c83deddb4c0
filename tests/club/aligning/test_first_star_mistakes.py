"""Why the first star missed: mistakes made on purpose, with the ERFA library's sidereal time and places."""

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import erfa
import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.club.aligning.club_record import read_club_record
from obslog.club.aligning.first_star_mistakes import (
    ClubRecord,
    FirstMiss,
    WhereItLanded,
    causes_of_miss,
    caution_of_misses,
)
from obslog.club.aligning.star_candidates import BelowTheHorizon
from obslog.club.night.snags import add_snag
from obslog.club.register.observing_site import ObservingSite, observing_site
from obslog.errors import OutOfRange
from obslog.records.database import Database
from obslog.sky.names.lookup import UnknownInSky
from obslog.values import Place
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType
from obslog.vocabulary.steps import Step

SUMMER_EVENING = datetime(2026, 8, 5, 21, 30, tzinfo=UTC)  # 22:30 by the clocks of London
LAT_DEG, LON_DEG = 52.2, 0.12
# ICRS places in degrees (Hipparcos, from memory, two decimals).
STARS = {
    "Vega": (279.23, 38.78),
    "Arcturus": (213.92, 19.18),
    "Altair": (297.70, 8.87),
    "Deneb": (310.36, 45.28),
}


def place_of_date(star: str, when: datetime) -> tuple[float, float]:
    """Right ascension and declination of date, radians, by the IAU 2006 precession."""
    ra, dec = np.radians(STARS[star])
    turned = erfa.pmat06(*julian(when)) @ erfa.s2c(ra, dec)
    ra_of_date, dec_of_date = erfa.c2s(turned)
    return ra_of_date, dec_of_date


def julian(when: datetime) -> tuple[float, float]:
    first, second = erfa.dtf2d("UTC", when.year, when.month, when.day, when.hour, when.minute, when.second)
    return first, second


def landed(
    star: str,
    believed: datetime,
    lon_deg: float = LON_DEG,
    *,
    lat_deg: float = LAT_DEG,
    dec_deg: float = 0.0,
    gone_to: str | None = None,
) -> FirstMiss:
    """Where a controller goes that believes in an instant and a longitude, its declination axis so much off."""
    ra, dec = place_of_date(gone_to or star, SUMMER_EVENING)
    sidereal = erfa.gmst06(*julian(believed), *julian(believed)) + np.radians(lon_deg)
    # With the tube west of the pier (star in the east) the declination axis turns the other way about.
    side = -1 if np.sin(sidereal - ra) < 0 else 1
    azimuth, altitude = erfa.hd2ae(sidereal - ra, dec + side * np.radians(dec_deg), np.radians(lat_deg))
    return FirstMiss(
        star=star, landed_alt_deg=float(np.degrees(altitude)), landed_az_deg=float(np.degrees(azimuth)) % 360
    )


def record_of(club: Database) -> ClubRecord:
    with club.read() as session:
        return read_club_record(session)


@pytest.fixture
def view(club: Database) -> ObservingSite:
    return observing_site(club, "Mill Field")


HOUR = timedelta(hours=1)
CASES: dict[str, dict[str, Any]] = {
    "summer time": {"believed": SUMMER_EVENING + HOUR},
    "time zone": {"believed": SUMMER_EVENING - 5 * HOUR},
    "clock": {"believed": SUMMER_EVENING + timedelta(minutes=27)},
    "morning for evening": {"believed": SUMMER_EVENING + 12 * HOUR},
    "day and month swapped": {"believed": SUMMER_EVENING.replace(month=5, day=8)},
    "another site's longitude": {"believed": SUMMER_EVENING, "lon_deg": 22.3},
    "declination zero": {"believed": SUMMER_EVENING, "dec_deg": 7.0},
    "sent to another star": {"believed": SUMMER_EVENING, "gone_to": "Deneb"},
}


@pytest.mark.parametrize("cause", CASES)
def test_each_mistake_is_the_first_cause_of_what_it_does(
    club: Database, view: ObservingSite, cause: str
) -> None:
    case = dict(CASES[cause])
    stars = ["Vega", "Arcturus", "Altair"]
    first = landed(stars[0], **case)
    later = [landed(star, **{k: v for k, v in case.items() if k != "gone_to"}) for star in stars[1:]]
    causes = causes_of_miss(record_of(club), view, SUMMER_EVENING, [first, *later])
    assert causes[0].cause == cause
    assert causes[0].probability > 0.5
    assert_allclose(sum(found.probability for found in causes), 1)
    assert causes == sorted(causes, key=lambda found: -found.probability)
    assert all(found.what and found.remedy and found.look_at for found in causes)


def test_an_hour_is_summer_time_or_clock_from_one_star_too(club: Database, view: ObservingSite) -> None:
    causes = causes_of_miss(record_of(club), view, SUMMER_EVENING, [landed("Vega", SUMMER_EVENING + HOUR)])
    assert causes[0].cause == "summer time"
    assert "ahead" in causes[0].what
    # The same as a person sees it: the mount went west, so the star stood 15.04 degrees of hour angle east of it.
    east = 15.041 * float(np.cos(np.radians(38.8)))
    seen = causes_of_miss(
        record_of(club), view, SUMMER_EVENING, [FirstMiss(star="vega", east_deg=east, north_deg=0.0)]
    )
    assert seen[0].cause == "summer time"
    assert_allclose(seen[0].probability, causes[0].probability, atol=0.03)


def test_a_longitude_of_the_wrong_sign_is_named_at_a_site_far_from_greenwich(club: Database) -> None:
    view = observing_site(club, "Kestrel Ridge")
    misses = [landed(star, SUMMER_EVENING, -22.3, lat_deg=-32.4) for star in ("Vega", "Altair")]
    causes = causes_of_miss(record_of(club), view, SUMMER_EVENING, misses)
    assert causes[0].cause == "longitude sign"


def test_a_wrong_latitude_is_a_cause_for_a_base_alone(club: Database, view: ObservingSite) -> None:
    misses = [landed(star, SUMMER_EVENING, lat_deg=-32.4) for star in ("Vega", "Altair", "Arcturus")]
    causes = causes_of_miss(record_of(club), view, SUMMER_EVENING, misses, MountType.ALTAZ)
    assert (causes[0].cause, "Kestrel Ridge" in causes[0].what) == ("latitude", True)
    german = causes_of_miss(record_of(club), view, SUMMER_EVENING, misses)
    assert "latitude" not in {found.cause for found in german}


def test_a_small_miss_is_no_mistake(club: Database, view: ObservingSite) -> None:
    assert (
        causes_of_miss(
            record_of(club), view, SUMMER_EVENING, [FirstMiss(star="Vega", east_deg=0.4, north_deg=-0.3)]
        )[0].cause
        == "ordinary"
    )


def test_the_clubs_own_snags_move_the_probabilities(
    club: Database, view: ObservingSite, now: datetime
) -> None:
    miss = [landed("Vega", SUMMER_EVENING + HOUR)]
    before = {c.cause: c.probability for c in causes_of_miss(record_of(club), view, SUMMER_EVENING, miss)}
    for day in range(20):
        at = now + timedelta(days=day)
        add_snag(club, Step.KEY_IN, "the clock was slow", at, mount="Heron", site="Mill Field")
    after = {c.cause: c.probability for c in causes_of_miss(record_of(club), view, SUMMER_EVENING, miss)}
    assert after[Cause.CLOCK] > before[Cause.CLOCK]


def test_what_cannot_be_judged_is_refused(club: Database, view: ObservingSite) -> None:
    for miss in (
        FirstMiss(star="Vega"),
        FirstMiss(star="Vega", east_deg=1.0),
        FirstMiss(star="Vega", landed_alt_deg=1.0),
    ):
        with pytest.raises(WhereItLanded):
            causes_of_miss(record_of(club), view, SUMMER_EVENING, [miss])
    for miss in (
        FirstMiss(star="Vega", east_deg=float("nan"), north_deg=0.0),
        FirstMiss(star="Vega", east_deg=0.0, north_deg=181.0),
        FirstMiss(star="Vega", landed_alt_deg=91.0, landed_az_deg=0.0),
        FirstMiss(star="Vega", landed_alt_deg=1.0, landed_az_deg=400.0),
    ):
        with pytest.raises(OutOfRange):
            causes_of_miss(record_of(club), view, SUMMER_EVENING, [miss])
    for name in ("", "Vegga"):
        with pytest.raises(UnknownInSky):
            causes_of_miss(
                record_of(club), view, SUMMER_EVENING, [FirstMiss(star=name, east_deg=1.0, north_deg=1.0)]
            )
    with pytest.raises(BelowTheHorizon, match="Sirius stood"):
        causes_of_miss(
            record_of(club), view, SUMMER_EVENING, [FirstMiss(star="Sirius", east_deg=1.0, north_deg=1.0)]
        )


def test_by_day_a_star_gone_to_again_carries_the_caution(view: ObservingSite) -> None:
    noon = datetime(2026, 8, 5, 12, tzinfo=UTC)
    assert (
        caution_of_misses(view, noon, [FirstMiss(star="Vega", east_deg=1, north_deg=1)]) or ""
    ).startswith("The Sun is up")
    assert caution_of_misses(view, SUMMER_EVENING, [FirstMiss(star="Vega", east_deg=1, north_deg=1)]) is None


SPRING_EVENING = datetime(2026, 3, 2, 21, tzinfo=UTC)
NOWHERE_ELSE = ClubRecord(())
MILL_FIELD = ObservingSite("Mill Field", Place(LAT_DEG, LON_DEG), ZoneInfo("Europe/London"))
# ICRS places in degrees (Hipparcos, from memory, two decimals); 4.5 degrees apart
TWINS = {"Castor": (113.65, 31.89), "Pollux": (116.33, 28.03)}


@pytest.mark.parametrize(("right", "taken"), [("Castor", "Pollux"), ("Pollux", "Castor")])
def test_two_stars_side_by_side_are_named_before_an_axis_that_is_off_by_as_much(
    right: str, taken: str
) -> None:
    """The other of the twins stands in the middle of the field, a little off as first stars are."""
    (ra, dec), (other_ra, other_dec) = TWINS[right], TWINS[taken]
    east, north = (other_ra - ra) * np.cos(np.radians(other_dec)), other_dec - dec
    for slip_east, slip_north in ((0.0, 0.0), (0.5, -0.3), (-0.7, 0.5)):
        miss = FirstMiss(star=right, east_deg=east + slip_east, north_deg=north + slip_north)
        seen, *_ = causes_of_miss(NOWHERE_ELSE, MILL_FIELD, SPRING_EVENING, [miss])
        assert seen.cause is Cause.WRONG_STAR
        assert seen.what.endswith(taken)
        assert seen.probability > 0.7
        keyed = FirstMiss(star=right, east_deg=slip_east - east, north_deg=slip_north - north)
        chance = {
            one.cause: one.probability
            for one in causes_of_miss(NOWHERE_ELSE, MILL_FIELD, SPRING_EVENING, [keyed])
        }
        # the field is as far off as an axis or a declination zero may be, and which star was keyed in nobody sees
        assert chance[Cause.SENT_TO_ANOTHER_STAR] > 0.25
        assert chance[Cause.SENT_TO_ANOTHER_STAR] > chance[Cause.POLAR_AXIS]


def test_an_axis_that_is_off_is_named_where_other_stars_say_so_too() -> None:
    """The head turned by 5 degrees to the east: every landing is that much further in azimuth, by ERFA."""
    misses = []
    for star, (ra, dec) in {
        "Castor": TWINS["Castor"],
        "Regulus": (152.09, 11.97),
        "Capella": (79.17, 46.0),
    }.items():
        first, second = julian(SPRING_EVENING)
        hour_angle = np.radians(np.degrees(erfa.gmst06(first, second, first, second)) + LON_DEG - ra)
        azimuth, altitude = np.degrees(erfa.hd2ae(hour_angle, np.radians(dec), np.radians(LAT_DEG)))
        misses.append(FirstMiss(star=star, landed_alt_deg=altitude, landed_az_deg=(azimuth + 5.0) % 360.0))
    assert causes_of_miss(NOWHERE_ELSE, MILL_FIELD, SPRING_EVENING, misses)[0].cause is Cause.POLAR_AXIS


def test_a_lone_first_star_off_by_three_degrees_is_seldom_laid_to_a_star() -> None:
    """In eight directions about Regulus, where no bright star stands within three degrees."""
    named = []
    for angle in np.radians(np.arange(0, 360, 45)):
        miss = FirstMiss(star="Regulus", east_deg=3.0 * np.cos(angle), north_deg=3.0 * np.sin(angle))
        named.append(causes_of_miss(NOWHERE_ELSE, MILL_FIELD, SPRING_EVENING, [miss])[0].cause)
    assert sum(cause in (Cause.WRONG_STAR, Cause.SENT_TO_ANOTHER_STAR) for cause in named) <= 1
