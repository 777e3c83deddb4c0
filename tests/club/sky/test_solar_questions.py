"""What the Sun asks of a record, and where bodies stood: by day and for bodies by the ephemeris, else without it."""

import subprocess
import sys
from datetime import UTC, datetime

import pytest

from obslog.club.sky.solar_questions import body_alt_az_deg, caution_at
from obslog.grammar.target_names import Target, target_named
from obslog.records.tables.logbook_tables import Site
from obslog.sky.names.solar_system import Body
from obslog.values import Place
from obslog.vocabulary.cautions import Danger

NOON, NIGHT = datetime(2026, 3, 2, 12, tzinfo=UTC), datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
PLACED = Site(name="Mill Field", name_key="mill field", lat_deg=52.2, lon_deg=0.12, zone="Europe/London")
UNPLACED = Site(name="Somewhere", name_key="somewhere", zone=None)
# The Sun stands at 22.9 h -7.1 that day; a place 10 degrees west of it, and one across the sky.
BESIDE, ACROSS = Target(name="a", known=True, ra_hours=22.2, dec_deg=-7.0), target_named("Deneb")


@pytest.mark.parametrize(
    ("target", "at_utc", "site", "danger"),
    [
        (target_named("Sun"), NIGHT, UNPLACED, Danger.THE_SUN),
        (target_named("Sun"), NOON, PLACED, Danger.THE_SUN),
        (BESIDE, NOON, PLACED, Danger.NEAR_THE_SUN),
        (ACROSS, NOON, PLACED, Danger.DAYTIME),
        (target_named("no such thing"), NOON, PLACED, Danger.DAYTIME),
        (target_named("no such thing"), NIGHT, PLACED, None),
        (BESIDE, NIGHT, PLACED, None),
        (target_named("Venus"), NIGHT, PLACED, None),
        (ACROSS, NOON, UNPLACED, None),
        (
            ACROSS,
            NOON.replace(hour=17, minute=20),
            PLACED,
            Danger.DAYTIME,
        ),  # the Sun sets at 17:41, seen from the level
        (ACROSS, NOON.replace(hour=18), PLACED, None),
        (ACROSS, NOON.replace(year=2199), PLACED, Danger.DAYTIME),  # the Sun is told without the ephemeris
    ],
)
def test_the_caution_is_that_of_the_direction(
    target: Target, at_utc: datetime, site: Site, danger: Danger | None
) -> None:
    assert caution_at(target, at_utc, site) == danger


def test_a_body_stands_where_the_ephemeris_has_it_and_nowhere_beyond() -> None:
    # At noon of Greenwich the Sun stands south, 90 - 52.2 - 7.1 degrees high; the Moon, full the next day, is down.
    place = Place(52.2, 0.0)
    sun = body_alt_az_deg(Body.SUN, datetime(2026, 3, 2, 12, 12, tzinfo=UTC), place)
    assert sun is not None
    assert sun[0] == pytest.approx(90 - 52.2 - 7.1, abs=0.2)
    assert sun[1] == pytest.approx(180, abs=0.5)
    moon = body_alt_az_deg(Body.MOON, NOON, place)
    assert moon is not None
    assert moon[0] < 0
    assert body_alt_az_deg(Body.MARS, NOON.replace(year=2199), place) is None


def test_a_star_at_night_needs_neither_numpy_nor_the_ephemeris() -> None:
    code = (
        "import sys; from datetime import UTC, datetime; from types import SimpleNamespace as S;"
        "from obslog.club.sky.solar_questions import caution_at;"
        "from obslog.grammar.target_names import target_named;"
        "site = S(lat_deg=52.2, lon_deg=0.12, elevation_m=0.0);"
        "assert caution_at(target_named('Vega'), datetime(2026, 3, 2, 21, 40, tzinfo=UTC), site) is None;"
        "assert not {'numpy', 'skyfield'} & set(sys.modules)"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
