"""Where each thing stands in the store-room's papers: retired, out, missing, due for service, idle."""

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.review.verdicts import Standing
from obslog.club.storeroom.custody import Holder, holders
from obslog.club.upkeep.services_due import Basis, due_of
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment, Night, Setup
from obslog.records.tables.storeroom import BatteryTest, Paper

Missing = dict[str, date | None]


def standings(session: Session, today: date) -> dict[UUID, Standing]:
    """The standing of every thing and every kit, by its key."""
    out, used = holders(session), _last_used(session)
    due, batteries = _services_due(session, today), _batteries(session)
    missing = _missing_things(session) | _missing_parts(session)
    found = {}
    for what in (*session.scalars(select(Equipment)), *session.scalars(select(Kit))):
        last = used.get(what.id)
        holder: Holder | None = out.get(what.id)
        found[what.id] = Standing(
            what.retired_on,
            what.retired_why,
            holder.member if holder else None,
            holder.due_on if holder else None,
            missing.get(what.id, {}),
            due.get(what.id, []),
            (today - last).days if last else None,
            batteries.get(what.id),
        )
    return found


def _missing_things(session: Session) -> dict[UUID, Missing]:
    papers = session.scalars(select(Paper).where(Paper.missing_since.is_not(None)))
    return {paper.equipment_id: {"": paper.missing_since} for paper in papers}


def _missing_parts(session: Session) -> dict[UUID, Missing]:
    query = (
        select(KitPart.kit_id, KitPart.label, func.coalesce(KitPart.missing_since, Paper.missing_since))
        .outerjoin(Paper, Paper.equipment_id == KitPart.equipment_id)
        .where(KitPart.left_on.is_(None))
    )
    found: dict[UUID, Missing] = {}
    for kit, label, since in session.execute(query):
        if since is not None:
            found.setdefault(kit, {})[label] = since
    return found


def _services_due(session: Session, today: date) -> dict[UUID, list[str]]:
    """What is due now by date, by nights or by the routine; batteries are judged by the review's own rule."""
    wanted = (Basis.DATE, Basis.NIGHTS, Basis.ROUTINE)
    return {
        key: [due.words for due in dues if due.basis in wanted]
        for key, dues in due_of(session, None, today).items()
    }


def _last_used(session: Session) -> dict[UUID, date]:
    """The last day on which each thing stood under the sky or was on loan; none where nobody ever noted a use."""
    found: dict[UUID, date] = {}
    for column in (Setup.mount_id, Setup.tube_id, Setup.eyepiece_id):
        nights = (
            select(column, func.max(Night.night_of)).join(Night, Setup.night_id == Night.id).group_by(column)
        )
        _keep_latest(found, session.execute(nights).all())
    last_day = func.max(func.coalesce(Loan.back_on, Loan.out_on))
    things = select(LoanPart.equipment_id, last_day).join(Loan, LoanPart.loan_id == Loan.id)
    _keep_latest(found, session.execute(things.group_by(LoanPart.equipment_id)).all())
    _keep_latest(found, session.execute(select(Loan.kit_id, last_day).group_by(Loan.kit_id)).all())
    return found


def _keep_latest(found: dict[UUID, date], rows: Iterable[tuple[UUID | None, date | None]]) -> None:
    for key, day in rows:
        if key is not None and day is not None:
            found[key] = max(day, found.get(key, day))


def _batteries(session: Session) -> dict[UUID, float]:
    query = (
        select(BatteryTest.equipment_id, BatteryTest.capacity_percent)
        .where(BatteryTest.capacity_percent.is_not(None))
        .order_by(BatteryTest.tested_on, BatteryTest.id)
    )
    return {key: percent for key, percent in session.execute(query) if percent is not None}
