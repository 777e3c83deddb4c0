"""How large is what the places neglect: the numbers that docs/sky.md states.

python -m tests.benchmarks sky_accuracy
"""

import erfa
import numpy as np
from astropy.time import Time
from astropy.utils import iers
from skyfield.nutationlib import iau2000a_radians, iau2000b_radians

from obslog.sky.names.stars import find_star
from obslog.sky.places.kernel import Instants, skyfield_time
from obslog.sky.places.refraction import Air, refraction_deg

MAS = np.radians(1 / 3600e3)


def days(first: str, last: str, step: int) -> Instants:
    """Instants every some days."""
    return np.arange(np.datetime64(first), np.datetime64(last), np.timedelta64(step, "D")).astype(
        "datetime64[us]"
    )


def nutation_arcsec() -> float:
    """The largest difference of the short series of the nutation from the long one, 1950 to 2050."""
    time = skyfield_time(days("1950-01-01", "2050-01-01", 7))
    difference = np.array(iau2000b_radians(time)) - np.array(iau2000a_radians(time))
    return float(np.abs(np.degrees(difference) * 3600).max())


def radial_velocity_arcsec(name: str, km_per_s: float, year: float) -> float:
    """How far a star is displaced by its radial velocity since 2000."""
    star = find_star(name)
    ra, dec = np.radians(star.ra_hours * 15), np.radians(star.dec_deg)
    motion = (
        star.pm_ra_mas_per_year * MAS / np.cos(dec),
        star.pm_dec_mas_per_year * MAS,
        star.parallax_mas / 1000,
    )
    still, moving = (
        erfa.pmsafe(ra, dec, *motion, speed, 2451545.0, 0.0, 2451545.0, 365.25 * (year - 2000))
        for speed in (0.0, km_per_s)
    )
    return float(np.degrees(erfa.seps(still[0], still[1], moving[0], moving[1])) * 3600)


def ut1_arcsec(day: str) -> float:
    """The turn of the Earth between the time scale's UT1 and the IERS table of astropy."""
    iers.conf.auto_download, iers.conf.auto_max_age = False, None
    ours = float(skyfield_time(np.datetime64(day)).dut1[0])
    return 15.041 * abs(ours - float(Time(day).delta_ut1_utc))


def refraction_arcsec(alt_deg: float) -> float:
    """Bennett's refraction less that of an integrated dry atmosphere, at 1010 hPa and 10 deg C."""
    tangent_a, tangent_b = erfa.refco(1010.0, 10.0, 0.0, 0.55)
    tangent = np.tan(np.radians(90 - alt_deg))
    integrated = np.degrees(tangent_a * tangent + tangent_b * tangent**3)
    return float(refraction_deg(alt_deg, Air(1010.0)) - integrated) * 3600


def main() -> None:
    print(f"short nutation, 1950 to 2050: {nutation_arcsec():.4f} arcsec")
    for name, speed in (("Barnard's Star", -110.5), ("Rigil Kentaurus", -22.4), ("Sirius", -5.5)):
        print(f"radial velocity of {name} by 2026: {radial_velocity_arcsec(name, speed, 2026):.3f} arcsec")
    for day in ("2024-11-25", "2025-11-25", "2026-11-25"):
        print(f"UT1 on {day}: {ut1_arcsec(day):.2f} arcsec")
    for alt_deg in (15, 20, 30, 45, 60):
        print(f"refraction at {alt_deg} deg less ERFA's: {refraction_arcsec(alt_deg):.1f} arcsec")
