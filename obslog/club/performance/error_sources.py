"""Whose error it is: the club's landing errors split among mounts, observers and sites.

A mount counts anew from each mechanical service: what was mended is not laid to the mount that stands there today.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mechanical_services import MountEra, era_of
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

    A share that the data say nothing of has the sd nan. The level of a mount's effect is one of its eras.
    """

    setups: int
    shares: dict[str, Estimate]
    effects: list[Effect]
    cannot_tell: list[str]

    def of_mount(self, key: UUID) -> Effect | None:
        """The effect of a mount since its last mechanical service; None where no set-up since then tells of it."""
        for effect in self.effects:
            if isinstance(effect.level, MountEra) and (effect.level.key, effect.level.until) == (key, None):
                return effect
        return None


@dataclass(frozen=True, slots=True)
class Split:
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
        Split,
        lambda: _split(snapshot),
        readers={Hashable: _level},
    )
    if split.sources is None:
        raise NothingToAttribute(split.too_few)
    return split.sources


def _split(snapshot: Snapshot) -> Split:
    try:
        return Split(error_sources(snapshot.all_landings(), snapshot.services), 0)
    except NothingToAttribute as error:
        return Split(None, error.setups)


def _level(written: Any) -> Hashable:
    """A level of an effect: an era of a mount, or the name of an observer or a site."""
    return unpacked(packed(written), MountEra) if isinstance(written, dict) else str(written)


def error_sources(landings: Landings, services: Mapping[UUID, Sequence[date]]) -> ErrorSources:
    """Split the landing errors among the eras of mounts, observers and sites. Raises NothingToAttribute.

    Neglects: that a mount's eras have more in common than two mounts have; each is taken as a mount of its own.
    """
    levels: dict[str, Sequence[Hashable | None]] = {
        "mount": [
            era_of(mount, setup.mount, setup.night, services.get(mount, ()))
            for mount, setup in zip(landings.mounts, landings.setups, strict=True)
        ],
        "observer": landings.observers,
        "site": [setup.site for setup in landings.setups],
    }
    found = attribute(landings.log_error, landings.errors.log_sd, levels)
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
