"""The club's set-ups as one model of log landing error sees them: numbers and codes, in order of mount and time."""

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from obslog.trends.series.covariates import FEWEST_NIGHTS, SHORTEST_YEARS

Array = NDArray[np.float64]
Codes = NDArray[np.intp]


@dataclass(frozen=True, kw_only=True)
class ClubSetups:
    """Set-ups (n,) whose landing error is known, those of one era of a mount together and in order of time.

    `log_error` is the natural logarithm, `log_sd` how well it is known; `era` numbers the eras of mounts from 0;
    `observer` and `site` are codes, -1 where nobody wrote it down; `temperature_c` is nan where there is none. `tube`
    has a code for each tube of an era that had several, -1 in eras that had one.
    """

    years: Array
    log_error: Array
    log_sd: Array
    era: Codes
    observer: Codes
    site: Codes
    temperature_c: Array
    tube: Codes

    @property
    def count(self) -> int:
        return self.years.size

    @cached_property
    def eras(self) -> int:
        return int(self.era[-1]) + 1 if self.count else 0

    @cached_property
    def begins(self) -> NDArray[np.bool_]:
        """Which set-ups are the first of their era."""
        return np.r_[True, np.diff(self.era) != 0] if self.count else np.zeros(0, bool)

    @cached_property
    def night(self) -> Codes:
        """Numbers of the nights of eras, from 0, (n,): set-ups of an era at one time are of one night."""
        return np.cumsum(self.begins | (np.diff(self.years, prepend=np.nan) != 0)) - 1

    @cached_property
    def night_begins(self) -> Codes:
        """The place of the first set-up of each night of an era."""
        return np.flatnonzero(np.diff(self.night, prepend=-1))

    @cached_property
    def nights(self) -> Codes:
        """On how many nights each era was set up, (eras,)."""
        return np.bincount(self.era[self.night_begins], minlength=self.eras)

    @cached_property
    def middle_years(self) -> Array:
        """The mean time of each era (eras,), from which its slope is counted."""
        return self.sums(self.years) / np.bincount(self.era, minlength=self.eras)

    @cached_property
    def since_middle(self) -> Array:
        return self.years - self.middle_years[self.era]

    def sums(self, values: Array) -> Array:
        """The sum of values (n,) over each era, (eras,)."""
        return np.asarray(np.bincount(self.era, weights=values, minlength=self.eras), dtype=float)

    @property
    def adjusted_for(self) -> list[str]:
        """What the model allows for: what differs among these set-ups."""
        told = [
            ("observer", self.observer.max(initial=-1) > 0),
            ("site", self.site.max(initial=-1) > 0),
            ("tube", self.tube.max(initial=-1) > 0),
            ("season", self.has_season),
            ("temperature", self.has_temperature),
        ]
        return [name for name, there in told if there]

    @property
    def has_season(self) -> bool:
        """Ten set-ups over a year or more: a part of a year cannot be told from a slope."""
        return self.count >= FEWEST_NIGHTS and float(np.ptp(self.years)) >= SHORTEST_YEARS

    @property
    def has_temperature(self) -> bool:
        known = self.temperature_c[np.isfinite(self.temperature_c)]
        return known.size >= FEWEST_NIGHTS and float(np.ptp(known)) > 0


def club_setups(
    years: ArrayLike,
    log_error: ArrayLike,
    log_sd: ArrayLike,
    *,
    era: Sequence[int],
    observer: Sequence[Hashable | None],
    site: Sequence[Hashable | None],
    temperature_c: ArrayLike | None = None,
    tube: Sequence[Hashable | None] | None = None,
) -> ClubSetups:
    """Set-ups from arrays (n,) without nan in error and sd; `era` rises from 0, the times within each era too.

    Errors are those without the bias of few arrivals, or a mount whose nights have ever more of them would seem to get
    worse. A tube of None is one that nobody wrote down.
    """
    when = np.asarray(years, float)
    warmth = np.full(when.size, np.nan) if temperature_c is None else np.asarray(temperature_c, float)
    return ClubSetups(
        years=when,
        log_error=np.asarray(log_error, float),
        log_sd=np.asarray(log_sd, float),
        era=np.asarray(era, np.intp),
        observer=coded(observer),
        site=coded(site),
        temperature_c=warmth,
        tube=tubes_of_eras(era, [None] * when.size if tube is None else tube),
    )


def tubes_of_eras(era: Sequence[int], tube: Sequence[Hashable | None]) -> Codes:
    """Codes of the tubes (n,), those of each era for themselves; -1 in an era of which fewer than two are known.

    How far from square a tube stands belongs to it on this mount. One that nobody wrote down is taken for the tube of
    the era where that had one, and for one more where it had several.
    """
    known: dict[int, set[Hashable]] = {}
    for number, name in zip(era, tube, strict=True):
        known.setdefault(number, set()).update({name} - {None})
    several = [len(known[number]) > 1 for number in era]
    return coded(
        [f"{number} {name}" if told else None for number, name, told in zip(era, tube, several, strict=True)]
    )


def coded(names: Sequence[Hashable | None]) -> Codes:
    """Codes from 0 in order of the names, -1 for None."""
    place = {name: code for code, name in enumerate(sorted({n for n in names if n is not None}, key=str))}
    return np.array([-1 if name is None else place[name] for name in names], dtype=np.intp)
