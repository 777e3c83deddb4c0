"""Invented clubs in which something is at work that the model of a mount does not know, from a known truth."""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine
from obslog.pointing.misfit.circumstances import Circumstances
from obslog.pointing.misfit.examined import Examined, examine
from obslog.pointing.model.frames import FloatArray, az_alt_deg, horizontal_direction, offsets_arcmin
from obslog.vocabulary.mistakes import MisfitKind
from obslog.vocabulary.mounts import MountType
from tests.pointing.joint_fit.pointing_clubs import Club, simulate

GERMAN, ALTAZ = Machine(MountType.GERMAN), Machine(MountType.ALTAZ)
SETUPS = 10


@dataclass(frozen=True)
class Disturbed:
    """A club, who observed, and what is at work."""

    club: Club
    circumstances: Circumstances
    at_work: FloatArray
    machine: Machine = GERMAN

    def examined(self) -> Examined:
        return examine(self.machine, self.club.arrivals, np.zeros(SETUPS, dtype=np.int64), self.circumstances)


def quiet(seed: int, **how: object) -> Disturbed:
    """Nothing is at work; two people observe in turn."""
    club = simulate(np.random.default_rng(seed), GERMAN, setups=SETUPS, checks=5, **how)  # type: ignore[arg-type]
    return Disturbed(club, in_turn(), np.zeros(2))


def changed(seed: int, term: int, size_arcmin: float) -> Disturbed:
    """A term changes half way, and nobody writes it down."""
    rng = np.random.default_rng(seed)
    before = rng.normal(0, (10.0, 6.0, 2.0))
    after = before + size_arcmin * np.eye(3)[term]
    club = simulate(rng, GERMAN, setups=SETUPS, checks=5, eras=2, mechanical_arcmin=np.stack([before, after]))
    return Disturbed(club, in_turn(), after - before)


def drifting(seed: int, term: int, size_arcmin: float) -> Disturbed:
    """A term drifts from set-up to set-up, as where something works loose: by that size from the first to the last."""
    rng = np.random.default_rng(seed)
    first = rng.normal(0, (10.0, 6.0, 2.0))
    steps = np.linspace(0.0, size_arcmin, SETUPS)
    mechanical = first + steps[:, None] * np.eye(3)[term]
    club = simulate(rng, GERMAN, setups=SETUPS, checks=5, eras=SETUPS, mechanical_arcmin=mechanical)
    return Disturbed(club, in_turn(), mechanical[-1] - first)


def clamped_anew(seed: int, sd_arcmin: float) -> Disturbed:
    """The tube is put on anew each night, and has another cone error each time."""
    rng = np.random.default_rng(seed)
    mechanical = rng.normal(0, (10.0, 6.0, 2.0)) + rng.normal(0, sd_arcmin, (SETUPS, 1)) * np.eye(3)[0]
    club = simulate(rng, GERMAN, setups=SETUPS, checks=5, eras=SETUPS, mechanical_arcmin=mechanical)
    return Disturbed(club, in_turn(), np.zeros(2))


def jumping(seed: int, jump_arcmin: tuple[float, float]) -> Disturbed:
    """With the tube west of the pier the mirror lies otherwise: stars stand so far to the east and north."""
    club = simulate(
        np.random.default_rng(seed), GERMAN, setups=SETUPS, checks=5, jump_west_arcmin=jump_arcmin
    )
    return Disturbed(club, in_turn(), np.array(jump_arcmin))


def misread(seed: int, size_arcmin: float) -> Disturbed:
    """One of two people reads to one side."""
    return read_to_a_side(seed, in_any_direction(seed, size_arcmin), in_turn().observers)


def slack(seed: int, size_arcmin: float) -> Disturbed:
    """Stars stand further east where the mount came from the east, further west where it came from the west."""
    plain = quiet(seed)
    arrivals = plain.club.arrivals
    turned_west = (np.diff(arrivals.stars.hour_angle_deg, prepend=0.0) + 180.0) % 360.0 - 180.0
    same_side = np.diff(arrivals.stars.tube_west, prepend=False) == 0
    east = arrivals.offset_east_arcmin + size_arcmin * np.sign(turned_west) * same_side
    club = replace(plain.club, arrivals=replace(arrivals, offset_east_arcmin=east))
    return Disturbed(club, plain.circumstances, np.array([size_arcmin, 0.0]))


def altaz_slack(seed: int, size_arcmin: float) -> Disturbed:
    """Of an alt-azimuth mount: stars stand further left where it came from the left, further right from the right."""
    club = simulate(np.random.default_rng(seed), ALTAZ, setups=SETUPS, checks=5)
    arrivals = club.arrivals
    az, alt = az_alt_deg(arrivals.stars.airless())
    turned = np.sign((np.diff(az, prepend=0.0) + 180.0) % 360.0 - 180.0)
    aside = az - turned * size_arcmin / 60.0 / np.cos(np.radians(alt))
    east, north = offsets_arcmin(
        horizontal_direction(aside, alt), horizontal_direction(az, alt), arrivals.stars.lat_deg
    )
    moved = replace(
        arrivals,
        offset_east_arcmin=arrivals.offset_east_arcmin + east,
        offset_north_arcmin=arrivals.offset_north_arcmin + north,
    )
    return Disturbed(replace(club, arrivals=moved), in_turn(), np.array([size_arcmin, 0.0]), ALTAZ)


def in_turn() -> Circumstances:
    return Circumstances(
        observers=["Ines" if setup % 2 else "Bram" for setup in range(SETUPS)],
        temperature_c=np.full(SETUPS, np.nan),
    )


def in_any_direction(seed: int, size_arcmin: float) -> FloatArray:
    angle = np.random.default_rng(seed + 1_000_000).uniform(0, 2 * np.pi)
    return size_arcmin * np.array([np.cos(angle), np.sin(angle)])


def kinds(examined: Examined) -> set[MisfitKind]:
    """What was found, but for the scale."""
    found = {cause.kind for cause, _ in examined.left_out.causes}
    return found | ({MisfitKind.CHANGE} if examined.left_out.changes else set())


def read_to_a_side(seed: int, by: FloatArray, observers: list[str | None]) -> Disturbed:
    """Where Ines is among these observers she reads so far to the east and north."""
    plain = quiet(seed)
    arrivals = plain.club.arrivals
    his = np.array([observer == "Ines" for observer in observers])[arrivals.setup]
    moved = replace(
        arrivals,
        offset_east_arcmin=arrivals.offset_east_arcmin + his * by[0],
        offset_north_arcmin=arrivals.offset_north_arcmin + his * by[1],
    )
    return Disturbed(replace(plain.club, arrivals=moved), plain.circumstances, by)
