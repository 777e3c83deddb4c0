"""A mount over the months: how far its polar axis stood from the pole, and what services changed in its mechanics."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.over_time.landing_history import untried
from obslog.club.performance.landing_errors import DAYS_PER_YEAR
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.english import counted
from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.model.frames import FloatArray
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.trends.series.trend import Trend, trend_of
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MECHANICAL_TERMS


@dataclass(frozen=True, slots=True)
class PolarAxis:
    """How far the polar axis of a set-up (or a base from level) was off; not determined: it counts for no trend."""

    setup: SetupId
    separation_arcmin: Estimate


@dataclass(frozen=True, slots=True)
class PolarTrend:
    """The set-ups in order, the slope of the logarithm of their separations, and the verdict with its reasons."""

    setups: list[PolarAxis]
    slope: Slope | None
    verdict: Verdict
    reasons: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanicalChange:
    """What the service of `since` did to a term. A change that is not determined: the arrivals do not tell."""

    since: date
    term: str
    before_arcmin: Estimate
    after_arcmin: Estimate
    change_arcmin: Estimate


@dataclass(frozen=True, slots=True)
class MechanicsOverTime:
    """A mount's polar axes and its mechanical errors over the months, with one tube."""

    mount: str
    tube: str | None
    polar_trend: PolarTrend
    mechanical_changes: list[MechanicalChange]


def mechanics_over_time(
    records: Database | MountFits, mount_name: str, tube_name: str | None = None
) -> MechanicsOverTime:
    """The trend of polar errors since the last mechanical service, and what each service changed.

    Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
    Neglects: that eras share the estimate of the share of wrong stars, all but nothing beside their own uncertainty.
    """
    with fits_from(records) as fits:
        placed, fit = fits.of(mount_name, tube_name)
    return MechanicsOverTime(
        placed.mount, placed.tube, _polar_trend(placed, fit), mechanical_changes(placed.era_since, fit)
    )


def mechanical_changes(era_since: list[date], fit: PointingFit) -> list[MechanicalChange]:
    """The change of each term from each era to the next; `era_since` are the first days of the eras."""
    return [
        _change(since, term, getattr(before, term), getattr(after, term))
        for since, before, after in zip(era_since[1:], fit.mechanical, fit.mechanical[1:], strict=False)
        for term in MECHANICAL_TERMS
    ]


def _change(since: date, term: str, before: Estimate, after: Estimate) -> MechanicalChange:
    change = Estimate(
        after.value - before.value,
        float(np.hypot(before.sd, after.sd)),
        before.count + after.count,
        before.determined and after.determined,
    )
    return MechanicalChange(
        since=since, term=term, before_arcmin=before, after_arcmin=after, change_arcmin=change
    )


def _polar_trend(placed: PlacedArrivals, fit: PointingFit) -> PolarTrend:
    axes = [PolarAxis(key, setup.separation) for key, setup in zip(placed.setups, fit.setups, strict=True)]
    found = _trend_of_axes(axes, placed)
    unknown = sum(not axis.separation_arcmin.determined for axis in axes)
    without = f"{counted(unknown, 'set-up')} whose axis is not determined {'is' if unknown == 1 else 'are'} left out"
    silent = [without] if unknown else []
    return PolarTrend(axes, found.slope, found.verdict, [*found.reasons, *silent])


def _trend_of_axes(axes: list[PolarAxis], placed: PlacedArrivals) -> Trend:
    years = np.array([axis.setup.night.toordinal() for axis in axes]) / DAYS_PER_YEAR
    restarts = np.flatnonzero(np.diff(placed.era_of_setup)) + 1
    found = trend_of(years, _log_separation(axes), restarts.tolist())
    return untried(found, placed.serviced_since) if placed.serviced_since else found


def _log_separation(axes: list[PolarAxis]) -> FloatArray:
    """Natural logarithms; nan where the arrivals do not determine the axis, or say that it was on the pole itself."""
    away = [axis.separation_arcmin for axis in axes]
    known = [one.determined and one.value > 0 for one in away]
    separation = np.where(known, [one.value for one in away], np.nan)
    return np.asarray(np.log(separation))
