"""The parts of a loan: which go out, how each went and came back, and what becomes of one that is lost."""

from collections.abc import Mapping, Sequence
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from obslog.club.absences import note_missing
from obslog.club.register.things import Lendable
from obslog.club.routine.condition_words import words_in_force
from obslog.club.routine.part_conditions import Conditions, by_label
from obslog.club.storeroom.custody import Custody, IsOut, StoreStatus, state_of_part
from obslog.club.storeroom.kits import parts_of
from obslog.errors import ObslogError
from obslog.records.tables.lending import Kit, KitPart, Loan, LoanPart
from obslog.records.tables.logbook_tables import Equipment
from obslog.vocabulary.storeroom import Condition

Part = tuple[str, UUID | None, UUID | None]
"""A label, and the keys of the item and of the part of the kit."""


class NotToBeLent(ObslogError):
    def __init__(self, name: str, why: str) -> None:
        super().__init__(f"{name} cannot be lent: {why}.", "See what can: obslog store list")


def flush_or_say_it_is_out(session: Session, name: str) -> None:
    """On a server two programs may ask at the same moment; the index lets one of them through."""
    try:
        session.flush()
    except IntegrityError as error:
        raise IsOut(name) from error


def parts_to_lend(session: Session, what: Lendable, state: Mapping[UUID, Custody]) -> list[Part]:
    """What goes with it; without what is missing, retired or lent apart. Raises NotToBeLent where nothing is left."""
    if not isinstance(what, Kit):
        return [(what.name, what.id, None)]
    found: list[Part] = [
        (part.label, part.equipment_id, part.id)
        for part in parts_of(session, what)
        if state_of_part(part, state).status is StoreStatus.IN
    ]
    if not found:
        raise NotToBeLent(what.name, "none of its parts is there")
    return found


def could_be_lent(session: Session, state: Mapping[UUID, Custody]) -> set[UUID]:
    """What is in the store, by key: items, and kits of which a part at least is there."""
    there = {key for key, now in state.items() if now.status is StoreStatus.IN}
    kits = set(session.scalars(select(Kit.id)))
    in_use = session.scalars(select(KitPart).where(KitPart.left_on.is_(None)))
    with_a_part = {part.kit_id for part in in_use if state_of_part(part, state).status is StoreStatus.IN}
    return there - (kits - with_a_part)


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
    """Say in what condition each part came back; what was lost on loan was said so then. Raises UnknownName."""
    words = words_in_force(session)
    told = by_label(conditions, [part.label for part in parts], words)
    unseen = words.for_(Condition.GOOD) if all_good else None
    for part in parts:
        if part.back_on is not None:
            continue
        part.back_on = day
        judged, part.note_in = told.get(part.label, (unseen, None))
        if judged is not None:
            part.condition_in, part.word_in = judged.means, judged.word
        if part.condition_in == Condition.MISSING:
            lose_part(session, part, day)


def lose_part(session: Session, part: LoanPart, day: date) -> None:
    """Note what the part stands for as missing, where it is more than a label."""
    of_kit = session.get(KitPart, part.kit_part_id) if part.kit_part_id else None
    what = session.get(Equipment, part.equipment_id) if part.equipment_id else of_kit
    if what is not None:
        note_missing(session, what, day)
