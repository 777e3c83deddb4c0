"""Mounts on record that are known night by night: a knock, wear, another tube, or nothing, and no service written down.

Offsets are those of the demo's own exact model, which was written apart from the one that the fit uses.
"""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

import numpy as np

from obslog.club.register import named_records
from obslog.club.sheets.arrivals_import import take_in
from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.model.frames import FloatArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.records.database import Database
from obslog.vocabulary.mounts import Controller, MountType
from seed_demo.club import Site
from seed_demo.mount_model import Head, perfect_axis_angles
from seed_demo.star_places import airless_directions, refracted
from tests.club.performance.histories import NOW, fortnightly
from tests.pointing.joint_fit.pointing_clubs import offsets_arcmin

GERMAN = Machine(MountType.GERMAN)
CONE, SQUARENESS, SAG = 0, 1, 2
PLACE: dict[str, Any] = {"lat_deg": 52.0, "lon_deg": -1.0, "elevation_m": 100.0}
CHECKS = 7
NIGHTS = fortnightly(24, days=30)


def steady(nights: int = len(NIGHTS)) -> FloatArray:
    """Cone, squareness and sag of each night, (nights, 3), in a mount that stays as it is."""
    return np.tile([3.0, 2.0, 1.0], (nights, 1))


def knocked(size_arcmin: float, at: int = 12, term: int = CONE) -> FloatArray:
    """One that is knocked before that night."""
    mechanics = steady()
    mechanics[at:, term] += size_arcmin
    return mechanics


def wearing(size_arcmin: float) -> FloatArray:
    """One whose cone error grows from night to night."""
    mechanics = steady()
    mechanics[:, CONE] += np.linspace(0.0, size_arcmin, len(NIGHTS))
    return mechanics


def put_mounts(
    database: Database,
    rng: np.random.Generator,
    mounts: Mapping[str, FloatArray],
    *,
    tubes: Sequence[str] = ("Long tube",) * len(NIGHTS),
    scatter_arcmin: FloatArray | float = 2.0,
    polar_sd_arcmin: FloatArray | float | Mapping[str, FloatArray] = 6.0,
    typed: FloatArray | float = 1.0,
) -> None:
    """Put German mounts on record with a set-up of each a month, by two people in turn.

    `tubes` are those of each night, `scatter_arcmin` is that of good arrivals on each night, per axis; what is typed of
    offsets is `typed` times what they are. `polar_sd_arcmin` may be of each night, and of each mount.
    """
    named_records.add(database, "site", "Tarn", PLACE | {"zone": "Europe/London"}, NOW)
    for name in ("Iris", "Jon"):
        named_records.add(database, "member", name, {}, NOW)
    for name in filter(None, dict.fromkeys(tubes)):
        named_records.add(database, "tube", name, {}, NOW)
    for mount in mounts:
        machine = {"mount_type": MountType.GERMAN, "controller": Controller.SHIFT}
        named_records.add(database, "mount", mount, machine, NOW)
    rows: list[Any] = []
    for mount, mechanics in mounts.items():
        polar_sd = polar_sd_arcmin[mount] if isinstance(polar_sd_arcmin, Mapping) else polar_sd_arcmin
        its = _rows(
            rng,
            mount,
            mechanics,
            np.broadcast_to(scatter_arcmin, len(NIGHTS)),
            np.broadcast_to(polar_sd, len(NIGHTS)),
            np.broadcast_to(typed, len(NIGHTS)),
        )
        rows += [row | _with(tubes[NIGHTS.index(date.fromisoformat(row["night"]))]) for row in its]
    take_in(database, "made", [row | {"line": place + 2} for place, row in enumerate(rows)], [], NOW)


def _rows(
    rng: np.random.Generator,
    mount: str,
    mechanics: FloatArray,
    scatter: FloatArray,
    polar_sd: FloatArray,
    typed: FloatArray,
) -> list[dict[str, Any]]:
    each, count = CHECKS + 1, (CHECKS + 1) * len(NIGHTS)
    setup = np.repeat(np.arange(len(NIGHTS)), each)
    is_sync = np.arange(count) % each == 0
    at = [_instant(NIGHTS[k // each], k % each) for k in range(count)]
    ra, dec, stars = _stars(rng, at)
    polar = rng.normal(0, polar_sd[:, np.newaxis], (len(NIGHTS), 2))
    slip = rng.normal(0, 0.5, (2, count))
    offsets, _ = offsets_arcmin(stars, GERMAN, setup, is_sync, polar[setup], mechanics[setup], slip)
    offsets = typed[setup] * (offsets + rng.normal(0, scatter[setup], offsets.shape))
    return [
        {
            "night": str(NIGHTS[setup[k]]), "site": "Tarn", "mount": mount, "setup": 1,
            "observer": ("Iris", "Jon")[setup[k] % 2], "utc": f"{at[k]:%Y-%m-%dT%H:%M:%SZ}",
            "role": "sync" if is_sync[k] else "check", "target": f"star {k}", "ra_hours": float(ra[k]),
            "dec_deg": float(dec[k]), "pier_side": "west" if stars.tube_west[k] else "east",
        }
        | ({} if is_sync[k] else _offset(offsets[:, k]))
        for k in range(count)
    ]  # fmt: skip


def _with(tube: str) -> dict[str, str]:
    return {"tube": tube} if tube else {}


def _offset(of_one: FloatArray) -> dict[str, float]:
    east, north = (round(float(value), 3) for value in of_one)
    return {"offset_east_arcmin": east, "offset_north_arcmin": north}


def _instant(night: date, place: int) -> datetime:
    return datetime.combine(night, time(22), NOW.tzinfo) + timedelta(minutes=5 * place)


def _stars(rng: np.random.Generator, at: list[datetime]) -> tuple[FloatArray, FloatArray, StarPlaces]:
    """Places in the catalogue of stars that stood between 25 and 85 degrees high then, and where they stood."""
    count = len(at)
    ra, dec, airless = np.zeros(count), np.zeros(count), np.zeros((count, 3))
    there = Site("Tarn", PLACE["lat_deg"], PLACE["lon_deg"], PLACE["elevation_m"], "Europe/London")
    left = np.arange(count)
    while left.size:
        ra[left] = rng.uniform(0, 24, left.size)
        dec[left] = np.degrees(np.arcsin(rng.uniform(-0.5, 1.0, left.size)))
        airless[left] = airless_directions(there, ra[left], dec[left], [at[k] for k in left])
        height = airless[:, 2]
        left = np.flatnonzero((height < np.sin(np.radians(25))) | (height > np.sin(np.radians(85))))
    none = np.zeros(count)
    level = Head(np.full(count, PLACE["lat_deg"]), none > 0, none, none)
    turned, high = perfect_axis_angles(airless, level, none > 0)
    hour_angle = (np.degrees(turned) + 180) % 360 - 180
    lifted = np.degrees(np.arcsin(refracted(airless)[:, 2]) - np.arcsin(airless[:, 2])) * 60
    stars = StarPlaces(hour_angle, np.degrees(high), np.full(count, PLACE["lat_deg"]), lifted, hour_angle < 0)
    return ra, dec, stars
