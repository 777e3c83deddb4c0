"""How a mount's polar axis stood on the nights on record, from the joint fit: what the next set-up can learn from."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from obslog.club.performance.fit_summary import FitSummary
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.records.database import Database
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True)
class PolarRecord:
    """What a mount's set-ups tell of its axis, in order of time, of those whose arrivals determine it.

    `separations` are how far from the pole the axis stood in each of them, whatever was mended since: people set it.
    `altitude_errors_arcmin` are those since the last service alone, for the scale that is read may be another now.
    For an alt-azimuth mount the axis is that of azimuth, and its distance from the zenith is the base's tilt.
    """

    mount: str
    mount_type: MountType
    separations: list[tuple[SetupId, Estimate]]
    altitude_errors_arcmin: list[float]


def polar_records(fits: MountFits, until: date) -> dict[str, PolarRecord]:
    """The polar records of all mounts that have one, by name, in order of their names."""
    fits.read_ahead()
    names = [mount.name for mount in fits.snapshot.mounts.values()]
    found = ((name, polar_record(fits, name, until)) for name in names)
    return {name: record for name, record in found if record is not None}


def polar_record(records: Database | MountFits, mount: str, until: date) -> PolarRecord | None:
    """The polar record of a mount up to a night, with whichever tube; None where nothing tells of it.

    The axis is set up by people, whatever the tube: nights with another one, or with one that nobody wrote down, would
    count as gone well if they were left out.
    """
    with fits_from(records) as fits:
        key, services = fits.snapshot.mount_named(mount), fits.snapshot.services
        summaries = fits.summaries_of(key)
    if not summaries:
        return None
    separations: list[tuple[SetupId, Estimate]] = []
    altitudes: list[tuple[SetupId, float]] = []
    for tube, its in summaries.items():
        count = sum(setup.night <= until for setup in its.setups)
        days = [day for part in (key, tube) if part for day in services.get(part, ())]
        newest = _newest_era(its, count, [day for day in days if day <= until])
        setups = its.setups[:count]
        separations += zip(setups, its.separations, strict=False)
        altitudes += [
            (setup, altitude.value)
            for setup, altitude, era in zip(setups, its.polar_altitudes, its.eras, strict=False)
            if era == newest and altitude.determined
        ]
    any_tube = next(iter(summaries.values()))
    return PolarRecord(
        any_tube.mount,
        any_tube.mount_type,
        sorted(((setup, away) for setup, away in separations if away.determined), key=_when),
        [altitude for _, altitude in sorted(altitudes, key=_when)],
    )


def _newest_era(found: FitSummary, count: int, services: Sequence[date]) -> int | None:
    """The era of the last of so many first set-ups; None where there are none, or a service came after them."""
    if not count or any(day > found.setups[count - 1].night for day in services):
        return None
    return found.eras[count - 1]


def _when(told: tuple[SetupId, object]) -> tuple[date, int]:
    return told[0].night, told[0].setup
