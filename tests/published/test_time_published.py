"""Time and sidereal time against printed examples."""

from datetime import UTC, datetime

import numpy as np
import pytest
from numpy.testing import assert_allclose

from obslog.sky.places.kernel import skyfield_time
from obslog.values import Place
from tests.sky.sidereal_time import local_sidereal_hours

GREENWICH = Place(51.4779, 0.0)
# The examples give UT1; the difference from UTC is the one of the time scale, -0.29 s on that day.
APRIL_1987 = np.datetime64("1987-04-10", "us")


def hours(h: int, m: int, s: float) -> float:
    return h + m / 60 + s / 3600


def at_ut1(when: np.datetime64) -> np.datetime64:
    """The UTC instant at which UT1 reads `when`."""
    dut1_seconds = float(skyfield_time(when).dut1[0])
    return when - np.timedelta64(round(dut1_seconds * 1e6), "us")


@pytest.mark.parametrize(
    ("when", "julian_date"),
    # Meeus, Astronomical Algorithms (1998), examples 7.a and 7.c; the definition of J2000, less 12 h.
    [
        (datetime(1957, 10, 4, 19, 26, 24, tzinfo=UTC), 2436116.31),
        (datetime(2000, 1, 1, tzinfo=UTC), 2451544.5),
    ],
)
def test_julian_date(when: datetime, julian_date: float) -> None:
    time = skyfield_time(when)
    # Before 1972 a civil time is one of the turning Earth (UT1); since then UTC, 32 s behind atomic time in 2000.
    civil = time.ut1 if when.year < 1972 else time.tt - (32.184 + 32) / 86400
    assert_allclose(civil, julian_date, rtol=0, atol=1e-6)


def test_sidereal_time_of_meeus() -> None:
    # Meeus ex. 12.a: GMST 13h10m46.3668s, GAST 13h10m46.1351s (IAU 1982; 0.003 s from today's model).
    when = at_ut1(APRIL_1987)
    assert_allclose(skyfield_time(when).gmst[0], hours(13, 10, 46.3668), rtol=0, atol=0.01 / 3600)
    assert_allclose(local_sidereal_hours(when, GREENWICH), hours(13, 10, 46.1351), rtol=0, atol=0.01 / 3600)


def test_sidereal_time_of_erfa() -> None:
    # ERFA's own tests (t_erfa_c.c, gmst06 and gst06a) for UT1 = TT = MJD 53736.0, in radians. That instant of UT1 lies
    # in the leap second before 2006, so 0h UTC is taken, DUT1 later; TT is 65.184 s ahead of UTC, in which precession
    # in right ascension (4612.16" a century, IAU 2006) adds 4.6e-10. The short nutation leaves 0.003".
    when = np.datetime64("2006-01-01", "us")
    time = skyfield_time(when)
    turned = 2 * np.pi * 1.00273781191135448 / 86400 * float(time.dut1[0])
    precessed = np.radians(4612.16 / 3600) * 65.184 / (36525 * 86400)
    mean = time.gmst[0] * np.pi / 12 - turned - precessed
    apparent = local_sidereal_hours(when, Place(0.0, 0.0)) * np.pi / 12 - turned - precessed
    assert_allclose(mean, 1.754174971870091203, rtol=0, atol=1e-12)
    assert_allclose(apparent, 1.754166137675019159, rtol=0, atol=np.radians(0.003 / 3600))


def test_sidereal_time_grows_eastward() -> None:
    east = local_sidereal_hours(APRIL_1987, Place(0, 30)) - local_sidereal_hours(APRIL_1987, Place(0, 0))
    assert_allclose(east % 24, 2.0, rtol=0, atol=1e-9)


def test_the_sky_turns_at_the_sidereal_rate() -> None:
    # 86164.0905 s in a mean sidereal day, 15.0410686" a second (IERS Conventions, from memory).
    # Nutation in the equation of the equinoxes changes by up to 0.1" a day.
    day = APRIL_1987 + np.array([0, 86_164_090_500], "timedelta64[us]")
    turned = np.diff(local_sidereal_hours(day, GREENWICH))[0]
    assert_allclose((turned + 12) % 24 - 12, 0.0, rtol=0, atol=0.2 / 54000)
    hour = APRIL_1987 + np.array([0, 3_600_000_000], "timedelta64[us]")
    rate_arcsec = np.diff(local_sidereal_hours(hour, GREENWICH))[0] * 15
    assert_allclose(rate_arcsec, 15.0410686, rtol=0, atol=1e-5)


def test_nutation_of_meeus() -> None:
    # Meeus ex. 22.a, 1987 April 10 0h TD: -3.788", +9.443", true obliquity 23d26'36.850".
    time = skyfield_time(APRIL_1987 - np.timedelta64(55_184, "ms"))  # TD - UTC was 55.184 s
    d_psi, d_eps = np.degrees(time._nutation_angles_radians) * 3600
    assert_allclose(d_psi, -3.788, rtol=0, atol=0.1)
    assert_allclose(d_eps, 9.443, rtol=0, atol=0.1)
    true_obliquity = np.degrees(time._mean_obliquity_radians) * 3600 + d_eps
    assert_allclose(true_obliquity, (23 * 60 + 26) * 60 + 36.850, rtol=0, atol=0.1)
