"""Invented nights of one mount, made with the exact model from a known truth."""

from dataclasses import dataclass, fields

import numpy as np

from obslog.pointing.joint_fit.rows import Arrivals, Machine, syncs_before
from obslog.pointing.model.frames import BoolArray, FloatArray, horizontal_direction, hour_angle_dec_deg
from obslog.pointing.model.geometry import (
    AxisErrors,
    StarPlaces,
    commanded_axes_rad,
    predicted_offsets_arcmin,
    zero_points_arcmin,
)
from obslog.vocabulary import MountType


@dataclass(frozen=True)
class Club:
    arrivals: Arrivals
    polar: FloatArray
    mechanical: FloatArray
    wrong: BoolArray


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
    return Club(shorter, club.polar, club.mechanical, club.wrong[kept])


def random_stars(rng: np.random.Generator, count: int, lat_deg: float, mount_type: MountType) -> StarPlaces:
    """Stars spread evenly over the sky above 25 degrees, refraction 1' x cot(altitude)."""
    alt_deg = np.degrees(np.arcsin(rng.uniform(np.sin(np.radians(25)), np.sin(np.radians(85)), count)))
    az_deg = rng.uniform(0, 360, count)
    hour_angle_deg, dec_deg = hour_angle_dec_deg(horizontal_direction(az_deg, alt_deg), lat_deg)
    refraction = 0.97 / np.tan(np.radians(alt_deg))
    return StarPlaces(hour_angle_deg, dec_deg, np.full(count, lat_deg), refraction, hour_angle_deg < 0)


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
    eras: int = 1,
) -> Club:
    """Nights of `syncs` syncs and then checks; set-ups are shared out evenly over mechanical eras."""
    each = syncs + checks
    count = setups * each
    setup = np.repeat(np.arange(setups), each)
    is_sync = np.tile(np.arange(each) < syncs, setups)
    stars = random_stars(rng, count, lat_deg, machine.mount_type)
    polar = rng.normal(0, polar_sd_arcmin, (setups, 2))
    mechanical = rng.normal(0, mechanical_sd_arcmin, (eras, 3))
    era = np.arange(setups) * eras // setups
    truth = [*polar[setup].T, *mechanical[era[setup]].T]
    slip = rng.normal(0, centring_arcmin, (2, count))
    zero = np.array(_zero_points(stars, machine, truth, slip))
    before = syncs_before(Arrivals(stars, setup, is_sync, *np.zeros((3, count))))
    last_sync = setup * each + before - 1
    last_sync[before == 0] = np.flatnonzero(before == 0)
    offsets = np.array(
        predicted_offsets_arcmin(
            stars, machine.mount_type, machine.corrects_refraction, AxisErrors(*zero[:, last_sync], *truth)
        )
    )
    noise = np.full(count, noise_arcmin)
    if noise_of_last_era_arcmin is not None:
        noise[era[setup] == eras - 1] = noise_of_last_era_arcmin
    offsets += rng.normal(0, np.hypot(noise, reading_share * np.hypot(*offsets)), offsets.shape)
    wrong = (rng.random(count) < wrong_share) & ~is_sync
    offsets[:, wrong] += rng.normal(0, 40.0, (2, wrong.sum()))
    offsets[:, before == 0] = np.nan
    arrivals = Arrivals(stars, setup, is_sync, offsets[0], offsets[1], np.full(count, centring_arcmin))
    return Club(arrivals, polar, mechanical, wrong)


def _zero_points(
    stars: StarPlaces, machine: Machine, truth: list[FloatArray], slip: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Zero points as each star would set them, had the observer centred a point `slip` away from it."""
    hour_angle_deg, dec_deg = hour_angle_dec_deg(stars.seen(), stars.lat_deg)
    east = slip[0] / 60 / np.cos(np.radians(dec_deg))
    centred = StarPlaces(
        hour_angle_deg - east,
        dec_deg + slip[1] / 60,
        stars.lat_deg,
        np.zeros_like(dec_deg),
        stars.tube_west,
    )
    needed = zero_points_arcmin(centred, machine.mount_type, True, AxisErrors(0.0, 0.0, *truth))
    shift = _commanded_difference(stars, centred, machine)
    return needed[0] + shift[0], needed[1] + shift[1]


def _commanded_difference(stars: StarPlaces, centred: StarPlaces, machine: Machine) -> FloatArray:
    """What the controller believes to be the place, less the point that was centred (arcminutes)."""
    there = np.array(commanded_axes_rad(centred, machine.mount_type, True))
    asked = np.array(commanded_axes_rad(stars, machine.mount_type, machine.corrects_refraction))
    difference = (there - asked + np.pi) % (2 * np.pi) - np.pi
    return np.degrees(difference) * 60
