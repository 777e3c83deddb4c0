"""How a mount landed beside the club with each of its tubes: that of today, and others that have set-ups enough."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import exp, nan
from typing import Self
from uuid import UUID

import numpy as np
from numpy.typing import NDArray

from obslog.club.performance.error_sources import tube_of
from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_levels import with_tube_words
from obslog.club.review.verdicts import LandedWith, OwnErrors
from obslog.trends.attribution.attribution import Effect


@dataclass(frozen=True, slots=True, kw_only=True)
class ClubLandings:
    """The landings of all mounts, the logarithms of their errors without the bias of few arrivals, and their average.

    `places` are those of each mount's set-ups that have a landing.
    """

    landings: Landings
    log_error: NDArray[np.float64]
    average: float
    places: Mapping[UUID, list[int]]

    @classmethod
    def of(cls, landings: Landings) -> Self:
        log_error, _ = landings.unbiased_logs
        places: dict[UUID, list[int]] = {}
        known = np.flatnonzero(np.isfinite(log_error))
        for place in known.tolist():
            places.setdefault(landings.mounts[place], []).append(place)
        average = float(log_error[known].mean()) if known.size else nan
        return cls(landings=landings, log_error=log_error, average=average, places=places)

    def since(self, mount: UUID, serviced_on: date | None) -> list[int]:
        """The places of a mount's set-ups that have a landing, from a day on."""
        return self._from(serviced_on, self.places.get(mount, ()))

    def all_since(self, mount: UUID, serviced_on: date | None) -> list[int]:
        """The same of all that have an arrival, with a landing or without."""
        its = [place for place, key in enumerate(self.landings.mounts) if key == mount]
        return self._from(serviced_on, its)

    def _from(self, day: date | None, places: Sequence[int]) -> list[int]:
        return [place for place in places if day is None or self.landings.setups[place].night >= day]

    def observers(self, places: Sequence[int]) -> int:
        """By how many people on record these were set up."""
        return len({self.landings.observers[place] for place in places} - {None})

    def raw_ratio(self, places: Sequence[int]) -> float | None:
        """Their landing error beside the club's average; None of none."""
        return exp(float(self.log_error[list(places)].mean()) - self.average) if places else None


def landed_with(
    mine: Sequence[int],
    every: Sequence[int],
    club: ClubLandings,
    tubes: Mapping[UUID, str],
    effects: Sequence[Effect],
    looked_at: Sequence[tuple[str | None, OwnErrors | None]],
) -> list[LandedWith]:
    """The tube that a mount has now, then others; `mine` are its set-ups in order of time, `effects` its own.

    `every` has those without a landing too, which the fit may tell of. `looked_at` are tubes with what the fit finds,
    that of today first; without any it is that of the newest set-up.
    """
    of_tube = {level.tube: effect.ratio for effect in effects if (level := tube_of(effect)) is not None}
    used = {place: None if (tube := club.landings.tubes[place]) is None else tubes[tube] for place in every}

    def by(name: str | None) -> int:
        return club.observers([place for place in every if used[place] == name])

    if not of_tube:
        (_, own), *others = looked_at or [(None, None)]
        fit_alone = own is not None and own.one_of_several and not effects
        whole = LandedWith(
            tube=None,
            with_tube="",
            observers=by(own.tube) if own is not None and fit_alone else club.observers(mine),
            effect=effects[0].ratio if effects else None,
            raw_ratio=club.raw_ratio(mine),
            own=own,
        )
        return [whole, *(_of_the_fit(other, by(other.tube)) for _, other in others if other is not None)]
    found = []
    for name, own in looked_at or [(used[mine[-1]], None)]:
        its = [place for place in mine if used[place] == name]
        found.append(
            LandedWith(
                tube=name,
                with_tube=with_tube_words(name),
                observers=club.observers(its) if name in of_tube else by(name),
                effect=of_tube.get(name),
                raw_ratio=club.raw_ratio(its),
                own=own,
            )
        )
    return found


def _of_the_fit(own: OwnErrors, observers: int) -> LandedWith:
    """A tube without a landing: the fit alone tells of it."""
    return LandedWith(
        tube=own.tube, with_tube=own.with_tube, observers=observers, effect=None, raw_ratio=None, own=own
    )
