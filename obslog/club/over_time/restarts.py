"""When a mount became another: its mechanical services, and the changes of its mechanics that nobody wrote down.

Of these only such count as the joint fit is sure of, came at once, and are large enough to show in where go-tos land: a
mount that wears out is to be told as worsening, and one that a hair was moved in goes on as it was.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.misfit.found_changes import FoundChange
from obslog.vocabulary.mounts import MECHANICAL_TERMS

SHOWS_FROM = 0.3
"""Of the radius that half of the go-tos land in: a change of so much adds 4 % to it, sqrt(1 + 0.3^2)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Restarts:
    """The days of a mount's mechanical services, and the changes that nobody wrote down, each in order."""

    services: Sequence[date]
    changes: Sequence[FoundChange]

    @property
    def days(self) -> list[date]:
        """All days on which the mount became another, in order; a night that begins on one comes after it."""
        return sorted({*self.services, *(change.since for change in self.changes)})

    def begun_by(self, last_night: date) -> FoundChange | None:
        """The change that began the era of that night; None where a service did, or nothing."""
        known = [change for change in self.changes if change.since <= last_night]
        if not known or (self.services and self.services[-1] >= known[-1].since):
            return None
        return known[-1]

    def since_words(self, first_night: date, last_night: date) -> str:
        """Since when set-ups of those nights count: ` since its cone error changed (2026-04-11)`; nothing: all do."""
        change = self.begun_by(last_night)
        if change is not None:
            changed = "changed" if change.sure else "may have changed"
            return f" since its {MECHANICAL_TERMS[change.term]} {changed} ({change.since})"
        return " since the last service" if self.services and self.services[-1] > first_night else ""


def restarts_of(fits: MountFits, mount: UUID) -> Restarts:
    """The restarts of a mount. Its changes are those of the fit with its most used tube, from what is kept of it."""
    snapshot = fits.snapshot
    services = snapshot.services.get(mount, ())
    half = snapshot.landings(mount).errors.half_arcmin
    known = half[np.isfinite(half)]
    if not known.size:
        return Restarts(services=services, changes=[])
    try:
        found = fits.summary_of(mount).changes
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return Restarts(services=services, changes=[])
    least = SHOWS_FROM * float(np.median(known))
    shown = [change for change in found if change.sure and abs(change.size_arcmin.value) >= least]
    return Restarts(services=services, changes=shown)


def restarts_of_club(fits: MountFits) -> Mapping[UUID, Restarts]:
    """The restarts of all mounts, by their keys."""
    fits.read_ahead()
    return {mount: restarts_of(fits, mount) for mount in fits.snapshot.mounts}
