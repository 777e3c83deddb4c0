"""What is kept of a mount and tube for the time of a set-up: its record of all other set-ups, computed once.

An arrival noted tonight changes what the joint fit of all nights says; this leaves tonight's set-up out, and so holds
for as long as nobody corrects another one.
"""

from uuid import UUID

import numpy as np
from sqlalchemy import case, func, select
from sqlalchemy.orm import Session

from obslog.club.performance.mount_fits import examined
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced, most_used_tube, placed
from obslog.club.performance.snapshot import Snapshot
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.tonight.mount_record import MountRecord, nothing_known, record_of
from obslog.records.kept_results import Result
from obslog.records.tables.logbook_tables import Arrival, Night, Setup
from obslog.vocabulary import PierSide, Role

RECORD, RECORD_MADE = "record for a set-up", "record for a set-up was made"


def kept_record(
    session: Session, snapshot: Snapshot, mount: UUID, tube: UUID | None, setup: UUID | None
) -> MountRecord:
    """What all set-ups of a mount and tube but that one say of it; the usual errors where they say nothing.

    None for the tube means its most used one, None for the set-up that none is left out.
    """
    result = Result.of_mount(RECORD, mount, tube or "")
    basis = (
        _rows_told(session, mount, setup),
        snapshot.mounts[mount].machine,
        tube and str(tube),
        [f"{day}" for key in (mount, tube) if key for day in snapshot.services.get(key, ())],
    )
    return snapshot.kept.get(
        result, (), MountRecord, lambda: _record(snapshot, mount, tube, setup), basis=basis
    )


def keep_records(session: Session, snapshot: Snapshot) -> None:
    """Compute ahead what the next set-up of each mount starts from, with the tube of its last set-up."""
    newest = select(Setup.mount_id, Setup.tube_id).join(Night, Setup.night_id == Night.id)
    last = {
        row.mount_id: row.tube_id for row in session.execute(newest.order_by(Night.night_of, Setup.ordinal))
    }
    for mount, tube in last.items():
        if mount in snapshot.mounts:
            _keep_record(session, snapshot, mount, tube)


def _keep_record(session: Session, snapshot: Snapshot, mount: UUID, tube: UUID | None) -> None:
    """Nothing is read of a mount of which nothing has changed since this was done."""

    def made() -> int:
        return kept_record(session, snapshot, mount, tube, None).setups

    snapshot.kept.get(Result.of_mount(RECORD_MADE, mount), [mount], int, made, basis=str(tube))


def _rows_told(session: Session, mount: UUID, setup: UUID | None) -> list[str]:
    """What tells one state of the other set-ups' arrivals from another, read in one statement."""
    query = (
        select(
            func.count(Arrival.id),
            func.sum(Arrival.offset_east_arcmin),
            func.sum(Arrival.offset_north_arcmin),
            func.sum(case((Arrival.role == Role.SYNC, 1), else_=0)),
            func.sum(case((Arrival.pier_side == PierSide.WEST, 1), (Arrival.pier_side.is_not(None), 1000))),
            func.sum(func.length(Arrival.target)),
            func.sum(Arrival.ra_hours),
            func.sum(Arrival.centring_arcmin),
            func.max(Arrival.at_utc),
            func.min(Arrival.at_utc),
        )
        .join(Setup, Arrival.setup_id == Setup.id)
        .where(Setup.mount_id == mount)
    )
    if setup is not None:
        query = query.where(Setup.id != setup)
    row = session.execute(query).one()
    return [f"{value:.3f}" if isinstance(value, float) else f"{value}" for value in row]


def _record(snapshot: Snapshot, mount: UUID, tube: UUID | None, setup: UUID | None) -> MountRecord:
    arrivals = snapshot.arrivals(mount)
    others = np.array([row.id != setup for row in arrivals.setups], bool)
    earlier = arrivals.where(others[arrivals.setup]) if arrivals.setup.size else arrivals
    used = tube or most_used_tube(earlier)
    named = used, snapshot.tubes[used] if used else None
    try:
        fitted = examined(
            placed(snapshot.mounts[mount], named, earlier, snapshot.services, snapshot.temperatures)
        )
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return nothing_known()
    found = fitted.placed
    newest = found.era_of_setup == found.era_of_setup.max()
    return record_of(
        fitted.fit, int(np.count_nonzero(newest)), serviced_since=found.serviced_since is not None
    )
