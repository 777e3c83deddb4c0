"""How a mount's polar axis stood on the nights on record, from the joint fit: what the next set-up can learn from."""

from dataclasses import dataclass
from datetime import date

from obslog.club.performance.fit_summary import FitSummary
from obslog.club.performance.mount_fits import MountFits, fits_from
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.records.database import Database
from obslog.values import Estimate, SetupId
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True)
class PolarRecord:
    """Set-ups that determine the axis: its distance from the pole in all, its altitude error since the last service.

    For an alt-azimuth mount the axis is that of azimuth, and the distance is the base's tilt.
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

    The axis is set up by people, whatever the tube: nights with another one, left out, would count as gone well.
    """
    with fits_from(records) as fits:
        found = _summary(fits, mount)
        if found is None:
            return None
        others = (_summary(fits, mount, other.name) for other in found.others if other.name is not None)
        summaries = [found, *(other for other in others if other is not None)]
    known = sorted(
        (setup.night, setup.setup, number, place)
        for number, its in enumerate(summaries)
        for place, setup in enumerate(its.setups)
        if setup.night <= until
    )
    newest_eras = [_newest_era(its, until) for its in summaries]
    told = [(summaries[number], newest_eras[number], place) for _, _, number, place in known]
    return PolarRecord(
        found.mount,
        found.mount_type,
        [
            (its.setups[place], its.separations[place])
            for its, _, place in told
            if its.separations[place].determined
        ],
        [
            its.polar_altitudes[place].value
            for its, newest, place in told
            if its.eras[place] == newest and its.polar_altitudes[place].determined
        ],
    )


def _summary(fits: MountFits, mount: str, tube: str | None = None) -> FitSummary | None:
    """None where nothing could be fitted: arrivals too much alike must not take the whole checklist with them."""
    try:
        return fits.summary(mount, tube)
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return None


def _newest_era(found: FitSummary, until: date) -> int | None:
    """The era since the last service up to a night; None where there is no set-up in it yet."""
    untried = found.serviced_since is not None and found.serviced_since <= until
    return None if untried else found.eras[-1]
