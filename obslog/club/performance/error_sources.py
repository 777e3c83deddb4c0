"""Whose error it is: the club's landing errors split among mounts, observers and sites.

A mount counts anew from each mechanical service: what was mended is not laid to the mount that stands there today. One
that had several tubes counts with each of them by itself: a crooked one is laid neither to the mount with its others,
nor to who brought it, nor to the night.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_levels import MountLevel, mount_levels
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.packing import packed, unpacked
from obslog.records.database import Database
from obslog.records.kept_results import Result
from obslog.trends.attribution.attribution import Attribution, Effect, NothingToAttribute, attribute
from obslog.trends.attribution.confounding import Confounded
from obslog.values import Estimate

SOURCES = "error sources"
FACTORS = ("mount", "observer", "site")


@dataclass(frozen=True, slots=True)
class ErrorSources:
    """How much of the variance of log landing error is whose, the effects with the worst first, what cannot be told.

    A share that the data say nothing of has the sd nan. The level of a mount's effect is a `MountLevel`.
    """

    setups: int
    shares: dict[str, Estimate]
    effects: list[Effect]
    cannot_tell: list[str]

    @property
    def tubes_apart(self) -> bool:
        """Whether any mount counts with each of its tubes by itself."""
        return any(tube_of(effect) is not None for effect in self.effects)

    def of_mount(self, key: UUID) -> list[Effect]:
        """The effects of a mount since its last mechanical service: of each of its tubes, where it had several.

        Empty where no set-up since then tells of it.
        """
        return [
            effect
            for effect in self.effects
            if isinstance(level := effect.level, MountLevel)
            and (level.era.key, level.era.until) == (key, None)
        ]


def tube_of(effect: Effect) -> MountLevel | None:
    """The level of a mount that is known with one of several tubes; None of whatever else an effect is."""
    level = effect.level
    return level if isinstance(level, MountLevel) and level.one_of_several else None


@dataclass(frozen=True, slots=True)
class SourcesFound:
    """The sources, or of how many set-ups they could not be told."""

    sources: ErrorSources | None
    too_few: int


def whose_error(database: Database) -> ErrorSources:
    """Split the landing errors of all set-ups on record. Raises NothingToAttribute."""
    with snapshot_of(database) as snapshot:
        return sources_of(snapshot)


def sources_of(snapshot: Snapshot) -> ErrorSources:
    """The same from a snapshot: kept until anything of any mount's nights changes. Raises NothingToAttribute."""
    split = snapshot.kept.get(
        Result(SOURCES),
        snapshot.mounts,
        SourcesFound,
        lambda: _split(snapshot),
        readers={Hashable: _level},
    )
    if split.sources is None:
        raise NothingToAttribute(split.too_few)
    return split.sources


def _split(snapshot: Snapshot) -> SourcesFound:
    try:
        return SourcesFound(error_sources(snapshot.all_landings(), snapshot.services, snapshot.tubes), 0)
    except NothingToAttribute as error:
        return SourcesFound(None, error.setups)


def _level(written: Any) -> Hashable:
    """A level of an effect: that of a mount, or the name of an observer or a site."""
    return unpacked(packed(written), MountLevel) if isinstance(written, dict) else str(written)


def error_sources(
    landings: Landings, services: Mapping[UUID, Sequence[date]], tubes: Mapping[UUID, str]
) -> ErrorSources:
    """Split the landing errors among mounts, observers and sites. Raises NothingToAttribute."""
    levels: dict[str, Sequence[Hashable | None]] = {
        "mount": mount_levels(landings, services, tubes),
        "observer": landings.observers,
        "site": [setup.site for setup in landings.setups],
    }
    found = attribute(*landings.unbiased_logs, levels)
    return ErrorSources(
        found.count,
        {source: part.share for source, part in found.components.items()},
        _worst_first(found),
        [_confounded(c) for c in found.confounded],
    )


def _worst_first(found: Attribution) -> list[Effect]:
    effects = [effect for factor in FACTORS for effect in found.effects.get(factor, ())]
    return sorted(effects, key=lambda effect: -effect.worse)


def _confounded(group: Confounded) -> str:
    """Two groups that only met each other, in words."""
    one, other = (" and ".join(names) for names in (group.first, group.second))
    if len(group.first) == len(group.second) == 1:
        return f"{one} and {other} were always used together: their effects cannot be separated"
    return f"{one} were only ever used with {other}: what they have in common cannot be separated"
