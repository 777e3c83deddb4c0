"""A mount over the months: how far its polar axis stood from the pole, and what services changed in its mechanics."""

from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.performance.landing_errors import DAYS_PER_YEAR
from obslog.club.performance.landing_history import untried
from obslog.club.performance.placed_arrivals import PlacedArrivals, placed_arrivals
from obslog.pointing.joint_fit.estimates import PointingFit
from obslog.pointing.joint_fit.fit import fit_pointing
from obslog.pointing.model.frames import FloatArray
from obslog.records.opening import Database
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.trends.series.trend import Trend, trend_of
from obslog.values import Estimate

TERMS = ("cone", "squareness", "sag")


@dataclass(frozen=True, slots=True)
class PolarAxis:
    """How far the polar axis of a set-up (or a base from level) was off; not `determined`: it counts for no trend."""

    night: date
    setup: int
    site: str
    separation_arcmin: float
    sd_arcmin: float
    determined: bool


@dataclass(frozen=True, slots=True)
class PolarTrend:
    """The set-ups in order, the slope of the logarithm of their separations, and the verdict with its reasons."""

    setups: list[PolarAxis]
    slope: Slope | None
    verdict: Verdict
    reasons: list[str]


@dataclass(frozen=True, slots=True)
class MechanicalChange:
    """What the service of `since` did to a term. Not `determined`: the arrivals before or after it do not tell."""

    since: date
    term: str
    before_arcmin: float
    after_arcmin: float
    change_arcmin: float
    sd_arcmin: float
    determined: bool


@dataclass(frozen=True, slots=True)
class MechanicsOverTime:
    """A mount's polar axes and its mechanical errors over the months, with one tube."""

    mount: str
    tube: str | None
    polar_trend: PolarTrend
    mechanical_changes: list[MechanicalChange]


def mechanics_over_time(
    database: Database, mount_name: str, tube_name: str | None = None
) -> MechanicsOverTime:
    """The trend of polar errors since the last mechanical service, and what each service changed.

    Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
    Neglects: that eras share the estimate of the share of wrong stars, all but nothing beside their own uncertainty.
    """
    placed = placed_arrivals(database, mount_name, tube_name)
    fit = fit_pointing(placed.machine, placed.arrivals, placed.era_of_setup)
    return MechanicsOverTime(
        placed.mount, placed.tube, _polar_trend(placed, fit), mechanical_changes(placed.era_since, fit)
    )


def mechanical_changes(era_since: list[date], fit: PointingFit) -> list[MechanicalChange]:
    """The change of each term from each era to the next; `era_since` are the first days of the eras."""
    return [
        _change(since, term, getattr(before, term), getattr(after, term))
        for since, before, after in zip(era_since[1:], fit.mechanical, fit.mechanical[1:], strict=False)
        for term in TERMS
    ]


def _change(since: date, term: str, before: Estimate, after: Estimate) -> MechanicalChange:
    return MechanicalChange(
        since,
        term,
        before.value,
        after.value,
        after.value - before.value,
        float(np.hypot(before.sd, after.sd)),
        before.determined and after.determined,
    )


def _polar_trend(placed: PlacedArrivals, fit: PointingFit) -> PolarTrend:
    axes = [
        PolarAxis(
            label.night,
            label.setup,
            label.site,
            setup.separation.value,
            setup.separation.sd,
            setup.polar_altitude.determined and setup.polar_azimuth.determined,
        )
        for label, setup in zip(placed.setups, fit.setups, strict=True)
    ]
    found = _trend_of_axes(axes, placed)
    unknown = sum(not axis.determined for axis in axes)
    silent = (
        [f"{unknown} more tell{'s' if unknown == 1 else ''} nothing of where the axis stood"]
        if unknown
        else []
    )
    return PolarTrend(axes, found.slope, found.verdict, [*found.reasons, *silent])


def _trend_of_axes(axes: list[PolarAxis], placed: PlacedArrivals) -> Trend:
    years = np.array([axis.night.toordinal() for axis in axes]) / DAYS_PER_YEAR
    restarts = np.flatnonzero(np.diff(placed.era_of_setup)) + 1
    found = trend_of(years, _log_separation(axes), restarts.tolist())
    return untried(found, placed.serviced_since) if placed.serviced_since else found


def _log_separation(axes: list[PolarAxis]) -> FloatArray:
    """Natural logarithms; nan where the arrivals do not determine the axis, or say that it was on the pole itself."""
    known = [axis.determined and axis.separation_arcmin > 0 for axis in axes]
    separation = np.where(known, [axis.separation_arcmin for axis in axes], np.nan)
    return np.asarray(np.log(separation))
