"""A pointing run: one sync and a handful of checks that tell most about the mount per minute."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.arrivals import Machine, Priors
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray, separation_deg
from obslog.pointing.planning.expected_landing import Design
from obslog.pointing.planning.observable import Candidates, ObservableLimits, admissible, in_sight, shown_of
from obslog.pointing.planning.star_choice import TooFewStars
from obslog.values import Estimate
from obslog.vocabulary.mounts import MountType

FEWEST_CHECKS, MOST_CHECKS = 8, 12
BRIGHTEST_FOR_EACH = 1.5
"""In twilight a run chooses among so many of the brightest stars for each that it takes, as it gets darker. Judged."""
NOISE_ARCMIN, CENTRING_ARCMIN = 2.0, 0.5
"""What is assumed of arrivals to come: the scatter of one on each axis, and how well a sync star is centred."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How long things take: minutes to find, judge and write one star; degrees a second while slewing."""

    minutes_per_star: float = 2.0
    slew_deg_per_s: float = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RunPlan:
    """The stars of a run (numbers of candidates), the sync first, and the standard deviations to expect.

    Estimates have value 0, as nothing is seen yet, and say whether the run determines them.
    """

    stars: tuple[int, ...]
    tube_west: tuple[bool, ...]
    minutes: float
    cone: Estimate
    squareness: Estimate
    sag: Estimate


def plan_run(
    candidates: Candidates,
    limits: ObservableLimits,
    machine: Machine,
    pace: Pace | None = None,
) -> RunPlan:
    """The sync and the 8 to 12 checks that gain most information on cone, squareness and sag per minute.

    Information is the fall of the log determinant of the three errors' covariance, with the set-up's zero
    points and polar errors unknown. Stars are added greedily, then ordered by side of the pier and by short
    slews. In twilight the sync is one that is in sight, and the checks are among the brightest.
    Raises TooFewStars.
    Source: K. Chaloner and I. Verdinelli, Bayesian experimental design, Statistical Science 10 (1995) 273.
    """
    always = round(BRIGHTEST_FOR_EACH * (MOST_CHECKS + 1))
    usable = np.flatnonzero(shown_of(candidates, admissible(candidates, limits), always))
    syncs = np.flatnonzero(in_sight(candidates, limits))
    if usable.size <= FEWEST_CHECKS:
        raise TooFewStars(FEWEST_CHECKS + 1, usable.size)
    prior_sd = Priors().by_unknown()
    columns = Design.of(machine, candidates.stars, candidates.stars).stars[:, :, :7]
    west = candidates.stars.tube_west & (machine.mount_type is MountType.GERMAN)
    direction = candidates.stars.airless()
    plans = []
    sync, information = _first_star(columns, syncs, usable, prior_sd)
    chosen = [sync]
    for count in range(1, min(MOST_CHECKS, usable.size - 1) + 1):
        gains = _gains(information, columns[usable], NOISE_ARCMIN)
        gains[np.isin(usable, chosen)] = -np.inf
        star = int(usable[int(np.argmax(gains))])
        chosen.append(star)
        information = information + star_information(columns[star], NOISE_ARCMIN)
        if count >= FEWEST_CHECKS:
            order = short_way(np.array(chosen), direction, west)
            minutes = _minutes(order, direction, pace or Pace())
            plans.append((-_log_determinant(information, prior_sd) / minutes, order, minutes, information))
    _, order, minutes, information = max(plans, key=lambda plan: plan[0])
    return _plan(order, west, minutes, information, prior_sd)


def _first_star(
    columns: FloatArray, syncs: IntArray, usable: IntArray, prior_sd: FloatArray
) -> tuple[int, FloatArray]:
    """The sync: the one after which three of the usable stars can tell most."""
    base = np.diag(prior_sd**-2.0)
    best = (-np.inf, int(syncs[0]), base)
    for sync in syncs:
        information = base + star_information(columns[sync], CENTRING_ARCMIN)
        ahead = information
        for _ in range(3):
            gains = _gains(ahead, columns[usable], NOISE_ARCMIN)
            ahead = ahead + star_information(columns[usable[int(np.argmax(gains))]], NOISE_ARCMIN)
        score = -_log_determinant(ahead, prior_sd)
        if score > best[0]:
            best = (score, int(sync), information)
    return best[1], best[2]


def star_information(columns: FloatArray, sd_arcmin: float) -> FloatArray:
    """What a star's two offsets, with columns (2, 7), tell of the seven errors, (7, 7)."""
    told: FloatArray = columns.T @ columns / sd_arcmin**2
    return told


def _gains(information: FloatArray, columns: FloatArray, sd_arcmin: float) -> FloatArray:
    """Fall of the mechanical errors' log determinant by adding each star, (n,)."""
    after = information + np.einsum("nai,naj->nij", columns, columns) / sd_arcmin**2
    mechanical = np.linalg.inv(after)[:, 4:, 4:]
    before = np.linalg.slogdet(np.linalg.inv(information)[4:, 4:])[1]
    gains: FloatArray = before - np.linalg.slogdet(mechanical)[1]
    return gains


def _log_determinant(information: FloatArray, prior_sd: FloatArray) -> float:
    """Log determinant of the mechanical covariance less that of the prior: 0 before any star."""
    mechanical = np.linalg.inv(information)[4:, 4:]
    return float(np.linalg.slogdet(mechanical)[1] - 2.0 * np.log(prior_sd[4:]).sum())


def short_way(chosen: IntArray, direction: FloatArray, west: BoolArray) -> IntArray:
    """The sync first, then its side of the pier, then the other; always to the nearest star left."""
    order, left = [int(chosen[0])], [int(star) for star in chosen[1:]]
    while left:
        here = order[-1]
        same_side = [star for star in left if west[star] == west[here]] or left
        away = [float(separation_deg(direction[:, here], direction[:, star])) for star in same_side]
        order.append(same_side[int(np.argmin(away))])
        left.remove(order[-1])
    return np.array(order)


def _minutes(order: IntArray, direction: FloatArray, pace: Pace) -> float:
    slew_deg = separation_deg(direction[:, order[:-1]], direction[:, order[1:]]).sum()
    return float(order.size * pace.minutes_per_star + slew_deg / pace.slew_deg_per_s / 60.0)


def _plan(
    order: IntArray, west: BoolArray, minutes: float, information: FloatArray, prior_sd: FloatArray
) -> RunPlan:
    sds = np.sqrt(np.diagonal(np.linalg.inv(information)))[4:]
    cone, squareness, sag = (
        Estimate(0.0, float(sd), order.size - 1, bool(sd < 0.5 * prior))
        for sd, prior in zip(sds, prior_sd[4:], strict=True)
    )
    return RunPlan(
        stars=tuple(int(star) for star in order),
        tube_west=tuple(bool(west[star]) for star in order),
        minutes=minutes,
        cone=cone,
        squareness=squareness,
        sag=sag,
    )
