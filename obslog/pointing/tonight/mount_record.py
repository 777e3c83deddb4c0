"""What is known of a mount before a set-up begins: where the fit of that set-up starts from.

It holds plain numbers, so that it can be kept and read without any computing.
"""

from dataclasses import dataclass, replace

import numpy as np

from obslog.pointing.joint_fit.answer import PointingFit, PolarFit
from obslog.pointing.joint_fit.arrivals import TYPICAL_NOISE_ARCMIN, TYPICAL_NOISE_DEGREES, Machine, Priors
from obslog.pointing.model.frames import FloatArray
from obslog.pointing.planning.expected_landing import Knowledge

FEWEST_FOR_A_HABIT = 3
LEAST_POLAR_SD_ARCMIN, MOST_POLAR_SD_ARCMIN = 20.0, 90.0
"""However well its axis stood so far, tonight's may not; judged."""
CARELESS_SETUPS = 2.0
"""Set-ups that happen to agree are no habit yet: their scatter is taken with so many more whose axes scatter by
`LEAST_POLAR_SD_ARCMIN`, where that is more; judged."""
MOST_NOISE_DEGREES = 8.0
"""Nights differ in wind and hands, and mounts wear: no record tells tonight's scatter better than that; judged."""
USUAL_WRONG_SHARE, LEAST_WRONG_SHARE, MOST_WRONG_SHARE = 0.05, 0.01, 0.1
"""One night gone all wrong fills a record with wrong arrivals, and says nothing of tonight's; judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MountRecord:
    """What a mount's earlier set-ups say, arcminutes.

    `mechanical_mean` (3,) and `mechanical_covariance` (3, 3) are of cone, squareness and sag in the present mechanical
    era; `polar_sd` (2,) is how far its polar axis usually stands from the pole; `noise_arcmin` the scatter per axis of
    arrivals, known from `noise_degrees` degrees of freedom. `setups` counts the set-ups that this is from.
    `habit_mean` (2,) and `habit_sd` (2,) are where the axis stood over the `habit_setups` that determine it: what the
    stars are planned by, with careless set-ups allowed for; the usual where those are too few.
    """

    mechanical_mean: FloatArray
    mechanical_covariance: FloatArray
    polar_sd: FloatArray
    noise_arcmin: float
    noise_degrees: float
    reading_share: float
    wrong_share: float
    setups: int
    habit_mean: FloatArray
    habit_sd: FloatArray
    habit_setups: int

    def with_usual_mechanics(self) -> "MountRecord":
        """The same without what is known of cone, squareness and sag: what tonight alone says of them."""
        return replace(self, mechanical_mean=np.zeros(3), mechanical_covariance=usual_mechanics(), setups=0)


def known_before(machine: Machine, record: MountRecord) -> Knowledge:
    """What a mount's record says before tonight's first star, as the planning of sync stars takes it."""
    return Knowledge(
        machine=machine,
        polar_mean=record.habit_mean,
        polar_sd=record.habit_sd,
        mechanical_mean=record.mechanical_mean,
        mechanical_covariance=record.mechanical_covariance,
        noise_arcmin=record.noise_arcmin,
    )


def usual_mechanics() -> FloatArray:
    """The covariance (3, 3) of cone, squareness and sag of a mount of which nothing is known."""
    usual = Priors()
    return np.diag(np.array([usual.cone_arcmin, usual.squareness_arcmin, usual.sag_arcmin]) ** 2)


def nothing_known() -> MountRecord:
    """The record of a mount without earlier set-ups: errors of the usual size."""
    return MountRecord(
        mechanical_mean=np.zeros(3),
        mechanical_covariance=usual_mechanics(),
        polar_sd=np.full(2, Priors().polar_arcmin),
        noise_arcmin=TYPICAL_NOISE_ARCMIN,
        noise_degrees=TYPICAL_NOISE_DEGREES,
        reading_share=0.0,
        wrong_share=USUAL_WRONG_SHARE,
        setups=0,
        habit_mean=np.zeros(2),
        habit_sd=np.full(2, Priors().polar_arcmin),
        habit_setups=0,
    )


def record_of(fit: PointingFit, setups_of_era: int, *, serviced_since: bool) -> MountRecord:
    """What the joint fit of a mount's earlier set-ups says of the next one.

    `setups_of_era` counts those of its last mechanical era; `serviced_since` says that a mechanical service came after
    them all, which makes its mechanics unknown.
    """
    era = fit.mechanical[-1]
    noise = era.noise
    stood = _polar_errors(fit.setups)
    few = len(stood) < FEWEST_FOR_A_HABIT
    usual = np.full(2, Priors().polar_arcmin)
    degrees = 0.5 * (noise.value / noise.sd) ** 2 if noise.sd > 0.0 else TYPICAL_NOISE_DEGREES
    return MountRecord(
        mechanical_mean=np.zeros(3)
        if serviced_since
        else np.array([era.cone.value, era.squareness.value, era.sag.value]),
        mechanical_covariance=usual_mechanics() if serviced_since else era.covariance,
        polar_sd=usual if few else _usual_polar_sd(stood),
        noise_arcmin=noise.value,
        noise_degrees=float(min(degrees, MOST_NOISE_DEGREES)),
        reading_share=fit.reading_share,
        wrong_share=float(np.clip(fit.wrong_share, LEAST_WRONG_SHARE, MOST_WRONG_SHARE)),
        setups=0 if serviced_since else setups_of_era,
        habit_mean=np.zeros(2) if few else stood.mean(axis=0),
        habit_sd=usual if few else _habit_sd(stood),
        habit_setups=len(stood),
    )


def _polar_errors(setups: tuple[PolarFit, ...]) -> FloatArray:
    """Where the axis stood, by altitude and azimuth, in the set-ups that determine it, (k, 2)."""
    known = [s for s in setups if s.polar_altitude.determined and s.polar_azimuth.determined]
    return np.array([[s.polar_altitude.value, s.polar_azimuth.value] for s in known]).reshape(-1, 2)


def _habit_sd(stood: FloatArray) -> FloatArray:
    """How far from the mean of where it stood the axis may stand tonight.

    The mean of few is itself uncertain, and so is their scatter: what is to come follows Student's t, of which this is
    the standard deviation.
    Source: A. Gelman et al., Bayesian Data Analysis, 3rd ed. 2013, section 3.2.
    """
    scatter, freedom = stood.var(axis=0, ddof=1), len(stood) - 1
    known_from = freedom + CARELESS_SETUPS
    with_careless = (freedom * scatter + CARELESS_SETUPS * LEAST_POLAR_SD_ARCMIN**2) / known_from
    one_more = (1.0 + 1.0 / len(stood)) * known_from / (known_from - 2.0)
    return np.asarray(np.sqrt(np.maximum(scatter, with_careless) * one_more))


def _usual_polar_sd(stood: FloatArray) -> FloatArray:
    """How far from the pole the axis stood as a rule: the root mean square."""
    usual: FloatArray = np.sqrt(np.mean(stood**2, axis=0))
    return np.clip(usual, LEAST_POLAR_SD_ARCMIN, MOST_POLAR_SD_ARCMIN)
