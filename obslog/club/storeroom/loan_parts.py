"""The parts of a loan: which go out, how each went and came back, and what becomes of one that is lost."""

from collections.abc import Mapping, Sequence
from datetime import date
from uuid import UUID

from sqlalchemy import Select, false, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.absences import Missable, note_found, note_missing
from obslog.club.register.things import Lendable
from obslog.club.routine.condition_words import words_in_force
from obslog.club.routine.part_conditions import Conditions, by_label
from obslog.club.storeroom.custody import Custody, IsOut, StoreStatus, state_of_part
from obslog.club.storeroom.kits import parts_of
from obslog.errors import ObslogError, WrongInput
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment
from obslog.vocabulary.storeroom import Condition

Part = tuple[str, UUID | None, UUID | None]
"""A label, and the keys of the item and of the part of the kit."""


class NotToBeLent(ObslogError):
    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{name} cannot be lent: {why}.", "See what can: obslog store list")


class InTwoPlaces(WrongInput):
    """Of a day that somebody typed: what laptops wrote apart is merged as it stands."""

    def __init__(self, label: str, out: date, back: date, *, coming_back: bool = False) -> None:
        day = f"it was back on {out} at the latest; say when" if coming_back else "give another day"
        super().__init__(
            f"{label} was out from {out} to {back}.", f"Nothing is in two places: {day} with --on."
        )


def flush_or_say_it_is_out(session: Session, name: str) -> None:
    """On a server two programs may ask at the same moment; the index lets one of them through."""
    try:
        session.flush()
    except IntegrityError as error:
        raise IsOut(name) from error


def parts_to_lend(session: Session, what: Lendable, state: Mapping[UUID, Custody], day: date) -> list[Part]:
    """What goes with it; without what is missing, retired or lent apart, also on that day and back since.

    Raises NotToBeLent where nothing is left, and InTwoPlaces where it was on loan itself on that day.
    """
    if not isinstance(what, Kit):
        alone = (what.name, what.id, None)
        refuse_if_out_then(session, [alone], day)
        return [alone]
    of_kit = select(Loan.out_on, Loan.back_on).where(Loan.kit_id == what.id)
    _refuse(session, what.name, of_kit.where(Loan.out_on <= day, Loan.back_on > day))
    there: list[Part] = [
        (part.label, part.equipment_id, part.id)
        for part in parts_of(session, what)
        if state_of_part(part, state).status is StoreStatus.IN
    ]
    if not there:
        raise NotToBeLent(what.name, "none of its parts is there")
    found = [part for part in there if session.execute(_stays_on(part, day)).first() is None]
    if not found:
        refuse_if_out_then(session, there, day)
    return found


def could_be_lent(session: Session, state: Mapping[UUID, Custody]) -> set[UUID]:
    """What is in the store, by key: items, and kits of which a part at least is there."""
    there = {key for key, now in state.items() if now.status is StoreStatus.IN}
    kits = set(session.scalars(select(Kit.id)))
    in_use = session.scalars(select(KitPart).where(KitPart.left_on.is_(None)))
    with_a_part = {part.kit_id for part in in_use if state_of_part(part, state).status is StoreStatus.IN}
    return there - (kits - with_a_part)


def refuse_if_out_then(session: Session, parts: Sequence[Part], day: date) -> None:
    """Raises InTwoPlaces where one of the parts was on another loan on the day it is to go out."""
    for part in parts:
        _refuse(session, part[0], _stays_on(part, day))


def refuse_if_out_since(session: Session, part: LoanPart, out_on: date, day: date) -> None:
    """Raises InTwoPlaces where the part that went out on one day was lent again before the day it is to be back.

    On the day on which it went out it can always be back.
    """
    others = _stays((part.label, part.equipment_id, part.kit_part_id)).where(
        LoanPart.loan_id != part.loan_id, Loan.out_on >= out_on, Loan.out_on < day, LoanPart.back_on > out_on
    )
    _refuse(session, part.label, others, coming_back=True)


def _stays_on(part: Part, day: date) -> Select[date, date | None]:
    return _stays(part).where(Loan.out_on <= day, LoanPart.back_on > day)


def _stays(part: Part) -> Select[date, date | None]:
    """When a part was out, and is back."""
    _, item, of_kit = part
    same = LoanPart.equipment_id == item if item else (LoanPart.kit_part_id == of_kit if of_kit else false())
    return select(Loan.out_on, LoanPart.back_on).join(Loan, LoanPart.loan_id == Loan.id).where(same)


def _refuse(
    session: Session, label: str, stays: Select[date, date | None], *, coming_back: bool = False
) -> None:
    found = session.execute(stays.order_by(Loan.out_on, Loan.id).limit(1)).first()
    if found is not None and found[1] is not None:
        raise InTwoPlaces(label, found[0], found[1], coming_back=coming_back)


def add_parts(
    session: Session, loan: Loan, parts: list[Part], conditions: Conditions, all_good: bool
) -> None:
    """Write down in what condition each part goes out; one that is said to be missing does not. Raises UnknownName."""
    words = words_in_force(session)
    told = by_label(conditions, [label for label, _, _ in parts], words)
    unseen = words.for_(Condition.GOOD) if all_good else None
    for label, equipment_id, kit_part_id in parts:
        judged, note = told.get(label, (unseen, None))
        if judged is not None and judged.means is Condition.MISSING:
            continue
        session.add(
            LoanPart(
                loan_id=loan.id,
                label=label,
                equipment_id=equipment_id,
                kit_part_id=kit_part_id,
                condition_out=judged.means if judged else None,
                word_out=judged.word if judged else None,
                note_out=note,
            )
        )
    flush_or_say_it_is_out(session, "A part of it")


def end_parts(
    session: Session, parts: Sequence[LoanPart], day: date, conditions: Conditions, *, all_good: bool
) -> None:
    """Say in what condition each part came back; what was lost on loan was said so then. Raises UnknownName.

    What somebody looked at when it came back is missing no longer, where a label had been said to be while it was out.
    """
    words = words_in_force(session)
    told = by_label(conditions, [part.label for part in parts], words)
    unseen = words.for_(Condition.GOOD) if all_good else None
    for part in parts:
        if part.back_on is not None:
            continue
        part.back_on = day
        judged, part.note_in = told.get(part.label, (unseen, None))
        if judged is None:
            continue
        part.condition_in, part.word_in = judged.means, judged.word
        if judged.means is Condition.MISSING:
            lose_part(session, part, day)
        elif (what := _stands_for(session, part)) is not None:
            note_found(session, what, day)


def lose_part(session: Session, part: LoanPart, day: date) -> None:
    """Note what the part stands for as missing, where that is on record still."""
    what = _stands_for(session, part)
    if what is not None:
        note_missing(session, what, day)


def _stands_for(session: Session, part: LoanPart) -> Missable | None:
    """The item that went out, or the label of a kit."""
    if part.equipment_id is not None:
        return session.get(Equipment, part.equipment_id)
    return session.get(KitPart, part.kit_part_id) if part.kit_part_id else None
