"""How widely good arrivals scatter, and how many are wrong: what the mixture learns besides the errors
themselves.

A good arrival's variance per axis is noise^2 + (reading share x way)^2: the mount's own scatter, which may
change at a service, and the eye's error, which grows with the way from the field centre that it had to judge.
"""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.joint_fit.arrivals import TYPICAL_NOISE_ARCMIN, TYPICAL_NOISE_DEGREES
from obslog.pointing.joint_fit.rows import FitRows
from obslog.pointing.model.frames import FloatArray, IntArray
from obslog.values import Estimate

WRONG_SD_ARCMIN = 40.0
TYPICAL_READING_SHARE, MOST_WAY_ARCMIN = 0.05, 180.0
"""Where the search for the share starts, and the widest way an eye is believed to judge; both judged."""
READING_DEGREES = 40.0
"""With fewer degrees of freedom the reading share cannot be told from the noise and is taken as none."""
WRONG_SHARE_PRIOR = (0.5, 9.5)
"""Worth half a wrong arrival in ten: a club that never erred is not sure it never will."""
LEAST_OWN_PART = 0.25
"""The eye never takes up all of the variance: the mount keeps a quarter of it."""
LEAST_NOISE_ARCMIN, MOST_NOISE_ARCMIN = 1e-4, 20.0
"""Noise as broad as the wrong arrivals would make the two alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Noise per axis of each era (eras,), reading share, share of wrong arrivals.

    `freedom` (m,) is how much of each row's two values is left after it has paid for unknowns, 0 to 1: rows
    that weigh more pay more.
    """

    era_noise_arcmin: FloatArray
    reading_share: float
    wrong_share: float
    freedom: FloatArray
    noise_arcmin: float

    @classmethod
    def first(cls, rows: FitRows) -> "Scatter":
        """Where the mixture starts: typical noise, few wrong, and a count of values less unknowns."""
        values = 2 * int(np.count_nonzero(~rows.is_centring))
        unknowns = 2 * rows.tree.era_of_setup.size + 3 * rows.tree.eras
        return cls(
            era_noise_arcmin=np.full(rows.noise_eras, TYPICAL_NOISE_ARCMIN),
            reading_share=TYPICAL_READING_SHARE,
            wrong_share=0.05,
            freedom=np.full(rows.arrival.size, max(0.2, 1.0 - unknowns / values)),
            noise_arcmin=TYPICAL_NOISE_ARCMIN,
        )

    def row_sd(self, rows: FitRows, way_arcmin: FloatArray) -> FloatArray:
        """Standard deviation per axis of each row if it is good, shape (m,)."""
        noise = self.era_noise_arcmin[rows.noise_era_of_row]
        sd = np.sqrt(noise**2 + (self.reading_share * way_arcmin) ** 2)
        return np.where(rows.is_centring, rows.fixed_sd_arcmin, sd)

    def expected(self, rows: FitRows) -> "Scatter":
        """The same with the mean, not the most probable value, of noise variances known from few values."""
        measured = ~rows.is_centring
        values = 2.0 * np.bincount(rows.noise_era_of_row[measured], self.freedom[measured], rows.noise_eras)
        degrees = np.maximum(values * (1.0 - self.wrong_share), TYPICAL_NOISE_DEGREES)
        return replace(self, era_noise_arcmin=self.era_noise_arcmin * np.sqrt(degrees / (degrees - 2.0)))

    def updated(self, rows: FitRows, left: FloatArray, way_arcmin: FloatArray, good: FloatArray) -> "Scatter":
        """Noise, reading share and wrong share from residuals (2, m), given how probably each row is good.

        One step of weighted least squares for variances (a gamma regression with identity link).
        Source: P. McCullagh and J. A. Nelder, Generalized Linear Models, 2nd ed. (1989), section 8.
        """
        era, weight, square, way = self._measured(rows, left, way_arcmin, good)
        degrees = self._degrees(rows, good)
        flat, slope, steep = (np.bincount(era, weight * way**power, degrees.size) for power in (0, 2, 4))
        level = np.bincount(era, weight * square, degrees.size) / np.maximum(flat, 1e-300)
        lean = slope / np.maximum(flat, 1e-300)
        reading = 0.0
        if degrees.sum() >= READING_DEGREES:
            span = float((steep - slope * lean).sum())
            told = float((weight * way**2 * square).sum() - (slope * level).sum())
            reading = max(0.0, told / span) if span > 0.0 else 0.0
        level = np.maximum(level - lean * reading, LEAST_OWN_PART * level)
        whole: FloatArray = np.array([(level * degrees).sum() / max(degrees.sum(), 1e-9)])
        pooled = float(_leaning(whole, np.array([degrees.sum()]), TYPICAL_NOISE_ARCMIN**2)[0])
        by_era = _leaning(level, degrees, pooled)
        wrong, right = WRONG_SHARE_PRIOR
        share = (float((1.0 - good).sum()) + wrong) / (good.size + wrong + right)
        return replace(
            self,
            era_noise_arcmin=np.sqrt(by_era),
            reading_share=float(np.sqrt(reading)),
            wrong_share=share,
            noise_arcmin=float(np.sqrt(pooled)),
        )

    def estimates(self, rows: FitRows, left: FloatArray, good: FloatArray) -> tuple[Estimate, list[Estimate]]:
        """The mount's noise and that of each era, with standard deviations from the Fisher information."""
        way = way_arcmin(rows, left)
        era, weight, _, way = self._measured(rows, left, way, good)
        eras = self.era_noise_arcmin.size
        flat, slope, steep = (np.bincount(era, weight * way**power, eras) for power in (0, 2, 4))
        count = np.bincount(era, minlength=eras)
        degrees = self._degrees(rows, good)
        shared = slope.sum() ** 2 / steep.sum() if self.reading_share > 0.0 and steep.sum() > 0.0 else 0.0
        whole = _noise_estimate(
            self.noise_arcmin, float(flat.sum() - shared), int(count.sum()), float(degrees.sum())
        )
        return whole, [
            _noise_estimate(float(noise), float(told), int(number), float(free))
            for noise, told, number, free in zip(self.era_noise_arcmin, flat, count, degrees, strict=True)
        ]

    def _measured(
        self, rows: FitRows, left: FloatArray, way_arcmin: FloatArray, good: FloatArray
    ) -> tuple[IntArray, FloatArray, FloatArray, FloatArray]:
        """For the measured rows: era, weight of the variance, squared residual per axis, and way."""
        measured = ~rows.is_centring
        sd = self.row_sd(rows, way_arcmin)[measured]
        freedom = self.freedom[measured]
        square: FloatArray = (left[0] ** 2 + left[1] ** 2)[measured] / (2.0 * freedom)
        return rows.noise_era_of_row[measured], freedom * good[measured] / sd**4, square, way_arcmin[measured]

    def _degrees(self, rows: FitRows, good: FloatArray) -> FloatArray:
        """Degrees of freedom left in the good arrivals of each era."""
        measured = ~rows.is_centring
        told = 2.0 * self.freedom[measured] * good[measured]
        return np.bincount(rows.noise_era_of_row[measured], told, rows.noise_eras).astype(np.float64)


def way_arcmin(rows: FitRows, left: FloatArray) -> FloatArray:
    """How far from the field centre each row is predicted, shape (m,): what the eye had to judge."""
    predicted = rows.offsets_arcmin - left
    way: FloatArray = np.minimum(np.hypot(predicted[0], predicted[1]), MOST_WAY_ARCMIN)
    return way


def _leaning(variance: FloatArray, degrees: FloatArray, toward: float) -> FloatArray:
    """Variances that make up missing degrees of freedom with a value known beforehand, kept within bounds."""
    lean = np.maximum(0.0, TYPICAL_NOISE_DEGREES - degrees)
    mixed = (variance * degrees + lean * toward) / (degrees + lean)
    bounded: FloatArray = np.clip(mixed, LEAST_NOISE_ARCMIN**2, MOST_NOISE_ARCMIN**2)
    return bounded


def _noise_estimate(noise_arcmin: float, information: float, count: int, degrees: float) -> Estimate:
    """An estimate of noise from the information on its square; what it leans on counts too."""
    from_variance = 0.5 / (noise_arcmin * np.sqrt(information)) if information > 0.0 else np.inf
    at_most = noise_arcmin / np.sqrt(2.0 * TYPICAL_NOISE_DEGREES)
    sd = from_variance if degrees >= TYPICAL_NOISE_DEGREES else min(from_variance, at_most)
    return Estimate(noise_arcmin, float(sd), count, bool(degrees > 4.0))
