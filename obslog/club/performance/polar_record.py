"""How a mount's polar axis stood on the nights on record, from the joint fit: what the next set-up can learn from."""

from dataclasses import dataclass
from datetime import date

from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.performance.snapshot import Snapshot
from obslog.pointing.joint_fit.fit import NothingMeasured
from obslog.values import Estimate, SetupId
from obslog.vocabulary import MountType


@dataclass(frozen=True, slots=True)
class PolarRecord:
    """Set-ups that determine the axis: its distance from the pole in all, its altitude error since the last service.

    For an alt-azimuth mount the axis is that of azimuth, and the distance is the base's tilt.
    """

    mount: str
    mount_type: MountType
    separations: list[tuple[SetupId, Estimate]]
    altitude_errors_arcmin: list[float]


def polar_records(snapshot: Snapshot, fits: MountFits, until: date) -> dict[str, PolarRecord]:
    """The polar records of all mounts that have one, by name, in order of their names."""
    names = [mount.name for mount in snapshot.mounts.values()]
    found = ((name, polar_record(fits, name, until)) for name in names)
    return {name: record for name, record in found if record is not None}


def polar_record(fits: MountFits, mount: str, until: date) -> PolarRecord | None:
    """The polar record of a mount with its most used tube, up to a night; None where nothing tells of it."""
    try:
        placed, fit = fits.of(mount)
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return None  # the last: arrivals too much alike for a fit must not take the whole checklist with them
    newest_era = len(placed.era_since) - 1
    known = [
        (label, setup, int(era))
        for label, setup, era in zip(placed.setups, fit.setups, placed.era_of_setup, strict=True)
        if label.night <= until
    ]
    return PolarRecord(
        placed.mount,
        placed.machine.mount_type,
        [
            (label, setup.separation)
            for label, setup, _ in known
            if setup.polar_altitude.determined and setup.polar_azimuth.determined
        ],
        [s.polar_altitude.value for _, s, era in known if era == newest_era and s.polar_altitude.determined],
    )
