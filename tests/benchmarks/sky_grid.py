"""How fast a whole catalogue is followed through a night, as ratios within one run.

    python tests/benchmarks/sky_grid.py

Compares with AltAz of astropy where that is installed, and with one plain call of Skyfield.
"""

import subprocess
import sys
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
from skyfield.api import Star as SkyfieldStar

from obslog.sky.evening.night_grid import night_grid
from obslog.sky.places.apparent_places import Directions, apparent_places, observer_at
from obslog.sky.places.kernel import Instants, timescale
from obslog.sky.places.sphere import separation_deg
from obslog.values import Place

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


def seconds(work: Callable[[], object], repeats: int = 3) -> float:
    """The shortest of some runs."""
    times = []
    for _ in range(repeats):
        begin = time.perf_counter()
        work()
        times.append(time.perf_counter() - begin)
    return min(times)


def grid_seconds(objects: int, steps: int) -> float:
    """Time for one night of a catalogue."""
    directions, when = catalogue(objects), night(steps)
    return seconds(lambda: [None for _ in night_grid(directions, when, PLACE)])


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


def grid_memory_mb(objects: int) -> float:
    """The peak of memory while blocks are used one by one."""
    tracemalloc.start()
    for _ in night_grid(catalogue(objects), night(STEPS), PLACE):
        pass
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 1e6


def skyfield_seconds() -> tuple[float, float]:
    """All objects at one time: ours, and one plain Skyfield call."""
    directions = catalogue(OBJECTS)
    star = SkyfieldStar(ra_hours=directions.ra_hours, dec_degrees=directions.dec_deg)
    ours = seconds(lambda: apparent_places(directions, START, PLACE))
    plain = seconds(
        lambda: observer_at(timescale().utc(2026, 11, 25, 18), PLACE).observe(star).apparent().altaz()
    )
    return ours, plain


def astropy_seconds() -> float | None:
    """The same grid by astropy's AltAz, or None where astropy is not installed."""
    try:
        import astropy.units as u
        from astropy.coordinates import AltAz, EarthLocation, SkyCoord
        from astropy.time import Time
        from astropy.utils import iers
    except ImportError:
        return None
    iers.conf.auto_download = False
    iers.conf.auto_max_age = None
    directions = catalogue(OBJECTS)
    where = EarthLocation.from_geodetic(PLACE.lon_deg, PLACE.lat_deg, PLACE.elevation_m)
    coordinates = SkyCoord(directions.ra_hours * u.hourangle, directions.dec_deg * u.deg)
    frame = AltAz(obstime=Time(night(STEPS)[None, :].astype("datetime64[ns]")), location=where)
    return seconds(lambda: coordinates[:, None].transform_to(frame), repeats=1)


def process_ratio() -> float:
    """A whole process that finds one star's place, over one that only imports the libraries."""
    code = (
        "from datetime import UTC, datetime\n"
        "from obslog.sky.names.stars import find_star\n"
        "from obslog.sky.places.apparent_places import apparent_places, directions_of\n"
        "from obslog.values import Place\n"
        "apparent_places(directions_of(find_star('Vega')), datetime(2026, 11, 25, tzinfo=UTC), Place(52, 0))"
    )
    python = sys.executable
    ours = seconds(lambda: subprocess.run([python, "-c", code], check=True), 5)
    bare = seconds(
        lambda: subprocess.run([python, "-c", "import skyfield.api, sqlalchemy.orm"], check=True), 5
    )
    return ours / bare


def main() -> None:
    grid = grid_seconds(OBJECTS, STEPS)
    print(f"{OBJECTS} objects x {STEPS} steps: {grid:.2f} s, largest error {grid_error_arcsec():.2f} arcsec")
    reference = astropy_seconds()
    print(
        "astropy is not installed" if reference is None else f"astropy AltAz / grid: {reference / grid:.1f}"
    )
    ours, plain = skyfield_seconds()
    print(f"all objects at one time / one plain Skyfield call: {ours / plain:.2f}")
    print(f"twice the objects: {grid_seconds(2 * OBJECTS, STEPS) / grid:.2f} times the time")
    print(f"twice the steps: {grid_seconds(OBJECTS, 2 * STEPS) / grid:.2f} times the time")
    once, twice = grid_memory_mb(OBJECTS), grid_memory_mb(2 * OBJECTS)
    print(f"peak memory: {once:.0f} MB; twice the objects: {twice:.0f} MB")
    print(f"one star's place as a process / bare imports: {process_ratio():.2f}")


if __name__ == "__main__":
    main()
