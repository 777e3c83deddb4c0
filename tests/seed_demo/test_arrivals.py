"""That the sheet follows from the truth of its set-ups: recomputed from its names, times and sides alone."""

import ast
from datetime import datetime
from pathlib import Path

import numpy as np
import pytest
from numpy.testing import assert_array_equal

from seed_demo.arrivals import earlier_syncs
from seed_demo.club import MOUNTS, SITES
from seed_demo.mount_model import (
    Head,
    Mechanics,
    arrival_offset_arcmin,
    axis_angles_pointing_at,
    perfect_axis_angles,
    pointing_direction,
)
from seed_demo.records import DemoClub
from seed_demo.setups import HABITS_OF
from seed_demo.star_places import airless_directions, refracted
from seed_demo.targets import stars
from seed_demo.truth import ArrivalTruth, SetupTruth

PACKAGE = Path(__file__).parents[2] / "seed_demo"
MOUNT_OF = {mount.name: mount for mount in MOUNTS}
SITE_OF = {site.name: site for site in SITES}


def place_of(row: dict[str, str], utc: datetime) -> tuple[float, float]:
    if row["ra_hours"]:
        return float(row["ra_hours"]), float(row["dec_deg"])
    years = utc.timestamp() - datetime.fromisoformat("2000-01-01T12:00:00Z").timestamp()
    return stars().moved_to(stars().row_of[row["target"]], years)


def recomputed_misses(club: DemoClub, setup: SetupTruth, arrivals: list[ArrivalTruth]) -> np.ndarray:
    """True offsets of one set-up less those without scatter and with perfect centring, (n, 2) arcminutes."""
    site, rows, count = SITE_OF[setup.key.site], [club.arrivals[a.row] for a in arrivals], len(arrivals)
    utc = [datetime.fromisoformat(row["utc"]) for row in rows]
    places = np.array([place_of(row, when) for row, when in zip(rows, utc, strict=True)])
    ra_hours, dec_deg = places.T
    airless = airless_directions(site, ra_hours, dec_deg, utc)
    mount = MOUNT_OF[setup.key.mount]

    def full(value: float) -> np.ndarray:
        return np.full(count, value)

    head = Head(
        full(site.lat_deg),
        full(0) < full(mount.mount_type == "altaz"),
        full(setup.polar_altitude_arcmin),
        full(setup.polar_azimuth_arcmin),
    )
    mechanics = Mechanics(full(setup.cone_arcmin), full(setup.squareness_arcmin), full(setup.sag_arcmin))
    eastern = airless[:, 1] > 0
    written = np.array([row["pier_side"] for row in rows])
    west = np.where(written == "", eastern, written == "west") & (mount.mount_type == "german")
    seen = refracted(airless)
    commanded = np.stack(perfect_axis_angles(seen if mount.refraction else airless, head, west), axis=-1)
    zero_points = np.stack(axis_angles_pointing_at(seen, mechanics, head, west), axis=-1) - commanded
    synced = np.array([row["role"] == "sync" for row in rows])
    last = np.maximum.accumulate(np.where(synced, np.arange(count), 0))[:-1]
    angles = commanded[1:] + zero_points[last]
    later = Head(*(getattr(head, name)[1:] for name in Head.__slots__))
    faults = Mechanics(*(getattr(mechanics, name)[1:] for name in Mechanics.__slots__))
    centre = pointing_direction(angles[:, 0], angles[:, 1], faults, later)
    model = np.stack(arrival_offset_arcmin(seen[1:], centre, later.lat_deg), axis=-1)
    true = np.array([(a.offset_east_arcmin, a.offset_north_arcmin) for a in arrivals[1:]])
    return np.asarray(true - model)


@pytest.mark.parametrize("mount", ["Old Grumble", "Bramble", "Long Paddock", "Tortoise", "Pepperpot"])
def test_what_the_truth_does_not_explain_is_scatter_and_centring(club: DemoClub, mount: str) -> None:
    """One mount of each type and hemisphere, and the one whose scatter grows."""
    shares = []
    for setup in club.truth.setups:
        arrivals = [arrival for arrival in club.truth.arrivals if arrival.key == setup.key]
        if setup.key.mount == mount and len(arrivals) > 2 and setup.slip is None:
            sd = np.hypot(setup.scatter_arcmin, HABITS_OF[setup.observer].centring_sd_arcmin)
            shares.append(recomputed_misses(club, setup, arrivals) / sd)
    share = np.concatenate(shares)
    # A normal variable lies inside 0.6745 sd half of the time; centring errors grow a little toward the pole.
    assert len(share) > 80
    assert 0.55 < np.median(np.abs(share)) < 0.85


def test_earlier_syncs_counts_within_a_setup() -> None:
    setup = np.array([0, 0, 0, 1, 1, 1])
    synced = np.array([True, True, False, False, True, False])
    assert_array_equal(earlier_syncs(setup, synced), [0, 1, 2, 0, 0, 1])


@pytest.mark.parametrize(
    "file", sorted(set(PACKAGE.glob("*.py")) - set(PACKAGE.glob("load*.py"))), ids=lambda file: file.name
)
def test_package_knows_only_the_sky(file: Path) -> None:
    """It is shipped at another place, and its truth must not come from what it is meant to test.

    Only the loaders, which put the club on record when all is made, use the program.
    """
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        if isinstance(node, ast.ImportFrom) and not node.level:
            names.append(node.module or "")
        assert not [name for name in names if name.startswith("seed_demo")]
        known = ("obslog.sky.", "obslog.values")
        assert not [name for name in names if name.startswith("obslog") and not name.startswith(known)]
