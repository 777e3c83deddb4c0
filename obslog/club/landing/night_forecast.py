"""Where a coming night's go-tos will land, by the nights of this mount, this person and this site."""

from dataclasses import dataclass
from uuid import UUID

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mount_levels import MountLevel, mount_levels
from obslog.club.performance.snapshot import Snapshot
from obslog.estimate_words import arcmin_words
from obslog.records.kept_results import Result
from obslog.trends.attribution.attribution import NothingToAttribute
from obslog.trends.attribution.night_ahead import HALF_OF_NIGHTS, NINE_OF_TEN, Forecaster, forecaster

FORECASTER = "forecaster"
FEWEST_OF_MOUNT = 3
"""Set-ups of a mount since its last mechanical service: with fewer its own level is a guess from the others'."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NightForecast:
    """The radius in which half of a coming night's go-tos land: its middle, and between which it lies on half of such
    nights and on nine of ten, arcminutes; of how many set-ups of the mount.

    Of a mount that had several tubes it is by those with `tube` alone.
    """

    half_arcmin: float
    half_of_nights_arcmin: tuple[float, float]
    nine_of_ten_arcmin: tuple[float, float]
    setups: int
    tube: str | None = None

    @property
    def words(self) -> str:
        low, high = (arcmin_words(end) for end in self.half_of_nights_arcmin)
        least, most = (arcmin_words(end) for end in self.nine_of_ten_arcmin)
        nights = f"By past nights with {self.tube}" if self.tube else "By past nights"
        usual = f"{low} to {high} on half of such nights, {least} to {most} on nine of ten"
        return f"{nights} half of the go-tos land within {arcmin_words(self.half_arcmin)} ({usual})."


@dataclass(frozen=True, slots=True)
class Learnt:
    """What nights on record taught; None where they are too few."""

    forecaster: Forecaster | None


def night_forecast(
    snapshot: Snapshot, mount: UUID, tube: UUID | None, site: str | None, observer: str | None
) -> NightForecast | None:
    """The forecast for a mount as it is since its last mechanical service, with a tube; None where nights are too few.

    Where the mount had only one tube since, it is with that one. A person or site that is not known is anybody's.
    """
    learnt = learnt_from(snapshot).forecaster
    if learnt is None:
        return None
    era = _level_words(mount, None)
    had_one = learnt.count("mount", era) > 0
    if not had_one:
        era = _level_words(mount, None, (tube,))
    setups = learnt.count("mount", era)
    if setups < FEWEST_OF_MOUNT:
        return None
    ahead = learnt.night(mount=era, observer=observer, site=site)
    return NightForecast(
        half_arcmin=ahead.half_arcmin,
        half_of_nights_arcmin=ahead.within(HALF_OF_NIGHTS),
        nine_of_ten_arcmin=ahead.within(NINE_OF_TEN),
        setups=setups,
        tube=None if had_one or tube is None else snapshot.tubes[tube],
    )


def learnt_from(snapshot: Snapshot) -> Learnt:
    """What forecasts come from: kept until anything of any mount's nights changes."""
    return snapshot.kept.get(Result(FORECASTER), snapshot.mounts, Learnt, lambda: _learn(snapshot))


def factors_of(snapshot: Snapshot, landings: Landings) -> dict[str, list[str | None]]:
    """What landings are forecast from: the mount in its era and with its tube, the observer and the site of each."""
    levels = [_words_of(level) for level in mount_levels(landings, snapshot.services, snapshot.tubes)]
    sites = [setup.site for setup in landings.setups]
    return {"mount": [*levels], "observer": landings.observers, "site": [*sites]}


def _learn(snapshot: Snapshot) -> Learnt:
    landings = snapshot.all_landings()
    try:
        return Learnt(forecaster(*landings.unbiased_logs, factors_of(snapshot, landings)))
    except NothingToAttribute:
        return Learnt(None)


def _words_of(level: MountLevel) -> str:
    return _level_words(level.era.key, level.era.until, (level.tube_key,) if level.one_of_several else ())


def _level_words(mount: UUID, until: object, tube: tuple[UUID | None, ...] = ()) -> str:
    """What a level is known by: keys, for names may be given anew. `tube` is one of several, or nothing."""
    return " ".join(
        [f"{mount}", *(f"with {key}" for key in tube), *([] if until is None else [f"until {until}"])]
    )
