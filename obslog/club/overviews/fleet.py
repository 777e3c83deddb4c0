"""The fleet side by side: where each mount's go-tos land since its last mechanical service, the worst first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from obslog.club.performance.error_sources import ErrorSources, sources_of
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.snapshot import Snapshot
from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.trends.series.geometric_mean import geometric_mean
from obslog.values import Interval

TWICE = 2.0
"""Beside the club's average: a mount that may be so much worse is not said to be no worse; judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetLine:
    """A mount: how many set-ups have a landing since `since` (None: ever since), and the mean of their radii.

    A radius is that inside which half of a set-up's go-tos landed; their mean is a geometric one. `own` is what the
    mount itself does beside the club's average of 1, with observers and sites allowed for; None where nothing tells.
    """

    mount: str
    since: date | None
    setups: int
    half_arcmin: Interval
    own: Interval | None

    @property
    def worse_itself(self) -> bool:
        """Whether the mount itself lands farther out than the club's average, whoever sets it up."""
        return self.own is not None and self.own.low is not None and self.own.low > 1

    @property
    def may_be_twice(self) -> bool:
        """Whether it may land twice as far out as the average, for all that is known: then it is not cleared."""
        return self.own is None or self.own.high is None or self.own.high > TWICE


@dataclass(frozen=True, slots=True)
class Fleet:
    """All mounts with landings, the worst first, those without, and the mean of all their set-ups."""

    lines: Sequence[FleetLine]
    silent: Sequence[str]
    all_setups: Interval | None


def fleet_of(snapshot: Snapshot) -> Fleet:
    """The mounts as they land now, with what is on record since each was last mended."""
    landings, sources = snapshot.all_landings(), _sources(snapshot)
    lines, silent, logs = [], [], []
    for key, mount in snapshot.mounts.items():
        services = snapshot.services.get(key, ())
        since = services[-1] if services else None
        log_error = _since(landings, [one == key for one in landings.mounts], since)
        half = geometric_mean(log_error)
        if half is None:
            silent.append(mount.name)
            continue
        effect = sources.of_mount(key) if sources else None
        lines.append(
            FleetLine(
                mount=mount.name,
                since=since,
                setups=half.count,
                half_arcmin=half,
                own=effect.ratio if effect else None,
            )
        )
        logs.append(log_error)
    return Fleet(
        lines=sorted(lines, key=lambda line: -line.half_arcmin.value),
        silent=silent,
        all_setups=geometric_mean(np.concatenate(logs)) if logs else None,
    )


def _sources(snapshot: Snapshot) -> ErrorSources | None:
    try:
        return sources_of(snapshot)
    except NothingToAttribute:
        return None


def _since(landings: Landings, mine: Sequence[bool], since: date | None) -> NDArray[np.float64]:
    """The logarithms of the radii of one mount's set-ups from a day on; what is not known is left out."""
    late = [since is None or setup.night >= since for setup in landings.setups]
    known = np.asarray(mine, bool) & np.asarray(late, bool) & np.isfinite(landings.log_error)
    return np.asarray(landings.log_error[known])
