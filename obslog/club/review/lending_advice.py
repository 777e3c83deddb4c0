"""Which kit to lend next, to whom: from the records to the rules of lending."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import UUID

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.review.lending_suitability import (
    Advice,
    Borrower,
    KitToLend,
    Suitability,
    advice_on,
    advise,
    is_beginner,
)
from obslog.club.review.review import Review, review
from obslog.club.storeroom.custody import name_told
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.waiting_list import waiting_list
from obslog.club.upkeep.utilisation import Life, day_count
from obslog.english import counted
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.lending import Kit, KitPart, Loan
from obslog.records.tables.logbook_tables import Member, Setup, Tube
from obslog.times import DAYS_OF_A_YEAR


@dataclass(frozen=True, slots=True)
class AdviceFor:
    """What to lend to one member, the best first."""

    member: str
    setups: int
    beginner: bool
    kits: list[Advice]


@dataclass(frozen=True, slots=True, kw_only=True)
class NextLoan:
    """To whom a kit goes next: the first of those who wait; `member` is None where nobody does, or without names."""

    kit: str
    waiting: int
    member: str | None
    fit: Suitability | None
    reasons: list[str]


def advise_for(database: Database, member: str, today: date) -> AdviceFor:
    """The kits on record for one member. Raises UnknownName."""
    with database.read() as session:
        name = by_name(session, Member, member).name
    rules, kits = _kits(database, today)
    borrower = _borrowers(database, [name], today)[name]
    return AdviceFor(name, borrower.setups, is_beginner(borrower, rules), advise(borrower, kits, rules))


def next_loans(database: Database, today: date, *, with_names: bool = True) -> list[NextLoan]:
    """To whom each kit goes next: those that somebody waits for first, then those lent least."""
    rules, kits = _kits(database, today)
    borrowers = _borrowers(database, sorted({kit.waiting[0] for kit in kits if kit.waiting}), today)
    lines = []
    for kit in sorted(kits, key=lambda kit: (not kit.waiting, kit.days_lent, kit.name)):
        if kit.waiting:
            advice = advice_on(borrowers[kit.waiting[0]], kit, rules)
            member = name_told(advice.member, with_names=with_names)
            lines.append(
                NextLoan(
                    kit=kit.name,
                    waiting=len(kit.waiting),
                    member=member,
                    fit=advice.fit,
                    reasons=advice.reasons,
                )
            )
        else:
            use = (
                f"lent on {counted(kit.days_lent, 'day')} of the last year"
                if kit.days_lent
                else "not lent in the last year"
            )
            why = f"{kit.status}: {kit.why}" if kit.why else str(kit.status)
            lines.append(NextLoan(kit=kit.name, waiting=0, member=None, fit=None, reasons=[why, use]))
    return lines


def _kits(database: Database, today: date) -> tuple[Rules, list[KitToLend]]:
    """The kits that are not retired, as the review of today finds them."""
    judged = review(database, today)
    waiting: dict[str, list[str]] = {}
    for line in waiting_list(database):
        if line.kind == "kit" and line.member is not None:
            waiting.setdefault(line.what, []).append(line.member)
    with database.read() as session:
        rules = rules_in_force(session)
        kits = session.scalars(select(Kit).where(Kit.retired_on.is_(None)).order_by(Kit.name_key)).all()
        apertures, lent = _apertures(session), _days_lent(session, today)
        found = [
            _kit(kit, judged, waiting.get(kit.name, []), apertures.get(kit.id), lent.get(kit.id, 0))
            for kit in kits
        ]
    return rules, found


def _kit(
    kit: Kit, judged: Review, waiting: Sequence[str], aperture_mm: float | None, days_lent: int
) -> KitToLend:
    found = next(item for item in judged.items if (item.kind, item.name) == ("kit", kit.name))
    return KitToLend(
        name=kit.name,
        status=found.status,
        why=found.reasons[0].words if found.reasons else None,
        aperture_mm=aperture_mm,
        weight_kg=kit.weight_kg,
        waiting=waiting,
        effect=found.effect,
        with_tube=found.with_tube,
        wanting=found.wanting,
        days_lent=days_lent,
    )


def _apertures(session: Session) -> dict[UUID, float | None]:
    """The aperture of each kit's largest tube."""
    query = (
        select(KitPart.kit_id, func.max(Tube.aperture_mm))
        .join(Tube, KitPart.equipment_id == Tube.id)
        .where(KitPart.left_on.is_(None))
        .group_by(KitPart.kit_id)
    )
    return dict(session.execute(query).all())


def _days_lent(session: Session, today: date) -> dict[UUID, int]:
    """The days of the last year on which each kit was out."""
    first = today - timedelta(days=DAYS_OF_A_YEAR - 1)
    spans: dict[UUID, list[tuple[date, date | None]]] = {}
    for kit, out, back in session.execute(select(Loan.kit_id, Loan.out_on, Loan.back_on)):
        if kit is not None:
            spans.setdefault(kit, []).append((out, back))
    counts = {kit: day_count(Life(first, loans), first, today) for kit, loans in spans.items()}
    return {kit: count.out for kit, count in counts.items() if count is not None}


def _borrowers(database: Database, names: Sequence[str], today: date) -> dict[str, Borrower]:
    overdue: dict[str, list[str]] = {}
    for loan in list_loans(database, today, overdue=True):
        if loan.member is not None:
            overdue.setdefault(loan.member, []).append(loan.what)
    with database.read() as session:
        query = (
            select(Member.name, func.count(Setup.id))
            .outerjoin(Setup, Setup.member_id == Member.id)
            .where(Member.name.in_(names))
            .group_by(Member.name)
        )
        return {
            name: Borrower(name, setups, overdue.get(name, [])) for name, setups in session.execute(query)
        }
