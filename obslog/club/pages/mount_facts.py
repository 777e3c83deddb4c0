"""What the page of a mount shows, from one look at the records: how it points, why, what went wrong, what to do."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from obslog.club.checklist.look_first import LookFirst, Subject, club_occasions, look_first
from obslog.club.landing.error_budget import MountBudget, error_budget
from obslog.club.over_time.axes_over_time import MechanicsOverTime, mechanics_over_time
from obslog.club.over_time.landing_history import (
    MountHistory,
    NoArrivals,
    histories_together,
    recorded_landings,
)
from obslog.club.over_time.own_trends import own_of_club
from obslog.club.pages.axes_on_sky import AxisOnSky, axes_on_sky
from obslog.club.pages.basis import Basis
from obslog.club.pages.mount_rows import rows_behind
from obslog.club.pages.next_steps import NextStep, next_steps
from obslog.club.pages.setters import SetUpBy, set_up_by
from obslog.club.pages.step_snags import StepSnags, snags_by_step
from obslog.club.performance.mount_fit import MountFit, fit_mount
from obslog.club.performance.mount_fits import MountFits
from obslog.club.performance.placed_arrivals import MountTypeUnknown, NothingPlaced
from obslog.club.performance.polar_record import polar_records
from obslog.club.performance.snapshot import Snapshot
from obslog.club.register.club_day import day_in
from obslog.club.review.review import Reviewed, reviewed
from obslog.club.routine.club_steps import steps_in_force
from obslog.pointing.joint_fit.answer import NothingMeasured
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount
from obslog.vocabulary.mounts import MountType


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointing:
    """What the joint fit says of a mount with its most used tube; `budget` is None where nothing was gone to."""

    fit: MountFit
    axes: list[AxisOnSky]
    over_time: MechanicsOverTime
    budget: MountBudget | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MountFacts:
    """A mount with what is on record of it.

    `history` is None where no arrival is on record, `pointing` where nothing can be computed, for the reason that
    `not_computed` says.
    """

    mount: str
    mount_type: MountType | None
    day: date
    history: MountHistory | None
    set_up_by: list[SetUpBy]
    pointing: Pointing | None
    not_computed: str | None
    reviewed: Reviewed
    snags: list[StepSnags]
    look_first: list[LookFirst]
    next_steps: list[NextStep]
    basis: Basis


def mount_facts(database: Database, name: str, now: datetime) -> MountFacts:
    """What is on record of a mount. Raises UnknownName."""
    with database.read() as session:
        snapshot = Snapshot(session)
        return mount_facts_of(session, MountFits(snapshot), name, day_in(session, now))


def mount_facts_of(session: Session, fits: MountFits, name: str, today: date) -> MountFacts:
    """The same in a session that is open, for who asks about several mounts. Raises UnknownName."""
    mount = by_name(session, Mount, name)
    history, (pointing, why) = _history(fits, mount), _pointing(fits, mount)
    judged = reviewed(session, mount, today, snapshot=fits.snapshot)
    snags = snags_by_step(session, mount)
    first = _look_first(session, fits, mount, today)
    budget = pointing.budget if pointing else None
    return MountFacts(
        mount=mount.name,
        mount_type=mount.mount_type,
        day=today,
        history=history,
        set_up_by=set_up_by(session, mount),
        pointing=pointing,
        not_computed=why,
        reviewed=judged,
        snags=snags,
        look_first=first,
        next_steps=next_steps(judged, budget, first, snags),
        basis=rows_behind(session, mount, history, pointing.fit if pointing else None, today),
    )


def _history(fits: MountFits, mount: Mount) -> MountHistory | None:
    try:
        recorded = recorded_landings(fits.snapshot, mount.id)
    except NoArrivals:
        return None
    return histories_together([recorded], own_of_club(fits.snapshot))[0]


def _pointing(fits: MountFits, mount: Mount) -> tuple[Pointing | None, str | None]:
    """What is computed, or why nothing is."""
    try:
        fitted = fits.fitted(mount.name)
        fit, over_time = fit_mount(fits, mount.name), mechanics_over_time(fits, mount.name)
    except (MountTypeUnknown, NothingPlaced, NothingMeasured) as error:
        return None, error.message
    return (
        Pointing(
            fit=fit,
            axes=axes_on_sky(fitted.placed, fitted.fit),
            over_time=over_time,
            budget=_budget(fits, mount),
        ),
        None,
    )


def _budget(fits: MountFits, mount: Mount) -> MountBudget | None:
    from obslog.pointing.budget.budget import NothingVisited

    try:
        return error_budget(fits, mount.name)
    except NothingVisited:
        return None


def _look_first(session: Session, fits: MountFits, mount: Mount, today: date) -> list[LookFirst]:
    polar = polar_records(fits, today)
    occasions = club_occasions(session, fits.snapshot, polar.values(), today)
    guides = steps_in_force(session).to_learn_from(mount.mount_type, mount.controller)
    return look_first(occasions, [Subject("mount", mount.name, mount.id)], guides, today)
