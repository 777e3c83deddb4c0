"""Where every target truly stood on arrival: star places, mount model and controllers together."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .controllers import correction_columns, corrections
from .evenings import Random
from .mount_model import (
    RADIANS_PER_ARCMIN,
    Flags,
    Floats,
    Head,
    Mechanics,
    arrival_offset_arcmin,
    axis_angles_pointing_at,
    displaced,
    perfect_axis_angles,
    pointing_direction,
    sky_turned_west,
)
from .setups import Setup
from .star_places import airless_directions, refracted
from .visits import Visit


@dataclass(frozen=True, slots=True, eq=False)
class Landings:
    """One entry per visit: true offset with scatter, whether a sync went before, or a model was in force."""

    offset_east_arcmin: Floats
    offset_north_arcmin: Floats
    after_sync: Flags
    after_model: Flags


def landings(setups: Sequence[Setup], visits: Sequence[Visit], rng: Random) -> Landings:
    """Where the targets stood; `visits` in order of set-up and time."""
    setup_of = np.array([visit.setup for visit in visits])

    def each(value: Callable[[Setup], float]) -> Floats:
        return np.asarray(np.array([value(setup) for setup in setups], dtype=np.float64)[setup_of])

    head = Head(
        each(lambda setup: setup.site.lat_deg),
        each(lambda setup: setup.mount.mount_type == "altaz") > 0,
        each(lambda setup: setup.truth.polar_altitude_arcmin),
        each(lambda setup: setup.truth.polar_azimuth_arcmin),
    )
    mechanics = Mechanics(
        each(lambda setup: setup.truth.cone_arcmin),
        each(lambda setup: setup.truth.squareness_arcmin),
        each(lambda setup: setup.truth.sag_arcmin),
    )
    home = np.stack(
        [
            each(lambda setup: setup.truth.home_first_arcmin),
            each(lambda setup: setup.truth.home_second_arcmin),
        ],
        axis=-1,
    )
    tube_west = np.array([visit.tube_west for visit in visits])
    synced = np.array([visit.role == "sync" for visit in visits])
    builds_model = each(lambda setup: setup.mount.controller == "model") > 0
    airless = airless_places(setups, visits)
    seen = refracted(airless)
    believed = np.where((each(lambda setup: setup.mount.refraction) > 0)[:, None], seen, airless)
    believed = sky_turned_west(believed, each(lambda setup: setup.truth.sidereal_error_hours), head.lat_deg)
    commanded = np.stack(perfect_axis_angles(believed, head, tube_west), axis=-1)

    miss = rng.normal(0.0, 1.0, (2, len(visits))) * each(lambda setup: setup.habits.centring_sd_arcmin)
    centred = displaced(seen, miss[0], miss[1], head.lat_deg)
    needed = np.stack(axis_angles_pointing_at(centred, mechanics, head, tube_west), axis=-1) - commanded
    given = corrections(
        needed,
        correction_columns(believed, head, tube_west),
        setup_of,
        synced,
        builds_model,
        home * RADIANS_PER_ARCMIN,
    )
    angles = commanded + given
    centre = pointing_direction(angles[:, 0], angles[:, 1], mechanics, head)
    scatter = rng.normal(0.0, 1.0, (2, len(visits))) * each(lambda setup: setup.truth.scatter_arcmin)
    east, north = arrival_offset_arcmin(seen, centre, head.lat_deg) + scatter
    syncs_before = earlier_syncs(setup_of, synced)
    return Landings(east, north, syncs_before > 0, builds_model & (syncs_before > 1))


def airless_places(setups: Sequence[Setup], visits: Sequence[Visit]) -> Floats:
    """Airless directions (n, 3) of all visits, one call for each site."""
    ra_hours = np.array([visit.ra_hours for visit in visits])
    dec_deg = np.array([visit.dec_deg for visit in visits])
    sites = [setups[visit.setup].site for visit in visits]
    directions = np.empty((len(visits), 3))
    for site in dict.fromkeys(sites):
        rows = [row for row, here in enumerate(sites) if here is site]
        utc = [visits[row].utc for row in rows]
        directions[rows] = airless_directions(site, ra_hours[rows], dec_deg[rows], utc)
    return directions


def earlier_syncs(setup_of: NDArray[np.int64], synced: Flags) -> NDArray[np.int64]:
    """How many syncs of the same set-up went before each visit."""
    before: NDArray[np.int64] = np.cumsum(synced) - synced.astype(np.int64)
    first = np.searchsorted(setup_of, setup_of, side="left")
    return np.asarray(before - before[first])
