"""References that `conflicts` has given, typed where they are of no use: what settles them is said."""

from sqlalchemy.orm import Session

from obslog.club.together.joined_leavers import joined_leavers
from obslog.club.together.left_open import setups_left_open
from obslog.club.together.standing_words import ToSettle, to_settle
from obslog.errors import WrongInput
from obslog.records.merging.disagreements import disagreements


class NoSuchConflict(WrongInput):
    def __init__(self, reference: str) -> None:
        super().__init__(
            f"There is no conflict with the reference {reference!r}.", "See what there is: obslog conflicts"
        )


class NothingToChoose(WrongInput):
    def __init__(self, reference: str, settle: str) -> None:
        super().__init__(f"{reference} is no value of which there are two.", settle)


class NothingToDrop(WrongInput):
    def __init__(self, reference: str, settle: str) -> None:
        super().__init__(f"{reference} is no record that waits, so there is nothing to drop.", settle)


def nothing_to_choose(session: Session, reference: str) -> WrongInput:
    """Why a reference is none of a field, with what settles it where it is that of something else."""
    for one in all_to_settle(session):
        if one.reference == reference:
            return NothingToChoose(reference, one.settle)
    return NoSuchConflict(reference)


def nothing_to_drop(session: Session, reference: str) -> WrongInput:
    """Why a reference is none of a record that waits, with what settles it where it is that of something else."""
    for field in disagreements(session):
        if field.reference == reference:
            return NothingToDrop(reference, f"To take the other value: obslog conflicts choose {reference}")
    for one in all_to_settle(session):
        if one.reference == reference:
            return NothingToDrop(reference, one.settle)
    return NoSuchConflict(reference)


def all_to_settle(session: Session) -> list[ToSettle]:
    return [*to_settle(session), *setups_left_open(session), *joined_leavers(session)]
