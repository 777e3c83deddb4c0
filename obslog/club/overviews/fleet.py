"""The fleet side by side: where each mount's go-tos land since its last mechanical service, the worst first."""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.performance.error_sources import sources_of
from obslog.club.performance.mount_levels import MountLevel, mount_levels
from obslog.club.performance.snapshot import Snapshot
from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.values import Interval

TWICE = 2.0
"""Beside the club's average: a mount that may be so much worse is not said to be no worse; judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FleetLine:
    """A mount: how many set-ups have a landing since `since` (None: ever since), and the mean of their radii.

    Of one that had several tubes since then each has a line; `name` is that of the mount, with its tube where it had
    several.

    A radius is that inside which half of a set-up's go-tos landed; their mean is a geometric one. `own` is what the
    mount itself does beside the club's average of 1, with observers and sites allowed for; None where nothing tells.
    """

    mount: str
    since: date | None
    setups: int
    half_arcmin: Interval
    own: Interval | None
    name: str

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
    landings = snapshot.all_landings()
    levels = mount_levels(landings, snapshot.services, snapshot.tubes)
    tells = np.isfinite(landings.log_error)
    of_level: dict[MountLevel, list[int]] = {}
    for place, level in enumerate(levels):
        if level.era.until is None and tells[place]:
            of_level.setdefault(level, []).append(place)
    own = _own_of(snapshot)
    lines = [
        FleetLine(
            mount=level.era.mount,
            since=services[-1] if (services := snapshot.services.get(level.era.key, ())) else None,
            setups=len(places),
            half_arcmin=half,
            own=own.get(level),
            name=f"{level.era.mount}{level.with_tube}",
        )
        for level, places in of_level.items()
        if (half := landings.mean_half_arcmin(places)) is not None
    ]
    known = {level.era.key for level in of_level}
    every = [place for places in of_level.values() for place in places]
    return Fleet(
        lines=sorted(lines, key=lambda line: -line.half_arcmin.value),
        silent=[mount.name for key, mount in snapshot.mounts.items() if key not in known],
        all_setups=landings.mean_half_arcmin(every) if every else None,
    )


def _own_of(snapshot: Snapshot) -> Mapping[Hashable, Interval]:
    """What each mount does by itself beside the club's average, by its level; nothing where that cannot be told."""
    try:
        effects = sources_of(snapshot).effects
    except NothingToAttribute:
        return {}
    return {effect.level: effect.ratio for effect in effects if effect.factor == "mount"}
