"""What the store-room's papers say of each kit and item: retired, out, missing, damaged, due for service, idle."""

from collections.abc import Iterable, Mapping
from datetime import date
from uuid import UUID

from sqlalchemy import func, literal, select
from sqlalchemy.orm import Session

from obslog.club.review.verdicts import Damage, StoreroomEvidence
from obslog.club.storeroom.custody import Custody, Holder, StoreStatus, due_words, state_of, state_of_part
from obslog.club.upkeep.nights_of_use import nights_of_use
from obslog.club.upkeep.services_due import DueBy, due_of
from obslog.records.tables.column_types import LocalDate
from obslog.records.tables.lending import KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Service
from obslog.records.tables.storeroom import BatteryTest
from obslog.vocabulary.storeroom import Condition

Missing = dict[str, date | None]


def standings(session: Session, today: date, *, with_names: bool = False) -> dict[UUID, StoreroomEvidence]:
    """The standing of every item and every kit, by its key; borrowers are named only `with_names`."""
    state, used = state_of(session, with_names=with_names), _last_used(session, today)
    due, batteries, damaged = _services_due(session, today), _batteries(session), _damaged(session)
    missing, astray = _parts_away(session, state, today)
    missing |= _missing_items(state)
    found = {}
    for key, now in state.items():
        last = used.get(key)
        found[key] = StoreroomEvidence(
            retired_on=now.retired_on,
            retired_why=now.retired_why,
            holder=now.holder.member if now.holder else None,
            due_on=now.holder.due_on if now.holder else None,
            missing=missing.get(key, {}),
            astray=astray.get(key, []),
            service_due=due.get(key, []),
            idle_days=(today - last).days if last else None,
            battery_percent=batteries.get(key),
            damage=damaged.get(key),
        )
    return found


def _missing_items(state: Mapping[UUID, Custody]) -> dict[UUID, Missing]:
    return {key: {"": now.missing_since} for key, now in state.items() if now.missing_since is not None}


def _parts_away(
    session: Session, state: Mapping[UUID, Custody], today: date
) -> tuple[dict[UUID, Missing], dict[UUID, list[str]]]:
    """What a kit has lost of its parts, by its key: those that are missing, and in words those that are elsewhere."""
    missing: dict[UUID, Missing] = {}
    astray: dict[UUID, list[str]] = {}
    for part in session.scalars(select(KitPart).where(KitPart.left_on.is_(None)).order_by(KitPart.id)):
        now = state_of_part(part, state)
        if now.status is StoreStatus.MISSING:
            missing.setdefault(part.kit_id, {})[part.label] = now.missing_since
        elif words := _astray(now, state[part.kit_id].holder, today):
            astray.setdefault(part.kit_id, []).append(f"{part.label} {words}")
    return missing, astray


def _astray(now: Custody, of_kit: Holder | None, today: date) -> str | None:
    """Why a part is not where its kit is; None where it is, in the store or out by the same loan."""
    if now.holder is not None:
        with_it = of_kit is not None and of_kit.loan_id == now.holder.loan_id
        return None if with_it else f"is on loan without the kit{due_words(now.holder.due_on, today)}"
    if now.status in (StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF):
        return f"was {now.status} on {now.since}; put another in its place: obslog kit replace"
    return None


def _services_due(session: Session, today: date) -> dict[UUID, list[str]]:
    """What is due now by date, by nights or by the routine; batteries are judged by the review's own rule."""
    wanted = (DueBy.DATE, DueBy.NIGHTS, DueBy.ROUTINE)
    return {
        key: [due.words for due in dues if due.basis in wanted]
        for key, dues in due_of(session, None, today).items()
    }


def _last_used(session: Session, today: date) -> dict[UUID, date]:
    """The last day on which each was used under the sky or was on loan; none where nobody ever noted a use.

    A kit is used with any of its parts, while they are its parts.
    """
    still_out = literal(today, LocalDate())
    nights = nights_of_use(session)
    found = {item: of_item[-1] for item, of_item in nights.items()}
    for part in session.scalars(select(KitPart).where(KitPart.equipment_id.is_not(None))):
        of_item = nights.get(part.equipment_id, []) if part.equipment_id else []
        within = [night for night in of_item if part.joined_on <= night <= (part.left_on or night)]
        _keep_latest(found, [(part.kit_id, max(within, default=None))])
    part_back = func.max(func.coalesce(LoanPart.back_on, still_out))
    things = select(LoanPart.equipment_id, part_back).join(Loan, LoanPart.loan_id == Loan.id)
    _keep_latest(found, session.execute(things.group_by(LoanPart.equipment_id)).all())
    back = func.max(func.coalesce(Loan.back_on, still_out))
    _keep_latest(found, session.execute(select(Loan.kit_id, back).group_by(Loan.kit_id)).all())
    return found


def _keep_latest(found: dict[UUID, date], rows: Iterable[tuple[UUID | None, date | None]]) -> None:
    for key, day in rows:
        if key is not None and day is not None:
            found[key] = max(day, found.get(key, day))


def _damaged(session: Session) -> dict[UUID, Damage]:
    """What was damaged when it last went out or came back and somebody looked; a service since then has mended it."""
    parts = (
        select(LoanPart, Loan.out_on)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .where(LoanPart.equipment_id.is_not(None))
        .order_by(Loan.out_on, LoanPart.id)
    )
    last: dict[UUID, tuple[Condition, Damage]] = {}
    for part, out_on in session.execute(parts):
        looks = (
            (part.condition_out, part.word_out, out_on, False, part.note_out),
            (part.condition_in, part.word_in, part.back_on, True, part.note_in),
        )
        for condition, word, day, came_back, note in looks:
            if part.equipment_id is not None and condition is not None and day is not None:
                last[part.equipment_id] = condition, Damage(day, word or str(condition), came_back, note)
    served = dict(
        session.execute(
            select(Service.equipment_id, func.max(Service.done_on)).group_by(Service.equipment_id)
        ).all()
    )
    return {
        key: damage
        for key, (condition, damage) in last.items()
        if condition is Condition.DAMAGED and (key not in served or served[key] < damage.on)
    }


def _batteries(session: Session) -> dict[UUID, float]:
    query = (
        select(BatteryTest.equipment_id, BatteryTest.capacity_percent)
        .where(BatteryTest.capacity_percent.is_not(None))
        .order_by(BatteryTest.tested_on, BatteryTest.id)
    )
    return {key: percent for key, percent in session.execute(query) if percent is not None}
