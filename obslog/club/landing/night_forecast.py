"""Where a coming night's go-tos will land, by the nights of this mount, this person and this site."""

from dataclasses import dataclass
from uuid import UUID

from obslog.club.performance.landing_errors import Landings
from obslog.club.performance.mechanical_services import era_of
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
    """

    half_arcmin: float
    half_of_nights_arcmin: tuple[float, float]
    nine_of_ten_arcmin: tuple[float, float]
    setups: int

    @property
    def words(self) -> str:
        low, high = (arcmin_words(end) for end in self.half_of_nights_arcmin)
        least, most = (arcmin_words(end) for end in self.nine_of_ten_arcmin)
        return (
            f"By past nights half of the go-tos land within {arcmin_words(self.half_arcmin)} ({low} to {high} on half "
            f"of such nights, {least} to {most} on nine of ten)."
        )


@dataclass(frozen=True, slots=True)
class Learnt:
    """What nights on record taught; None where they are too few."""

    forecaster: Forecaster | None


def night_forecast(
    snapshot: Snapshot, mount: UUID, site: str | None, observer: str | None
) -> NightForecast | None:
    """The forecast for a mount as it is since its last mechanical service; None where nights are too few.

    A person or site that is not known is anybody's.
    """
    learnt = learnt_from(snapshot).forecaster
    if learnt is None:
        return None
    era = _era_words(mount, None)
    setups = learnt.count("mount", era)
    if setups < FEWEST_OF_MOUNT:
        return None
    ahead = learnt.night(mount=era, observer=observer, site=site)
    return NightForecast(
        half_arcmin=ahead.half_arcmin,
        half_of_nights_arcmin=ahead.within(HALF_OF_NIGHTS),
        nine_of_ten_arcmin=ahead.within(NINE_OF_TEN),
        setups=setups,
    )


def learnt_from(snapshot: Snapshot) -> Learnt:
    """What forecasts come from: kept until anything of any mount's nights changes."""
    return snapshot.kept.get(Result(FORECASTER), snapshot.mounts, Learnt, lambda: _learn(snapshot))


def factors_of(snapshot: Snapshot, landings: Landings) -> dict[str, list[str | None]]:
    """What landings are forecast from: the era of the mount, the observer and the site of each set-up."""
    eras = [
        _era_words(mount, era_of(mount, "", setup.night, snapshot.services.get(mount, ())).until)
        for mount, setup in zip(landings.mounts, landings.setups, strict=True)
    ]
    sites = [setup.site for setup in landings.setups]
    return {"mount": [*eras], "observer": landings.observers, "site": [*sites]}


def _learn(snapshot: Snapshot) -> Learnt:
    landings = snapshot.all_landings()
    try:
        return Learnt(forecaster(landings.log_error, landings.errors.log_sd, factors_of(snapshot, landings)))
    except NothingToAttribute:
        return Learnt(None)


def _era_words(mount: UUID, until: object) -> str:
    return f"{mount}" if until is None else f"{mount} until {until}"
