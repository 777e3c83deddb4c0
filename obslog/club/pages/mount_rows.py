"""Which rows stand behind the page of a mount, and which do not, for what reason."""

from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.over_time.landing_history import MountHistory
from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.performance.mount_fit import MountFit
from obslog.records.tables.logbook_tables import Arrival, Equipment, Mount, Setup, Snag

NO_LANDING = "without a word or a measure where something landed after the last sync"
NOT_JUDGED = "at or before the last sync of their set-up, or without a word where they landed"


def rows_behind(
    session: Session, mount: Mount, history: MountHistory | None, fit: MountFit | None, today: date
) -> Basis:
    """The rows of a mount: what its landings and its fit are made from, and what they pass by."""
    setups = session.scalar(select(func.count(Setup.id)).where(Setup.mount_id == mount.id)) or 0
    snags = session.scalar(select(func.count(Snag.id)).where(Snag.equipment_id == mount.id)) or 0
    arrivals = _arrivals_by_tube(session, mount)
    total, landed = sum(arrivals.values()), _landed(history)
    judged = sum(one.arrivals for one in history.setups) if history else 0
    return Basis(
        day=today,
        used=some(
            [
                Rows(count=landed, kind="set-up"),
                Rows(count=judged, kind="landing"),
                Rows(count=len(fit.residuals) if fit else 0, kind="fitted arrival"),
                Rows(count=snags, kind="snag"),
            ]
        ),
        left_out=some(
            [
                Rows(count=setups - landed, kind="set-up", why=NO_LANDING),
                Rows(count=total - judged, kind="arrival", why=f"not a landing: {NOT_JUDGED}"),
                *_not_fitted(arrivals, fit),
            ]
        ),
    )


def _not_fitted(arrivals: dict[str | None, int], fit: MountFit | None) -> list[Rows]:
    """What the fit passes by: other tubes, stars without a place, and arrivals that measure nothing."""
    if fit is None:
        return []
    mine, no_place = arrivals.get(fit.tube, 0), sum(fit.left_out.values())
    tube = fit.tube or "no tube named"
    return [
        Rows(
            count=sum(arrivals.values()) - mine,
            kind="arrival",
            why=f"not fitted: the fit is of those with {tube}",
        ),
        Rows(count=no_place, kind="arrival", why="not fitted: no known place in the sky"),
        Rows(
            count=mine - no_place - len(fit.residuals),
            kind="arrival",
            why="not fitted: without a measured offset, or nothing to compare it with",
        ),
    ]


def _landed(history: MountHistory | None) -> int:
    return sum(one.half_arcmin is not None for one in history.setups) if history else 0


def _arrivals_by_tube(session: Session, mount: Mount) -> dict[str | None, int]:
    query = (
        select(Equipment.name, func.count(Arrival.id))
        .select_from(Arrival)
        .join(Setup, Arrival.setup_id == Setup.id)
        .outerjoin(Equipment, Setup.tube_id == Equipment.id)
        .where(Setup.mount_id == mount.id)
        .group_by(Equipment.name)
    )
    return {row[0]: row[1] for row in session.execute(query)}
