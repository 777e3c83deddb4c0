"""Several mounts, each beside the first of them: how many times as far off it lands."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from obslog.club.over_time.landing_history import MountHistory, histories_together, recorded_landings
from obslog.club.over_time.own_trends import own_of_club
from obslog.club.performance.landing_errors import Landings, together
from obslog.club.performance.mount_fits import fits_from
from obslog.pointing.model.frames import BoolArray
from obslog.records.database import Database
from obslog.trends.attribution.two_sides import two_sides
from obslog.values import Interval


@dataclass(frozen=True, slots=True)
class MountBeside:
    """A mount's history, and its landing error divided by that of the first mount; None for that one itself."""

    history: MountHistory
    ratio: Interval | None


def compare_beside(database: Database, mount_names: Sequence[str]) -> list[MountBeside]:
    """Several mounts, or all that have arrivals, each beside the first. Raises UnknownName, NoArrivals."""
    with fits_from(database) as fits:
        snapshot = fits.snapshot
        keys = [snapshot.mount_named(name) for name in mount_names] or [
            key for key in snapshot.mounts if snapshot.landings(key).setups
        ]
        recorded = [recorded_landings(snapshot, key) for key in keys]
        histories = histories_together(recorded, own_of_club(snapshot))
        newest = [_since(one.landings, one.restarts.days) for one in recorded]
    ratios = [_beside(newest[0], other) for other in newest[1:]]
    return [MountBeside(history, ratio) for history, ratio in zip(histories, [None, *ratios], strict=False)]


def _since(landings: Landings, restarts: Sequence[date]) -> tuple[Landings, BoolArray]:
    """A mount's landings, and which of them are since its last restart."""
    last = restarts[-1] if restarts else date.min
    return landings, np.array([setup.night >= last for setup in landings.setups], dtype=bool)


def _beside(first: tuple[Landings, BoolArray], other: tuple[Landings, BoolArray]) -> Interval | None:
    """The landing error of another mount divided by that of the first, as both are now."""
    both = together([first[0], other[0]])
    log_error, log_sd = both.unbiased_logs
    error = np.where(np.concatenate([first[1], other[1]]), log_error, np.nan)
    second = np.arange(error.size) >= len(first[0].setups)
    sites = [setup.site for setup in both.setups]
    factors: dict[str, Sequence[Hashable | None]] = {"observer": both.observers, "site": sites}
    found = two_sides(error, log_sd, second, factors)
    return found.ratio if found else None
