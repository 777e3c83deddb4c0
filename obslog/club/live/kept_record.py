"""What is kept of a mount and tube for the time of a set-up: its record of all other set-ups, computed once.

An arrival noted tonight changes what the joint fit of all nights says; this leaves tonight's set-up out, and so holds
for as long as nobody corrects another one.
"""

from dataclasses import fields
from hashlib import sha256
from uuid import UUID

import numpy as np
from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.performance.arrival_columns import ArrivalColumns
from obslog.club.performance.landing_errors import Temperatures
from obslog.club.performance.mount_fits import examined
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced, most_used_tube, placed
from obslog.club.performance.snapshot import Snapshot
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.pointing.tonight.mount_record import MountRecord, nothing_known, record_of
from obslog.records.kept_results import Result
from obslog.records.tables.logbook_tables import Night, Setup

RECORD, RECORD_MADE = "record for a set-up", "record for a set-up was made"


def kept_record(snapshot: Snapshot, mount: UUID, tube: UUID | None, setup: UUID | None) -> MountRecord:
    """What all set-ups of a mount and tube but that one say of it; the usual errors where they say nothing.

    None for the tube means its most used one, None for the set-up that none is left out.
    """
    result = Result.of_mount(RECORD, mount, tube or "")
    others = _of_others(snapshot, mount, setup)
    basis = (
        _fingerprint(others, snapshot.temperatures),
        snapshot.mounts[mount].machine,
        tube and str(tube),
        [f"{day}" for key in (mount, tube) if key for day in snapshot.services.get(key, ())],
    )
    return snapshot.kept.get(
        result, (), MountRecord, lambda: _record(snapshot, mount, tube, others), basis=basis
    )


def keep_records(session: Session, snapshot: Snapshot) -> None:
    """Compute ahead what the next set-up of each mount starts from, with the tube of its last set-up."""
    newest = select(Setup.mount_id, Setup.tube_id).join(Night, Setup.night_id == Night.id)
    last = {
        row.mount_id: row.tube_id for row in session.execute(newest.order_by(Night.night_of, Setup.ordinal))
    }
    for mount, tube in last.items():
        if mount in snapshot.mounts:
            _keep_record(snapshot, mount, tube)


def _keep_record(snapshot: Snapshot, mount: UUID, tube: UUID | None) -> None:
    """Nothing is read of a mount of which nothing has changed since this was done."""

    def made() -> int:
        return kept_record(snapshot, mount, tube, None).setups

    snapshot.kept.get(Result.of_mount(RECORD_MADE, mount), [mount], int, made, basis=str(tube))


def _of_others(snapshot: Snapshot, mount: UUID, setup: UUID | None) -> ArrivalColumns:
    """The arrivals of a mount but for those of one set-up."""
    arrivals = snapshot.arrivals(mount)
    others = np.array([row.id != setup for row in arrivals.setups], bool)
    return arrivals.where(others[arrivals.setup]) if arrivals.setup.size else arrivals


def _fingerprint(others: ArrivalColumns, temperatures: Temperatures) -> str:
    """Of all that the record is computed from: no correction of any of it goes unheard."""
    there, setup = np.unique(others.setup, return_inverse=True)
    rows = [others.setups[place] for place in there]
    told = sha256(repr([(tuple(row), temperatures.get(row.night_id)) for row in rows]).encode())
    told.update(setup.tobytes())
    for field in fields(others):
        if field.name not in ("setups", "setup"):
            values = getattr(others, field.name)
            told.update(values.tobytes() if isinstance(values, np.ndarray) else repr(values).encode())
    return told.hexdigest()


def _record(snapshot: Snapshot, mount: UUID, tube: UUID | None, earlier: ArrivalColumns) -> MountRecord:
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
