"""The eyepieces that can be put in where one observes, by the true fields that they show with a tube."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import column, or_, select, table
from sqlalchemy.orm import Session

from obslog.club.register.true_field import true_field_arcmin
from obslog.records.tables.column_types import Key
from obslog.records.tables.logbook_tables import Eyepiece, Night, Observation, Setup, Tube

# The prompt does not map the store-room.
_ABSENCES = table("absences", column("equipment_id", Key()), column("found_on"))
_LOANS = table("loans", column("id", Key()), column("member_id", Key()))
_LOAN_PARTS = table("loan_parts", column("loan_id", Key()), column("equipment_id", Key()), column("back_on"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Outing:
    """Who observes where and with what, which is by what the eyepieces at hand are told; None: nobody was named."""

    site: UUID
    mount: UUID
    tube: Tube
    member: UUID | None = None


def fields_at_hand(session: Session, outing: Outing) -> list[tuple[float, str]]:
    """The true fields with the tube, in arcminutes, and whose they are, the narrowest first.

    None that is retired, written off or missing, nor that is on loan to somebody else than who observes, or has the
    mount or the tube. None either that was used at other sites and with other tubes alone, unless all were.
    """
    missing = select(_ABSENCES.c.equipment_id).where(_ABSENCES.c.found_on.is_(None))
    in_use = session.scalars(
        select(Eyepiece).where(
            Eyepiece.retired_on.is_(None),
            Eyepiece.id.not_in(missing),
            Eyepiece.id.not_in(_out_with_others(session, outing)),
        )
    ).all()
    kept_elsewhere = _used_elsewhere_alone(session, outing, in_use)
    at_hand = [eyepiece for eyepiece in in_use if eyepiece.id not in kept_elsewhere] or in_use
    return sorted(
        (field, eyepiece.name)
        for eyepiece in at_hand
        if (field := true_field_arcmin(outing.tube, eyepiece)) is not None
    )


def _out_with_others(session: Session, outing: Outing) -> list[UUID]:
    out = (
        select(_LOAN_PARTS.c.equipment_id, _LOANS.c.member_id)
        .join(_LOANS, _LOAN_PARTS.c.loan_id == _LOANS.c.id)
        .where(_LOAN_PARTS.c.back_on.is_(None), _LOAN_PARTS.c.equipment_id.is_not(None))
    )
    borrower: dict[UUID, UUID] = dict(session.execute(out).all())
    theirs = {outing.member, borrower.get(outing.mount), borrower.get(outing.tube.id)}
    return [item for item, member in borrower.items() if member not in theirs]


def _used_elsewhere_alone(
    session: Session, outing: Outing, eyepieces: Sequence[Eyepiece]
) -> set[UUID | None]:
    here = or_(Night.site_id == outing.site, Setup.tube_id == outing.tube.id)
    aligned = select(Setup.eyepiece_id, here).join(Night, Setup.night_id == Night.id)
    uses = list(session.execute(aligned.distinct()))
    used_here = {eyepiece for eyepiece, is_here in uses if is_here}
    in_doubt = [eyepiece.id for eyepiece in eyepieces if eyepiece.id not in used_here]
    if in_doubt:  # observations are many
        looked = (
            select(Observation.eyepiece_id, here)
            .join(Night, Observation.night_id == Night.id)
            .outerjoin(Setup, Observation.setup_id == Setup.id)
            .where(Observation.eyepiece_id.in_(in_doubt))
        )
        uses += session.execute(looked.distinct())
    return {eyepiece for eyepiece, _ in uses} - {eyepiece for eyepiece, is_here in uses if is_here}
