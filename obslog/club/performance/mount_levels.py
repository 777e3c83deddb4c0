"""As what a mount is known in one model of all the club's set-ups: in an era, and with one of its tubes.

How far from square a tube stands belongs to that tube on this mount: with two tubes a mount lands like two mounts.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

import numpy as np

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mechanical_services import MountEra, era_of
from obslog.club.performance.placed_arrivals import NEWEST_SETUPS


@dataclass(frozen=True, slots=True)
class MountLevel:
    """An era of a mount; where that had several tubes, with one of them: `tube` None is then one not on record."""

    era: MountEra
    one_of_several: bool = False
    tube_key: UUID | None = None
    tube: str | None = None

    @property
    def with_tube(self) -> str:
        """With which tube, where there were several: ` with Long tube`."""
        return with_tube_words(self.tube) if self.one_of_several else ""

    def __str__(self) -> str:
        until = "" if self.era.until is None else f" until {self.era.until}"
        return f"{self.era.mount}{self.with_tube}{until}"


def with_tube_words(tube: str | None) -> str:
    """With which of a mount's several tubes: ` with Long tube`."""
    return f" with {tube}" if tube else " with no tube on record"


def mount_levels(
    landings: Landings, services: Mapping[UUID, Sequence[date]], tubes: Mapping[UUID, str]
) -> list[MountLevel]:
    """The level of each set-up; `tubes` are their names.

    A tube that nobody wrote down is taken for the tube of the era where that had one, and for one more where it had
    several, as in the trend. Neglects: that a mount's eras and tubes have more in common than two mounts have.
    """
    eras = [
        era_of(mount, setup.mount, setup.night, services.get(mount, ()))
        for mount, setup in zip(landings.mounts, landings.setups, strict=True)
    ]
    known: dict[MountEra, set[UUID]] = {}
    tells = np.isfinite(landings.log_error) & np.isfinite(landings.errors.log_sd)
    for era, tube, told in zip(eras, landings.tubes, tells.tolist(), strict=True):
        if told and tube is not None:
            known.setdefault(era, set()).add(tube)
    return [
        MountLevel(era, True, tube, tubes[tube] if tube else None)
        if len(known.get(era, ())) > 1
        else MountLevel(era)
        for era, tube in zip(eras, landings.tubes, strict=True)
    ]


def levels_now(levels: Sequence[MountLevel]) -> dict[UUID, MountLevel]:
    """As what each mount is known today, from levels in order of time: with the tube used most of late.

    A mount that was not set up since its last mechanical service is not there.
    """
    present: dict[UUID, list[MountLevel]] = {}
    for level in levels:
        if level.era.until is None:
            present.setdefault(level.era.key, []).append(level)
    return {  # of as many the one used last
        key: Counter(its[: -NEWEST_SETUPS - 1 : -1]).most_common(1)[0][0] for key, its in present.items()
    }
