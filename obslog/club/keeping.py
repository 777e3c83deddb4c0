"""What was computed of the mounts' nights: computed ahead, so that nobody waits for it in the dark, and checked.

Everything kept is a shortcut and may be dropped at any time: dropping it changes no answer.
"""

from collections.abc import Generator, Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.checklist.first_stars import beginnings_of_mount
from obslog.club.landing.night_forecast import learnt_from
from obslog.club.live.checklist_answers import keep_look_first
from obslog.club.live.kept_record import keep_records
from obslog.club.over_time.landing_history import recorded_landings
from obslog.club.over_time.own_trends import own_of_club
from obslog.club.performance.error_sources import sources_of
from obslog.club.performance.mathematics import MATHEMATICS
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.performance.snapshot import Snapshot, snapshot_of
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.records.change_counting import is_counting, start_counting
from obslog.records.database import Database
from obslog.records.driver_errors import in_sentences
from obslog.records.engine import writing
from obslog.records.kept_results import THE_CLUB, KeptResults, forget_results
from obslog.records.tables.logbook_tables import Mount
from obslog.trends.attribution.attribution import NothingToAttribute


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """How many kept results were computed again, and which of them came out otherwise, in words."""

    computed_again: int
    differ: Sequence[str]


def mounts_to_keep(database: Database) -> list[UUID]:
    """The mounts whose nights results are kept of."""
    with database.read() as session:
        return list(session.scalars(select(Mount.id).order_by(Mount.name_key)))


def keep_results(database: Database, mounts: Sequence[UUID]) -> Generator[None, None, None]:
    """Compute what is missing of each mount, and then of the club; yields after each step, and once more at the end.

    Each step is kept by itself: who stops between two of them loses nothing.
    """
    for mount in mounts:
        with snapshot_of(database) as snapshot:
            _compute_mount(snapshot, mount)
        yield
    with database.read() as session:
        _compute_club(session, Snapshot(session))
    yield


def check_kept(database: Database, mounts: Sequence[UUID]) -> KeptCheck:
    """Compute again what is kept of these mounts and of the club; if any of it differs, all is dropped.

    Where the database has stopped counting, it counts again from then on.
    """
    with database.read() as session:
        counting = is_counting(session.connection())
    if not counting:
        with in_sentences(database.where), writing(database.engine).begin() as connection:
            start_counting(connection)
    subjects = (THE_CLUB, *map(str, mounts))
    with database.read() as session:
        kept = KeptResults(session, MATHEMATICS, doubted=lambda result: result.subject.startswith(subjects))
        snapshot = Snapshot(session)
        for mount in mounts:
            _compute_mount(snapshot, mount)
        _compute_club(session, snapshot)
        compared, differ = kept.compared()
        kept.keep_nothing()
    if differ:
        with in_sentences(database.where), writing(database.engine).begin() as connection:
            forget_results(connection)
    return KeptCheck(compared, differ)


def _compute_mount(snapshot: Snapshot, mount: UUID) -> None:
    """All that is kept of a mount; what cannot be computed of it is known after that too.

    One that another program has taken away meanwhile is passed by.
    """
    if mount not in snapshot.mounts:
        return
    beginnings_of_mount(snapshot, mount)
    if snapshot.landings(mount).setups:
        recorded_landings(snapshot, mount)
    try:
        MountFits(snapshot).of(snapshot.mounts[mount].name)
    except (MountTypeUnknown, NothingPlaced, NothingMeasured):
        return


def _compute_club(session: Session, snapshot: Snapshot) -> None:
    keep_records(session, snapshot)
    keep_look_first(session, snapshot)
    learnt_from(snapshot)
    own_of_club(snapshot)
    try:
        sources_of(snapshot)
    except NothingToAttribute:
        return
