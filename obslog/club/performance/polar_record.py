"""How a mount's polar axis stood on the nights on record, from the joint fit: what the next set-up can learn from."""

from dataclasses import dataclass
from datetime import date

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
    """The polar record of a mount with its most used tube, up to a night; None where nothing tells of it."""
    try:
        with fits_from(records) as fits:
            found = fits.summary(mount)
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return None  # the last: arrivals too much alike for a fit must not take the whole checklist with them
    untried = found.serviced_since is not None and found.serviced_since <= until
    newest_era = None if untried else found.eras[-1]
    known = [place for place, setup in enumerate(found.setups) if setup.night <= until]
    return PolarRecord(
        found.mount,
        found.mount_type,
        [
            (found.setups[place], found.separations[place])
            for place in known
            if found.separations[place].determined
        ],
        [
            found.polar_altitudes[place].value
            for place in known
            if found.eras[place] == newest_era and found.polar_altitudes[place].determined
        ],
    )
