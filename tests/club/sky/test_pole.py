"""The pole star of each hemisphere, and what a clock that is wrong costs."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from numpy.testing import assert_allclose

from obslog.club.register.observing_site import ObservingSite
from obslog.club.sky.pole import pole_now
from obslog.values import Place

LONDON = ObservingSite("Mill Field", Place(52.2, 0.12, 20.0), ZoneInfo("Europe/London"))
KAROO = ObservingSite("Kestrel Ridge", Place(-32.4, 22.3, 1700.0), ZoneInfo("Africa/Johannesburg"))


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


NOON, MIDNIGHT = utc("2026-06-21T12:00"), utc("2026-12-21T00:00")


def test_the_pole_star_is_the_hemispheres_own() -> None:
    north, south = (pole_now(view, utc("2026-03-02T20:00")) for view in (LONDON, KAROO))
    assert (north.star, south.star) == ("Polaris", "Polaris Australis")
    # Magnitudes of Hipparcos, from memory.
    assert (north.designation, south.designation) == ("α UMi", "σ Oct")
    assert_allclose((north.magnitude, south.magnitude), (2.0, 5.5), atol=0.1)
    assert [error.minutes for error in north.clock_error_arcmin] == [4, 10, 30, 60]
    assert 37 < north.distance_arcmin < 39  # 37.7' in 2026 by the mean place (erfa.pmsafe and pmat06)
    # sigma Octantis has declination -88.956 (J2000, Hipparcos, from memory): about 1.1 degrees from the pole.
    assert 60 < south.distance_arcmin < 72
    assert_allclose(
        north.clock_error_arcmin[-1].arcmin, north.distance_arcmin * 0.2611, rtol=0.01
    )  # 2 sin(7.52 deg)


def test_the_pole_by_day_carries_the_caution() -> None:
    assert (pole_now(LONDON, NOON).caution or "").startswith("The Sun is up")
    assert pole_now(LONDON, MIDNIGHT).caution is None
