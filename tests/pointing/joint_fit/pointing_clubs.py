"""Invented nights of one mount from a known truth, by the exact model of the demo club.

That model was written apart from the one that the fit uses, so that recovering the truth says something about both.
"""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from obslog.pointing.joint_fit.arrivals import Arrivals, Machine
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.pointing.model.geometry import StarPlaces
from obslog.vocabulary.mounts import MountType
from seed_demo.mount_model import (
    RADIANS_PER_ARCMIN,
    Head,
    Mechanics,
    arrival_offset_arcmin,
    at_altitude,
    axis_angles_pointing_at,
    displaced,
    perfect_axis_angles,
    pointing_direction,
    sky_turned_west,
)


@dataclass(frozen=True)
class Club:
    """Arrivals, and the truth: `slip` (2, n) is how far from its star a sync had the field centre."""

    arrivals: Arrivals
    polar: FloatArray
    mechanical: FloatArray
    wrong: BoolArray
    slip: FloatArray


def cut_short(club: Club, setups: range, arrivals: int) -> Club:
    """The same club, where these set-ups ended after their first sync and so many arrivals."""
    place = np.concatenate([np.arange(count) for count in np.bincount(club.arrivals.setup)])
    kept = (place <= arrivals) | ~np.isin(club.arrivals.setup, setups)
    shorter = Arrivals(
        stars=StarPlaces(*(getattr(club.arrivals.stars, field.name)[kept] for field in fields(StarPlaces))),
        **{
            field.name: getattr(club.arrivals, field.name)[kept]
            for field in fields(Arrivals)
            if field.name != "stars"
        },
    )
    return Club(shorter, club.polar, club.mechanical, club.wrong[kept], club.slip[:, kept])


def random_stars(rng: np.random.Generator, count: int, lat_deg: float, mount_type: MountType) -> StarPlaces:
    """Stars spread evenly over the sky above 25 degrees, refraction 1' x cot(altitude)."""
    alt_rad = np.arcsin(rng.uniform(np.sin(np.radians(25)), np.sin(np.radians(85)), count))
    az_rad = np.radians(rng.uniform(0, 360, count))
    airless = np.stack(
        [np.cos(alt_rad) * np.cos(az_rad), np.cos(alt_rad) * np.sin(az_rad), np.sin(alt_rad)], axis=-1
    )
    hour_angle_rad, dec_rad = perfect_axis_angles(airless, _level(count, lat_deg), np.zeros(count, bool))
    hour_angle_deg = (np.degrees(hour_angle_rad) + 180) % 360 - 180
    refraction = 0.97 / np.tan(alt_rad)
    return StarPlaces(
        hour_angle_deg, np.degrees(dec_rad), np.full(count, lat_deg), refraction, hour_angle_deg < 0
    )


def simulate(
    rng: np.random.Generator,
    machine: Machine,
    setups: int = 8,
    checks: int = 6,
    syncs: int = 1,
    lat_deg: float = 52.0,
    noise_arcmin: float = 2.0,
    noise_of_last_era_arcmin: float | None = None,
    reading_share: float = 0.0,
    centring_arcmin: float = 0.5,
    wrong_share: float = 0.0,
    polar_sd_arcmin: float = 25.0,
    mechanical_sd_arcmin: tuple[float, float, float] = (10.0, 6.0, 2.0),
    mechanical_arcmin: FloatArray | None = None,
    jump_west_arcmin: tuple[float, float] = (0.0, 0.0),
    eras: int = 1,
    tail_degrees: float | None = None,
    noise_by_setup_arcmin: FloatArray | None = None,
) -> Club:
    """Nights of `syncs` syncs and then checks; set-ups are shared out evenly over mechanical eras.

    Cone, squareness and sag of each era are drawn, or given as `mechanical_arcmin` (eras, 3). With the tube west of
    the pier the mirror lies otherwise, so that stars stand `jump_west_arcmin` to the east and north. With
    `tail_degrees` arrivals scatter by Student's t (a normal deviate over the root of chi-square over its degrees).
    """
    each = syncs + checks
    count = setups * each
    setup = np.repeat(np.arange(setups), each)
    is_sync = np.tile(np.arange(each) < syncs, setups)
    stars = random_stars(rng, count, lat_deg, machine.mount_type)
    polar = rng.normal(0, polar_sd_arcmin, (setups, 2))
    drawn = rng.normal(0, mechanical_sd_arcmin, (eras, 3))
    mechanical = drawn if mechanical_arcmin is None else mechanical_arcmin
    era = np.arange(setups) * eras // setups
    jump = np.outer(jump_west_arcmin, stars.tube_west)
    slip = (
        rng.normal(0, centring_arcmin, (2, count)) + jump
    )  # what is brought to the centre is not the nominal one
    offsets, before = offsets_arcmin(
        stars, machine, setup, is_sync, polar[setup], mechanical[era[setup]], slip
    )
    offsets += jump
    noise = np.full(count, noise_arcmin)
    if noise_of_last_era_arcmin is not None:
        noise[era[setup] == eras - 1] = noise_of_last_era_arcmin
    if noise_by_setup_arcmin is not None:
        noise = noise_by_setup_arcmin[setup]
    if tail_degrees is not None:
        noise *= np.sqrt(tail_degrees / rng.chisquare(tail_degrees, count))
    offsets += rng.normal(0, np.hypot(noise, reading_share * np.hypot(*offsets)), offsets.shape)
    wrong = (rng.random(count) < wrong_share) & ~is_sync
    offsets[:, wrong] += rng.normal(0, 40.0, (2, wrong.sum()))
    offsets[:, before == 0] = np.nan
    arrivals = Arrivals(
        stars=stars,
        setup=setup,
        is_sync=is_sync,
        offset_east_arcmin=offsets[0],
        offset_north_arcmin=offsets[1],
        centring_arcmin=np.full(count, centring_arcmin),
    )
    return Club(arrivals, polar, mechanical, wrong, slip)


def offsets_after_one_sync_arcmin(
    stars: StarPlaces, synced: StarPlaces, machine: Machine, truth: Sequence[float]
) -> FloatArray:
    """Where stars stand, (2, n), after one star was centred exactly and accepted.

    `truth` is of one set-up: the two polar errors, cone, squareness and sag.
    """
    both = StarPlaces(
        *(np.append(getattr(synced, field.name), getattr(stars, field.name)) for field in fields(StarPlaces))
    )
    count = both.dec_deg.size
    polar, mechanical = (np.tile(part, (count, 1)) for part in (truth[:2], truth[2:]))
    none = np.zeros((2, count))
    offsets, _ = offsets_arcmin(
        both, machine, np.zeros(count, int), np.arange(count) == 0, polar, mechanical, none
    )
    return offsets[:, 1:]


def some_of(stars: StarPlaces, index: IntArray | slice) -> StarPlaces:
    """Some of the stars."""
    return StarPlaces(*(getattr(stars, field.name)[index] for field in fields(StarPlaces)))


def drift_north_arcmin(
    hour_angle_deg: FloatArray, dec_deg: FloatArray, minutes: FloatArray, lat_deg: float, polar: FloatArray
) -> FloatArray:
    """How far north stars drift on the declination circle of a driven mount with these polar errors."""
    count = len(hour_angle_deg)
    lat, none = np.full(count, lat_deg), np.zeros(count)
    head = Head(lat, none > 0, np.full(count, polar[0]), np.full(count, polar[1]))
    perfect, still = Mechanics(none, none, none), Head(lat, none > 0, none, none)
    start = pointing_direction(np.radians(hour_angle_deg), np.radians(dec_deg), perfect, still)
    # 1436.0682 minutes are a full turn of the sky
    end = sky_turned_west(start, 24.0 * minutes / 1436.0682, lat)
    before, after = (axis_angles_pointing_at(star, perfect, head, none > 0)[1] for star in (start, end))
    return (after - before) / RADIANS_PER_ARCMIN


def offsets_arcmin(
    stars: StarPlaces,
    machine: Machine,
    setup: IntArray,
    is_sync: BoolArray,
    polar: FloatArray,
    mechanical: FloatArray,
    slip: FloatArray,
) -> tuple[FloatArray, IntArray]:
    """Where each star stood, (2, n), and how many syncs of its set-up went before it.

    The controller adds to the axis angles of the place it believes in what the last sync needed; a sync needs what
    puts a point `slip` away from the star into the centre. Before the first sync nothing is added.
    """
    count = len(setup)
    altaz = np.full(count, machine.mount_type is MountType.ALTAZ)
    head = Head(stars.lat_deg, altaz, *polar.T)
    mechanics = Mechanics(*mechanical.T)
    west = stars.tube_west & (machine.mount_type is MountType.GERMAN)
    airless, seen = directions(stars), directions(stars, seen=True)
    believed = perfect_axis_angles(seen if machine.corrects_refraction else airless, head, west)
    commanded = np.stack(believed, axis=-1)
    centred = displaced(seen, slip[0], slip[1], stars.lat_deg)
    needed = np.stack(axis_angles_pointing_at(centred, mechanics, head, west), axis=-1) - commanded
    before = np.zeros(count, int)
    angles = commanded.copy()
    for here in range(1, count):
        if setup[here] == setup[here - 1]:
            before[here] = before[here - 1] + is_sync[here - 1]
    last = -1
    for here in range(count):
        if before[here]:
            angles[here] += needed[last]
        if is_sync[here]:
            last = here
    centre = pointing_direction(angles[:, 0], angles[:, 1], mechanics, head)
    return np.array(arrival_offset_arcmin(seen, centre, stars.lat_deg)), before


def directions(stars: StarPlaces, *, seen: bool = False) -> FloatArray:
    """Unit vectors (n, 3) to north, east and up: without air, or as they are seen."""
    count = len(stars.lat_deg)
    none = np.zeros(count)
    equatorial = Head(stars.lat_deg, none > 0, none, none)
    airless = pointing_direction(
        np.radians(stars.hour_angle_deg), np.radians(stars.dec_deg), Mechanics(none, none, none), equatorial
    )
    alt = np.arcsin(airless[:, 2])
    return at_altitude(airless, alt + stars.refraction_arcmin * RADIANS_PER_ARCMIN) if seen else airless


def _level(count: int, lat_deg: float) -> Head:
    none = np.zeros(count)
    return Head(np.full(count, lat_deg), none > 0, none, none)
