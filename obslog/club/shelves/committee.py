"""What a committee asks of a stocktake: what was not found, what it is worth, who had it last, and what came back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import rules_in_force
from obslog.club.shelves.count_records import CountedItem, Standing
from obslog.club.shelves.losses import Losses, losses_in
from obslog.club.shelves.standing import counted, standing_in, stocktake_of
from obslog.club.storeroom.custody import name_told
from obslog.money import money_sum
from obslog.records.database import Database
from obslog.records.tables.lending import Absence, Loan, LoanPart
from obslog.records.tables.logbook_tables import Member
from obslog.records.tables.officer import Stocktake
from obslog.records.tables.storeroom import Paper
from obslog.vocabulary.storeroom import Found

NOT_BACK = (Found.STILL_MISSING, Found.NOT_SEEN)


@dataclass(frozen=True, slots=True, kw_only=True)
class LostLine:
    """An item that a stocktake did not find, with what it was worth by the records of that day.

    `lent_on` is of the last loan before, `last_with` who had it then (None: nobody, or nobody is to be named);
    `found_on` and `written_off_on` are what has become of it since.
    """

    name: str
    kind: str
    tag: str | None
    place: str | None
    value: float | None
    lent_on: date | None
    back_on: date | None
    last_with: str | None
    found_on: date | None
    written_off_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeLine:
    """An item that the stocktake before did not find, and how it stands in this one; None: it is the club's no more."""

    name: str
    tag: str | None
    found: Found | None

    @property
    def came_back(self) -> bool:
        return self.found is not None and self.found not in NOT_BACK


@dataclass(frozen=True, slots=True, kw_only=True)
class StocktakeFacts:
    """A stocktake for the committee. `lost_value` is of those of the lost items of which a value was on record.

    `before_on` is the day on which the stocktake before was finished, `before` what that did not find.
    """

    day: date
    standing: Standing
    lost: list[LostLine]
    lost_value: float | None
    not_valued: int
    before_on: date | None
    before: list[BeforeLine]
    losses: Losses
    currency: str | None
    with_names: bool


def stocktake_facts(
    database: Database, today: date, on: date | None = None, *, with_names: bool = False
) -> StocktakeFacts:
    """What the committee's page says of the stocktake of that day; borrowers are named only `with_names`.

    Raises NoStocktake, NoStocktakeOn.
    """
    with database.read() as session:
        return facts_in(session, stocktake_of(session, on), today, with_names=with_names)


def facts_in(
    session: Session, stocktake: Stocktake, today: date, *, with_names: bool = False
) -> StocktakeFacts:
    standing = standing_in(session, stocktake)
    lost = _lost(session, standing, today, with_names=with_names)
    values = [line.value for line in lost if line.value is not None]
    before = _before(session, stocktake)
    return StocktakeFacts(
        day=today,
        standing=standing,
        lost=lost,
        lost_value=money_sum(values) if values else None,
        not_valued=len(lost) - len(values),
        before_on=before.finished_on if before else None,
        before=_since(session, before, standing) if before else [],
        losses=losses_in(session, stocktake),
        currency=rules_in_force(session).currency,
        with_names=with_names,
    )


def _lost(session: Session, then: Standing, today: date, *, with_names: bool) -> list[LostLine]:
    items = then.those(Found.NOT_SEEN)
    until = then.finished_on or today
    last = _last_loans(session, until)
    found = _found_again(session, then.finished_on)
    off = dict(session.execute(select(Paper.equipment_id, Paper.written_off_on)).all())
    return [_line(item, last.get(item.equipment_id), found, off, with_names=with_names) for item in items]


def _line(
    item: CountedItem,
    last: tuple[Loan, date | None, str] | None,
    found: Mapping[UUID, date | None],
    off: Mapping[UUID, date | None],
    *,
    with_names: bool,
) -> LostLine:
    loan, back_on, member = last if last else (None, None, None)
    return LostLine(
        name=item.name,
        kind=item.kind,
        tag=item.tag,
        place=item.place,
        value=item.value,
        lent_on=loan.out_on if loan else None,
        back_on=back_on,
        last_with=name_told(member, with_names=with_names),
        found_on=found.get(item.equipment_id),
        written_off_on=off.get(item.equipment_id),
    )


def _last_loans(session: Session, until: date) -> dict[UUID, tuple[Loan, date | None, str]]:
    """The last loan of each item up to a day, alone or within a kit, when it came back of it, and to whom it was."""
    query = (
        select(LoanPart.equipment_id, Loan, LoanPart.back_on, Member.name)
        .join(Loan, LoanPart.loan_id == Loan.id)
        .join(Member, Loan.member_id == Member.id)
        .where(LoanPart.equipment_id.is_not(None), Loan.out_on <= until)
        .order_by(Loan.out_on, Loan.id)
    )
    return {
        key: (loan, back_on, member)
        for key, loan, back_on, member in session.execute(query)
        if key is not None
    }


def _found_again(session: Session, since: date | None) -> dict[UUID, date | None]:
    """When what was missing from that day on was found again."""
    query = select(Absence.equipment_id, Absence.found_on).where(Absence.since == since)
    return dict(session.execute(query).all())


def _before(session: Session, stocktake: Stocktake) -> Stocktake | None:
    """The stocktake that was finished last before this one."""
    query = (
        select(Stocktake)
        .where(Stocktake.finished_on.is_not(None), Stocktake.id != stocktake.id)
        .order_by(Stocktake.finished_on.desc(), Stocktake.id.desc())
    )
    if stocktake.finished_on is None:
        return session.scalars(query.limit(1)).first()
    mine = (stocktake.finished_on, str(stocktake.id))
    return next(
        (one for one in session.scalars(query) if one.finished_on and (one.finished_on, str(one.id)) < mine),
        None,
    )


def _since(session: Session, before: Stocktake, now: Standing) -> list[BeforeLine]:
    """How what the stocktake before did not find stands in this one."""
    stands = {item.equipment_id: item.found for item in now.items}
    return [
        BeforeLine(name=item.name, tag=item.tag, found=stands.get(item.equipment_id))
        for item in counted(session, before)[0]
        if item.found is Found.NOT_SEEN
    ]
