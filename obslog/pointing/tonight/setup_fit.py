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
MOST_IN_PAIRS = 9
"""Up to so many rows any two may be wrong at once; of more, one more or less than the best reading has."""
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
FAR_SHARE, FAR_SD_ARCMIN = 0.15, 90.0
"""How often an axis is not where this mount's usually is, and how far off it then may be; judged."""
SHARED = 5
"""Two polar errors and three mechanical ones act on every row; two zero points on the rows of a pair."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupFit:
    """What a set-up's arrivals say, arcminutes; covariance (5, 5) of polar altitude and azimuth, cone, squareness, sag.

    `wrong_arrival`, the probability that what was measured is wrong, `wrong_centring`, that the star of a sync was not
    the one meant, and the residuals (seen minus predicted) are (n,), nan where an arrival tells nothing of the kind.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Readings:
    """Readings (k,): which rows each takes for wrong (k, m), their probabilities, and means and covariances.

    `evidence` (k,) is the log of how probable the arrivals are under each, times that of the reading itself.
    """

    wrong: BoolArray
    share: FloatArray
    step: FloatArray
    covariance: FloatArray
    noise_arcmin: FloatArray
    evidence: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class _Linear:
    """The model about some unknowns: residuals (2, m), slopes (2, m, u), and the prior's mean from there (u,)."""

    rows: SetupRows
    residuals: FloatArray
    slopes: FloatArray
    away: FloatArray


def fit_setup(machine: Machine, arrivals: Arrivals, record: MountRecord) -> SetupFit:
    """What the arrivals of one set-up, in order of time, say beside the mount's record.

    Estimates are means of the posterior. A polar error is determined where its sd is under half of what it usually is,
    a mechanical one where it is under half of the record's. Without rows that tell anything the record comes back.
    Source: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms (2003), chapters 27 and 28 (evidence
    of a linear model).
    Neglects: readings with three or more wrong rows beside the best one.
    """
    rows = setup_rows(machine, arrivals, record.mechanical_mean)
    prior_mean = np.concatenate([rows.zero_start.ravel(), np.zeros(2), record.mechanical_mean])
    priors = _priors(record, rows.zero_start.size)
    arrived = Arrived.of(rows.stars, machine.mount_type, machine.corrects_refraction)
    now, best = prior_mean, np.zeros(rows.arrival.size, dtype=np.bool_)
    for _ in range(ROUNDS):
        residuals, slopes = _linearised(rows, arrived, now)
        linear = _Linear(rows=rows, residuals=residuals, slopes=slopes, away=prior_mean - now)
        readings = _weighed(linear, priors, record, best)
        top = int(np.argmax(readings.share))
        there = now + readings.share @ readings.step
        moved = np.abs(there - now)[-SHARED:].max()
        same = bool(np.array_equal(best, readings.wrong[top]))
        now, best = there, readings.wrong[top]
        if moved < STILL_ARCMIN and same:
            break
    return _answer(rows, arrivals, record, now, readings, residuals)


def _priors(record: MountRecord, zeros: int) -> list[tuple[float, FloatArray]]:
    """What is believed of all unknowns before any arrival: shares, and the precision of each belief.

    The axis stands as it usually does with this mount, or now and then much farther off: nobody looked, or the tripod
    was kicked.
    """
    precision = np.zeros((zeros + SHARED, zeros + SHARED))
    free = np.arange(zeros)
    precision[free, free] = ZERO_SD_ARCMIN**-2.0
    precision[-3:, -3:] = np.linalg.inv(record.mechanical_covariance)
    polar = zeros + np.arange(2)
    beliefs = []
    for share, sd in (
        (1.0 - FAR_SHARE, record.polar_sd),
        (FAR_SHARE, np.maximum(record.polar_sd, FAR_SD_ARCMIN)),
    ):
        one = precision.copy()
        one[polar, polar] = sd**-2.0
        beliefs.append((share, one))
    return beliefs


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
    linear: _Linear, priors: list[tuple[float, FloatArray]], record: MountRecord, best: BoolArray
) -> _Readings:
    """Every reading near the best one, fitted under each belief and weighed."""
    parts = [_under(linear, precision, record, best) for _, precision in priors]
    evidence = np.concatenate(
        [np.log(share) + part.evidence for (share, _), part in zip(priors, parts, strict=True)]
    )
    total = float(np.logaddexp.reduce(evidence))
    return _Readings(
        wrong=np.concatenate([part.wrong for part in parts]),
        share=np.exp(evidence - total),
        step=np.concatenate([part.step for part in parts]),
        covariance=np.concatenate([part.covariance for part in parts]),
        noise_arcmin=np.concatenate([part.noise_arcmin for part in parts]),
        evidence=evidence,
    )


def _under(linear: _Linear, precision: FloatArray, record: MountRecord, best: BoolArray) -> _Readings:
    """The readings under one belief about the unknowns."""
    rows, residuals, slopes, away = linear.rows, linear.residuals, linear.slopes, linear.away
    way = np.minimum(np.hypot(*(rows.offsets_arcmin - residuals)), MOST_WAY_ARCMIN)
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
    return _Readings(
        wrong=wrong,
        share=np.exp(evidence - np.logaddexp.reduce(evidence)),
        step=step,
        covariance=covariance,
        noise_arcmin=noise,
        evidence=evidence,
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
    )
