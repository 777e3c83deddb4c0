"""Which stars and objects each set-up goes to: syncs first, then checks and go-tos."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from .evenings import Random
from .mount_model import Floats
from .seasons import seconds_since_j2000
from .setups import Setup
from .targets import TargetTable, deep_sky, standing, stars, well_placed

MODEL_SYNCS = ((1, 2, 3), (0.12, 0.48, 0.40))
SHIFT_SYNCS = ((1, 2, 3), (0.50, 0.28, 0.22))
SYNC_MAGNITUDE = 2.3
LATE_FLIP_DEG = 8.0


@dataclass(frozen=True, slots=True)
class Visit:
    """One target gone to. `unusual_side`: a German mount's tube is not on the side opposite to it."""

    setup: int
    utc: datetime
    role: str
    name: str
    kind: str
    ra_hours: float
    dec_deg: float
    tube_west: bool
    unusual_side: bool


@dataclass(frozen=True, slots=True)
class Choice:
    targets: TargetTable
    index: int
    hour_angle_deg: float


def visits_of(index: int, setup: Setup, rng: Random) -> list[Visit]:
    """The visits of one set-up in order of time; one that is given up has a single go-to, in vain."""
    if setup.given_up:
        return [visit_at(index, setup, setup.start_utc, "goto", [], rng)]
    counts, chances = MODEL_SYNCS if setup.mount.controller == "model" else SHIFT_SYNCS
    syncs = int(rng.choice(counts, p=chances))
    wanted = syncs + 3 + int(rng.poisson(6.0))
    utc, visits = setup.start_utc, list[Visit]()
    while len(visits) < wanted and utc < setup.end_utc:
        visits.append(visit_at(index, setup, utc, role_of(len(visits), syncs, rng), visits, rng))
        pause = rng.uniform(2.5, 6.0) if len(visits) < syncs else rng.uniform(5.0, 15.0)
        utc += timedelta(seconds=round(60.0 * float(pause)))
    return visits


def role_of(done: int, syncs: int, rng: Random) -> str:
    """Sync first; later mostly checks and go-tos, and now and then a fresh sync in mid-evening."""
    if done < syncs:
        return "sync"
    if done > syncs + 3 and rng.random() < 0.03:
        return "sync"
    return "check" if rng.random() < (0.7 if done < syncs + 3 else 0.35) else "goto"


def visit_at(index: int, setup: Setup, utc: datetime, role: str, before: list[Visit], rng: Random) -> Visit:
    targets = deep_sky() if role == "goto" and before and rng.random() < 0.75 else stars()
    chosen = choose(targets, setup, utc, role, before, rng)
    ra_hours, dec_deg = chosen.targets.moved_to(chosen.index, seconds_since_j2000(utc))
    tube_west, unusual = side_of_pier(setup, chosen.hour_angle_deg, rng)
    name, kind = chosen.targets.names[chosen.index], chosen.targets.kinds[chosen.index]
    return Visit(index, utc, role, name, kind, ra_hours, dec_deg, tube_west, unusual)


def choose(
    targets: TargetTable, setup: Setup, utc: datetime, role: str, before: list[Visit], rng: Random
) -> Choice:
    """A target that stands well and was not visited yet; a bright one for a sync."""
    alt_deg, hour_angle_deg = standing(targets, seconds_since_j2000(utc), setup.site)
    free = well_placed(targets, alt_deg)
    free[[targets.row_of[visit.name] for visit in before if visit.name in targets.row_of]] = False
    if role == "sync":
        free &= targets.magnitude < SYNC_MAGNITUDE
    weight = free * attraction(targets, hour_angle_deg, role, before)
    if not weight.any():
        return choose(stars(), setup, utc, "check", before[-3:], rng)
    index = int(rng.choice(len(weight), p=weight / weight.sum()))
    return Choice(targets, index, float(hour_angle_deg[index]))


def attraction(targets: TargetTable, hour_angle_deg: Floats, role: str, before: list[Visit]) -> Floats:
    """How readily each target is chosen: bright stars more; later syncs rather across the meridian."""
    bright = np.where(np.isnan(targets.magnitude), 1.0, 10 ** (-0.15 * targets.magnitude))
    if role != "sync" or not before:
        return np.asarray(bright)
    same_side = np.sign(hour_angle_deg) == (-1.0 if before[-1].tube_west else 1.0)
    return np.asarray(np.where(same_side, 0.45, 1.0) * bright)


def side_of_pier(setup: Setup, hour_angle_deg: float, rng: Random) -> tuple[bool, bool]:
    """Whether the tube is west of the pier, and whether unusually so: not yet flipped."""
    if setup.mount.mount_type != "german":
        return False, False
    if 0.0 <= hour_angle_deg < LATE_FLIP_DEG and rng.random() < 0.4:
        return True, True
    return hour_angle_deg < 0.0, False
