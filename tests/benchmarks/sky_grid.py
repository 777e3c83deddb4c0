"""How fast a whole catalogue is followed through a night, and one target through a year.

Against AltAz of astropy, one plain call of Skyfield, and places computed afresh.

python -m tests.benchmarks sky_grid
"""

from collections.abc import Callable

import numpy as np
from skyfield.api import Star as SkyfieldStar

from obslog.sky.evening.night_grid import night_grid
from obslog.sky.evening.visibility import observable_nights
from obslog.sky.places.apparent_places import Directions, apparent_places, observer_at
from obslog.sky.places.kernel import Instants, timescale
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place
from tests.benchmarks.measuring import Report, in_turn, peak_mb

OBJECTS, STEPS = 14_000, 144
PLACE = Place(54.6, -3.1, 180.0)
START = np.datetime64("2026-11-25T18:00", "us")


def catalogue(objects: int) -> Directions:
    """Directions spread evenly over the sky."""
    rng = np.random.default_rng(20261125)
    return Directions(rng.uniform(0, 24, objects), np.degrees(np.arcsin(rng.uniform(-1, 1, objects))))


def night(steps: int) -> Instants:
    """Instants five minutes apart."""
    return START + np.arange(steps) * np.timedelta64(5, "m")


def grid_of(objects: int, steps: int) -> Callable[[], object]:
    """The work of following a catalogue through a night, block by block."""
    directions, when = catalogue(objects), night(steps)
    return lambda: [None for _ in night_grid(directions, when, PLACE)]


def grid_once(objects: int) -> None:
    """For the memory of a process that does this and nothing else."""
    grid_of(objects, STEPS)()


def grid_error_arcsec(steps: int = STEPS) -> float:
    """The largest difference between the grid and every point computed afresh."""
    directions, when = catalogue(OBJECTS), night(steps)
    alt = np.concatenate([block.airless_alt_deg for block in night_grid(directions, when, PLACE)])
    az = np.concatenate([block.az_deg for block in night_grid(directions, when, PLACE)])
    worst = 0.0
    for k in range(0, steps, 11):
        afresh = apparent_places(directions, when[k], PLACE)
        worst = max(worst, separation_deg(az[:, k], alt[:, k], afresh.az_deg, afresh.airless_alt_deg).max())
    return worst * 3600


def one_time() -> tuple[Callable[[], object], Callable[[], object]]:
    """All objects at one time: ours, and one plain Skyfield call."""
    directions = catalogue(OBJECTS)
    star = SkyfieldStar(ra_hours=directions.ra_hours, dec_degrees=directions.dec_deg)
    when = timescale().utc(2026, 11, 25, 18)
    return (
        lambda: apparent_places(directions, START, PLACE),
        lambda: observer_at(when, PLACE).observe(star).apparent().altaz(),
    )


def astropy_grid() -> Callable[[], object]:
    """The same grid by astropy's AltAz."""
    import astropy.units as u
    from astropy.coordinates import AltAz, EarthLocation, SkyCoord
    from astropy.time import Time
    from astropy.utils import iers

    iers.conf.auto_download = False
    iers.conf.auto_max_age = None
    directions = catalogue(OBJECTS)
    where = EarthLocation.from_geodetic(PLACE.lon_deg, PLACE.lat_deg, PLACE.elevation_m)
    coordinates = SkyCoord(directions.ra_hours * u.hourangle, directions.dec_deg * u.deg)
    times = Time(night(STEPS)[None, :].astype("datetime64[ns]"))
    return lambda: coordinates[:, None].transform_to(AltAz(obstime=times, location=where))


def a_year(star: Directions) -> tuple[Callable[[], object], Callable[[], object]]:
    """A star's nights through a year, and its place at each hour of the year computed afresh."""
    hours = START + np.arange(365 * 24) * np.timedelta64(1, "h")
    return (
        lambda: observable_nights(star, START, PLACE, nights=365),
        lambda: apparent_places(star, hours, PLACE),
    )


def main(report: Report) -> None:
    print(f"largest error of the grid: {grid_error_arcsec():.2f} arcsec")
    ours, theirs = in_turn([grid_of(OBJECTS, STEPS), astropy_grid()], 3)
    what = f"{OBJECTS:,} objects through {STEPS} steps of a night by astropy's AltAz"
    report.add(what, "the same by obslog", theirs / ours, at_least=4, unit=" times")
    mine, plain = in_turn(one_time())
    report.add("all objects at one time", "one plain Skyfield call", mine / plain, at_most=1)
    once, objects, steps = in_turn(
        [grid_of(OBJECTS, STEPS), grid_of(2 * OBJECTS, STEPS), grid_of(OBJECTS, 2 * STEPS)]
    )
    report.add("twice the objects", "the grid", objects / once, at_most=2.4)
    report.add("twice the steps", "the grid", steps / once, at_most=2.4)
    nights, places = in_turn(a_year(Directions(5.0, 20.0)))
    report.add(
        "when a star is up in the dark, 365 nights",
        "its place at each of their hours",
        nights / places,
        at_most=1,
    )
    memory = [peak_mb(__name__, "grid_once", count) for count in (OBJECTS, 2 * OBJECTS)]
    report.add(
        "peak memory of the grid of twice the objects",
        "of the grid, each in its own process",
        memory[1] / memory[0],
        at_most=1.5,
    )
