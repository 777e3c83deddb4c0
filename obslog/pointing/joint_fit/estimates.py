"""What the joint fit found: the arrays of a finished fit turned into its answer."""

from dataclasses import dataclass

import numpy as np

from obslog.pointing.joint_fit.answer import MechanicalFit, PointingFit, PolarFit, Suspect
from obslog.pointing.joint_fit.elimination import Elimination, Unknowns
from obslog.pointing.joint_fit.rows import FitRows
from obslog.pointing.joint_fit.scatter import Scatter, way_arcmin
from obslog.pointing.joint_fit.second_look import Readings
from obslog.pointing.model.frames import BoolArray, FloatArray, IntArray
from obslog.values import Estimate

SUSPECT_FROM = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The arrays of a finished fit.

    Residuals are (2, m), slopes (2, 7, m); `good` is each row's probability of being good; `other_readings` tell
    how far doubtful set-ups could be elsewhere.
    """

    rows: FitRows
    prior_sd: FloatArray
    unknowns: Unknowns
    scatter: Scatter
    elimination: Elimination
    residuals: FloatArray
    slopes: FloatArray
    good: FloatArray
    other_readings: Readings | None

    @property
    def row_sd_arcmin(self) -> FloatArray:
        """Standard deviation per axis of each row if it is good, (m,)."""
        return self.scatter.row_sd(self.rows, way_arcmin(self.rows, self.residuals))


def gathered(solution: Solution, arrivals: int, azimuth_factor: FloatArray) -> PointingFit:
    """The fit's arrays turned into estimates, one per set-up and era of the caller, used or not.

    `azimuth_factor` (set-ups,) is what an azimuth error is multiplied by on the sky: cos(latitude), or 1 for
    a base.
    """
    rows, scatter = solution.rows, solution.scatter
    measured = ~rows.is_centring
    by_arrival = np.full((2, arrivals), np.nan)
    by_arrival[:, rows.arrival[measured]] = solution.residuals[:, measured]
    noise, by_era = scatter.estimates(rows, solution.residuals, solution.good)
    return PointingFit(
        noise_arcmin=noise,
        reading_share=scatter.reading_share,
        wrong_share=scatter.wrong_share,
        mechanical=_mechanical_fits(solution, by_era),
        setups=_setup_fits(solution, azimuth_factor),
        residual_east_arcmin=by_arrival[0],
        residual_north_arcmin=by_arrival[1],
    )


def _mechanical_fits(solution: Solution, noise: list[Estimate]) -> tuple[MechanicalFit, ...]:
    tree = solution.rows.tree
    counts = np.bincount(
        tree.era_of_setup[tree.setup_of_row[~solution.rows.is_centring]], minlength=tree.eras
    )
    if solution.rows.scatters_since is not None:
        noise = [*noise[: tree.eras - 1], noise[-1]]  # of the last era the newest
    fits = []
    for era, covariance in enumerate(solution.elimination.mechanical_covariance):
        values = solution.unknowns.mechanical[era]
        cone, squareness, sag = _estimates(values, covariance, solution.prior_sd[4:], int(counts[era]))
        fits.append(
            MechanicalFit(cone=cone, squareness=squareness, sag=sag, noise=noise[era], covariance=covariance)
        )
    return tuple(fits)


def _setup_fits(solution: Solution, azimuth_factor: FloatArray) -> tuple[PolarFit, ...]:
    rows, good, prior_sd = solution.rows, solution.good, solution.prior_sd
    setups, used = azimuth_factor.size, rows.setup_number
    values, covariances = np.zeros((setups, 2)), np.tile(np.diag(prior_sd[2:4] ** 2), (setups, 1, 1))
    values[used] = solution.unknowns.polar
    covariances[used] = solution.elimination.polar_covariance(rows.tree)[:, :2, :2]
    if solution.other_readings is not None:
        covariances[used[solution.other_readings.setups]] += solution.other_readings.spread
    of_row = used[rows.tree.setup_of_row]
    measured = ~rows.is_centring
    counts = np.bincount(of_row[measured], minlength=setups)
    square = good * (solution.residuals**2).sum(axis=0) / 2.0
    with np.errstate(invalid="ignore"):
        mean_square = np.bincount(of_row[measured], square[measured], setups) / np.bincount(
            of_row[measured], good[measured], setups
        )
    altitude, azimuth = (_polar_estimates(values, covariances, prior_sd, counts, axis) for axis in (0, 1))
    away, away_sd = separations_arcmin(values, covariances, azimuth_factor)
    suspects = _suspects(of_row, solution)
    columns = zip(
        altitude,
        azimuth,
        away.tolist(),
        away_sd.tolist(),
        covariances,
        np.sqrt(mean_square).tolist(),
        strict=True,
    )
    return tuple(
        PolarFit(
            polar_altitude=up,
            polar_azimuth=side,
            separation=Estimate(far, sd, up.count, up.determined and side.determined),
            covariance=covariance,
            arrivals=up.count,
            rms_arcmin=rms,
            suspects=suspects.get(k, ()),
        )
        for k, (up, side, far, sd, covariance, rms) in enumerate(columns)
    )


def _polar_estimates(
    values: FloatArray, covariances: FloatArray, prior_sd: FloatArray, counts: IntArray, axis: int
) -> list[Estimate]:
    sd = np.sqrt(covariances[:, axis, axis])
    determined = (counts > 0) & (sd < 0.5 * prior_sd[2 + axis])
    columns = zip(values[:, axis].tolist(), sd.tolist(), counts.tolist(), determined.tolist(), strict=True)
    return [Estimate(*column) for column in columns]


def separations_arcmin(
    values: FloatArray, covariances: FloatArray, azimuth_factor: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """How far axes are from the pole on the sky, and the standard deviation, from polar errors (k, 2) and (k,
    2, 2).

    `azimuth_factor` (k,) is cos(latitude) for polar mounts. The standard deviation is by the slope at the
    estimate: a separation is never negative, and one smaller than its standard deviation is mostly noise.
    Neglects: terms of second order (0.5' at 2 degrees).
    """
    scale = np.stack([np.ones_like(azimuth_factor), azimuth_factor], axis=1)
    parts = values * scale
    scaled = covariances * scale[:, :, None] * scale[:, None, :]
    away = np.hypot(parts[:, 0], parts[:, 1])
    toward = parts / np.maximum(away, 1e-12)[:, None]
    variance = np.einsum("ki,kij,kj->k", toward, scaled, toward)
    variance = np.where(away > 0.0, variance, np.trace(scaled, axis1=1, axis2=2) / 2.0)
    return away, np.sqrt(variance)


def _estimates(
    values: FloatArray, covariance: FloatArray, prior_sd: FloatArray, count: int
) -> list[Estimate]:
    sds = np.sqrt(np.diagonal(covariance))
    return [
        Estimate(float(value), float(sd), count, bool(count > 0 and sd < 0.5 * prior))
        for value, sd, prior in zip(values, sds, prior_sd, strict=True)
    ]


def _suspects(of_row: IntArray, solution: Solution) -> dict[int, tuple[Suspect, ...]]:
    rows, residuals, good = solution.rows, solution.residuals, solution.good
    doubted: BoolArray = good < 1.0 - SUSPECT_FROM
    found: dict[int, tuple[Suspect, ...]] = {}
    for row in np.flatnonzero(doubted):
        suspect = Suspect(
            arrival=int(rows.arrival[row]),
            probability=float(1.0 - good[row]),
            east_arcmin=float(residuals[0, row]),
            north_arcmin=float(residuals[1, row]),
            at_centring=bool(rows.is_centring[row]),
        )
        found[int(of_row[row])] = (*found.get(int(of_row[row]), ()), suspect)
    return found
