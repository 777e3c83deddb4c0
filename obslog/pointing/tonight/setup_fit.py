"""The fit of one set-up: its polar axis and the mount's mechanics, from a handful of arrivals and the mount's record.

Few arrivals can be read in several ways: any of them may be a wrong star or a slip of the pen, and the night may be
rougher or calmer than others. Each reading is fitted exactly and weighed with its probability, and the answer is the
mixture of them all; with so few unknowns that takes milliseconds.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from obslog.pointing.joint_fit.arrivals import ZERO_SD_ARCMIN, Arrivals, Machine
from obslog.pointing.joint_fit.scatter import MOST_WAY_ARCMIN, WRONG_SD_ARCMIN
from obslog.pointing.model.frames import BoolArray, FloatArray
from obslog.pointing.model.geometry import AxisErrors
from obslog.pointing.model.offset_slopes import Arrived, offsets_and_slopes
from obslog.pointing.tonight.mount_record import MountRecord
from obslog.pointing.tonight.setup_rows import SetupRows, setup_rows
from obslog.values import Estimate

ROUNDS = 8
STILL_ARCMIN = 0.02
MOST_IN_PAIRS = 14
"""Up to so many rows any two may be wrong at once; of more, one more or less than the best reading has."""
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
SHARED = 5
"""Two polar errors and three mechanical ones act on every row; two zero points on the rows of a pair."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupFit:
    """What a set-up's arrivals say, arcminutes; covariance (5, 5) of polar altitude and azimuth, cone, squareness, sag.

    `probability_wrong` and the residuals (seen minus predicted) are (n,), nan where an arrival was not used; for a sync
    `probability_wrong` is that of its centring, and `wrong_arrival` that of what was measured before it was centred.
    `log_evidence` is the log of how probable the arrivals are by the record, up to a constant.
    """

    polar_altitude: Estimate
    polar_azimuth: Estimate
    cone: Estimate
    squareness: Estimate
    sag: Estimate
    mean: FloatArray
    covariance: FloatArray
    wrong_arrival: FloatArray
    wrong_centring: FloatArray
    residual_east_arcmin: FloatArray
    residual_north_arcmin: FloatArray
    noise_arcmin: float
    log_evidence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Readings:
    """Readings (k,): which rows each takes for wrong (k, m), their probabilities, and means and covariances."""

    wrong: BoolArray
    share: FloatArray
    step: FloatArray
    covariance: FloatArray
    noise_arcmin: FloatArray
    log_evidence: float


def fit_setup(machine: Machine, arrivals: Arrivals, record: MountRecord) -> SetupFit:
    """What the arrivals of one set-up, in order of time, say beside the mount's record.

    Estimates are means of the posterior. A polar error is determined where its sd is under half of what it usually is,
    a mechanical one where it is under half of the record's. Without rows that tell anything the record comes back.
    Source: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms (2003), chapters 27 and 28 (evidence
    of a linear model).
    Neglects: readings with three or more wrong rows beside the best one.
    """
    rows = setup_rows(machine, arrivals, record.mechanical_mean)
    start = np.concatenate([rows.zero_start.ravel(), np.zeros(2), record.mechanical_mean])
    precision, prior_mean = _prior(record, rows.zero_start)
    arrived = Arrived.of(rows.stars, machine.mount_type, machine.corrects_refraction)
    now, best = start, np.zeros(rows.arrival.size, dtype=np.bool_)
    for _ in range(ROUNDS):
        residuals, slopes = _linearised(rows, arrived, now)
        way = np.minimum(np.hypot(*(rows.offsets_arcmin - residuals)), MOST_WAY_ARCMIN)
        readings = _weighed(rows, residuals, slopes, precision, prior_mean - now, record, way, best)
        top = int(np.argmax(readings.share))
        there = now + readings.share @ readings.step
        moved = np.abs(there - now)[-SHARED:].max()
        same = bool(np.array_equal(best, readings.wrong[top]))
        now, best = there, readings.wrong[top]
        if moved < STILL_ARCMIN and same:
            break
    return _answer(rows, arrivals, record, now, readings, residuals)


def _prior(record: MountRecord, zero: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Precision and mean of all unknowns before any arrival: zero points, polar errors, mechanics."""
    count = zero.size + SHARED
    precision = np.zeros((count, count))
    free = np.arange(zero.size)
    precision[free, free] = ZERO_SD_ARCMIN**-2.0
    polar = zero.size + np.arange(2)
    precision[polar, polar] = record.polar_sd**-2.0
    precision[-3:, -3:] = np.linalg.inv(record.mechanical_covariance)
    return precision, np.concatenate([zero.ravel(), np.zeros(2), record.mechanical_mean])


def _linearised(rows: SetupRows, arrived: Arrived, now: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Seen minus predicted offsets (2, m), and the slopes (2, m, u) of the predicted ones in all unknowns."""
    count = rows.arrival.size
    zero = now[:-SHARED].reshape(-1, 2)[rows.pair]
    errors = AxisErrors(*zero.T, *np.tile(now[-SHARED:, None], count))
    offsets, own = offsets_and_slopes(arrived, errors)
    behind = ~np.isfinite(offsets[0])
    offsets[:, behind] = rows.offsets_arcmin[:, behind] + 1e4
    own[:, :, behind] = 0.0
    slopes = np.zeros((2, count, now.size))
    place = np.arange(count)
    for axis in range(2):
        slopes[axis, place, 2 * rows.pair] = own[axis, 0]
        slopes[axis, place, 2 * rows.pair + 1] = own[axis, 1]
        slopes[axis, :, -SHARED:] = own[axis, 2:].T
    return rows.offsets_arcmin - offsets, slopes


def _weighed(
    rows: SetupRows,
    residuals: FloatArray,
    slopes: FloatArray,
    precision: FloatArray,
    away: FloatArray,
    record: MountRecord,
    way: FloatArray,
    best: BoolArray,
) -> _Readings:
    """Every reading near the best one, fitted and weighed. `away` is the prior's mean from where this is linear."""
    sets = _readings_near(best)
    wrong = np.repeat(sets, _NODES.size, axis=0)
    spread = 1.0 / np.sqrt(2.0 * record.noise_degrees)
    noise = np.tile(record.noise_arcmin * np.exp(spread * _NODES), sets.shape[0])
    variance = noise[:, None] ** 2 + (record.reading_share * way) ** 2
    variance = np.where(rows.is_centring, np.nan_to_num(rows.fixed_sd_arcmin) ** 2, variance)
    variance = np.where(wrong, WRONG_SD_ARCMIN**2, variance)
    heard = 1.0 / variance
    gram = np.einsum("ami,amj->mij", slopes, slopes)
    pull = np.einsum("ami,am->mi", slopes, residuals)
    inner = precision + np.einsum("km,mij->kij", heard, gram)
    outer = precision @ away + heard @ pull
    covariance = np.linalg.inv(inner)
    step = np.einsum("kij,kj->ki", covariance, outer)
    fit = np.einsum("ki,ki->k", outer, step) - heard @ (residuals**2).sum(axis=0)
    evidence = 0.5 * (fit - np.linalg.slogdet(inner)[1]) - np.log(variance).sum(axis=1)
    evidence += 0.5 * (np.linalg.slogdet(precision)[1] - away @ precision @ away)
    chance = np.log(record.wrong_share) - np.log1p(-record.wrong_share)
    evidence += wrong.sum(axis=1) * chance + np.tile(np.log(_WEIGHTS / _WEIGHTS.sum()), sets.shape[0])
    total = float(np.logaddexp.reduce(evidence))
    return _Readings(
        wrong=wrong,
        share=np.exp(evidence - total),
        step=step,
        covariance=covariance,
        noise_arcmin=noise,
        log_evidence=total,
    )


def _readings_near(best: BoolArray) -> BoolArray:
    """Sets of wrong rows (k, m): the best so far, and those that differ from it in a row or two."""
    count = best.size
    changed = [(), *((row,) for row in range(count))]
    if count <= MOST_IN_PAIRS:
        changed += list(combinations(range(count), 2))
    sets = np.tile(best, (len(changed), 1))
    for place, which in enumerate(changed):
        sets[place, list(which)] ^= True
    return sets


def _answer(
    rows: SetupRows,
    arrivals: Arrivals,
    record: MountRecord,
    now: FloatArray,
    readings: _Readings,
    residuals: FloatArray,
) -> SetupFit:
    """The mixture of all readings, by the law of total variance."""
    middle = readings.share @ readings.step
    apart = (readings.step - middle)[:, -SHARED:]
    inside = np.einsum("k,kij->ij", readings.share, readings.covariance[:, -SHARED:, -SHARED:])
    covariance = inside + np.einsum("k,ki,kj->ij", readings.share, apart, apart)
    mean = now[-SHARED:]
    measured = ~rows.is_centring
    count = int(np.count_nonzero(measured))
    before = np.concatenate([record.polar_sd, np.sqrt(np.diagonal(record.mechanical_covariance))])
    sds = np.sqrt(np.diagonal(covariance))
    estimates = [
        Estimate(float(value), float(sd), count, bool(count > 0 and sd < 0.5 * usual))
        for value, sd, usual in zip(mean, sds, before, strict=True)
    ]
    wrong = readings.share @ readings.wrong
    by_arrival = np.full((4, arrivals.is_sync.size), np.nan)
    by_arrival[:3, rows.arrival[measured]] = [wrong[measured], *residuals[:, measured]]
    by_arrival[3, rows.arrival[~measured]] = wrong[~measured]
    altitude, azimuth, cone, squareness, sag = estimates
    return SetupFit(
        polar_altitude=altitude,
        polar_azimuth=azimuth,
        cone=cone,
        squareness=squareness,
        sag=sag,
        mean=mean,
        covariance=covariance,
        wrong_arrival=by_arrival[0],
        wrong_centring=by_arrival[3],
        residual_east_arcmin=by_arrival[1],
        residual_north_arcmin=by_arrival[2],
        noise_arcmin=float(readings.share @ readings.noise_arcmin),
        log_evidence=readings.log_evidence,
    )
