"""A mount over the months: how far its polar axis stood from the pole, and what changed in its mechanics.

What changed it is a service, or something that nobody wrote down and the joint fit found.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.over_time.landing_history import untried
from obslog.club.over_time.restarts import Restarts
from obslog.club.performance.landing_errors import DAYS_PER_YEAR
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import PlacedArrivals
from obslog.english import counted
from obslog.pointing.joint_fit.answer import PointingFit
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.pointing.model.frames import FloatArray
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Slope, Verdict
from obslog.trends.series.trend import Trend, trend_of
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MECHANICAL_TERMS, MountType

WELL_KNOWN = 0.5
"""Of a separation: its standard deviation beside how far the axis usually stood. Of one that is known worse the
uncertainty is a part of the distance, and better measuring would look like a better axis; judged."""


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
    """What a term was before and after `since`: the day of a service, or the first night of an unrecorded change.

    A change that is not determined: the arrivals do not tell.
    """

    since: date
    on_record: bool
    term: str
    before_arcmin: Estimate
    after_arcmin: Estimate
    change_arcmin: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class MechanicsOverTime:
    """A mount's polar axes and its mechanical errors over the months, with one tube."""

    mount: str
    mount_type: MountType
    tube: str | None
    polar_trend: PolarTrend
    mechanical_changes: list[MechanicalChange]


def mechanics_over_time(
    records: Database | MountFits, mount_name: str, tube_name: str | None = None
) -> MechanicsOverTime:
    """The trend of polar errors since the mount became another the last time, and what changed each time.

    Raises UnknownName, MountTypeUnknown, NothingPlaced, NothingMeasured.
    Neglects: that eras share the estimate of the share of wrong stars, all but nothing beside their own uncertainty.
    """
    with fits_from(records) as fits:
        fitted = fits.fitted(mount_name, tube_name)
    placed, fit = fitted.placed, fitted.fit
    restarts = _restarts(placed.era_since, fitted.changes)
    return MechanicsOverTime(
        mount=placed.mount,
        mount_type=placed.machine.mount_type,
        tube=placed.tube,
        polar_trend=_polar_trend(placed, fit, restarts),
        mechanical_changes=mechanical_changes(placed.era_since, fit, restarts),
    )


def _restarts(era_since: Sequence[date], changes: Sequence[FoundChange]) -> Restarts:
    """What began each era but the first."""
    unrecorded = {change.since for change in changes}
    return Restarts(services=[day for day in era_since[1:] if day not in unrecorded], changes=changes)


def mechanical_changes(
    era_since: Sequence[date], fit: PointingFit, restarts: Restarts
) -> list[MechanicalChange]:
    """The change of each term from each era to the next; `era_since` are the first days of the eras."""
    return [
        _change(
            since, term, getattr(before, term), getattr(after, term), on_record=since in restarts.services
        )
        for since, before, after in zip(era_since[1:], fit.mechanical, fit.mechanical[1:], strict=False)
        for term in MECHANICAL_TERMS
    ]


def _change(
    since: date, term: str, before: Estimate, after: Estimate, *, on_record: bool
) -> MechanicalChange:
    change = Estimate(
        after.value - before.value,
        float(np.hypot(before.sd, after.sd)),
        before.count + after.count,
        before.determined and after.determined,
    )
    return MechanicalChange(
        since=since,
        on_record=on_record,
        term=term,
        before_arcmin=before,
        after_arcmin=after,
        change_arcmin=change,
    )


def _polar_trend(placed: PlacedArrivals, fit: PointingFit, restarts: Restarts) -> PolarTrend:
    axes = [PolarAxis(key, setup.separation) for key, setup in zip(placed.setups, fit.setups, strict=True)]
    found = _trend_of_axes(axes, placed, restarts)
    unknown = sum(not axis.separation_arcmin.determined for axis in axes)
    vague = len(axes) - unknown - int(np.isfinite(log_separations(axes)).sum())
    what = "lean" if placed.machine.mount_type is MountType.ALTAZ else "axis"
    left_out = [
        f"{counted(count, 'set-up')} whose {what} is {how} {'is' if count == 1 else 'are'} left out"
        for count, how in ((unknown, "not determined"), (vague, "known too vaguely"))
        if count
    ]
    return PolarTrend(axes, found.slope, found.verdict, [*found.reasons, *left_out])


def _trend_of_axes(axes: list[PolarAxis], placed: PlacedArrivals, restarts: Restarts) -> Trend:
    years = np.array([axis.setup.night.toordinal() for axis in axes]) / DAYS_PER_YEAR
    begins = np.flatnonzero(np.diff(placed.era_of_setup)) + 1
    since = restarts.since_words(axes[0].setup.night, axes[-1].setup.night)
    found = trend_of(years, log_separations(axes), begins.tolist(), since_words=since)
    return untried(found, placed.serviced_since) if placed.serviced_since else found


def log_separations(axes: Sequence[PolarAxis]) -> FloatArray:
    """Natural logarithms; nan where the arrivals do not determine the axis, or not beside how far it usually stood.

    A separation holds its own uncertainty: an axis on the pole that is known to 20' seems some 25' away.
    """
    away = np.array([axis.separation_arcmin.value for axis in axes])
    sd = np.array([axis.separation_arcmin.sd for axis in axes])
    known = np.array([axis.separation_arcmin.determined for axis in axes], bool) & (away > 0)
    if known.any():
        known &= sd <= WELL_KNOWN * np.median(away[known])
    return np.asarray(np.log(np.where(known, away, np.nan)))
