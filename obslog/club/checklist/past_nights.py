"""What a brief and a checklist know of the past: read once, however many mounts they are of."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from obslog.club.checklist.look_first import club_occasions
from obslog.club.checklist.setup_outcomes import Occasion
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.polar_record import PolarRecord, polar_records
from obslog.club.performance.snapshot import Snapshot


@dataclass(frozen=True, slots=True)
class PastNights:
    """The fits of all mounts, the polar records by name of mount, and the occasions in order of their nights."""

    fits: MountFits
    polar: Mapping[str, PolarRecord]
    occasions: list[Occasion]


def read_past_nights(session: Session, until: date) -> PastNights:
    """Read all mounts' nights: how one mount, member or site does is told by comparison with the others."""
    snapshot = Snapshot(session)
    fits = MountFits(snapshot)
    polar = polar_records(fits, until)
    return PastNights(fits, polar, club_occasions(session, snapshot, polar.values(), until))
