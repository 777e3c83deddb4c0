"""Which eyepiece on record to put in after the last sync, given how far out go-tos are expected to land."""

from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.night.true_field import true_field_arcmin
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Eyepiece, Tube

GOOD_CHANCE = 0.9


@dataclass(frozen=True, slots=True)
class EyepieceAdvice:
    """An eyepiece, its true field with that tube, and the chance that a go-to lands in it."""

    eyepiece: str
    field_arcmin: float
    chance: float


def eyepiece_for(session: Session, tube_name: str, half_arcmin: float) -> EyepieceAdvice | None:
    """The narrowest field in which 90 % of go-tos land, else the widest there is; None where no field is on record.

    `half_arcmin` is the radius inside which half of them land.
    """
    from obslog.trends.landings.landing_scale import chance_inside

    tube = by_name(session, Tube, tube_name)
    eyepieces = session.scalars(select(Eyepiece).where(Eyepiece.retired_on.is_(None)))
    fields = sorted(
        (field, eyepiece.name)
        for eyepiece in eyepieces
        if (field := true_field_arcmin(tube, eyepiece)) is not None
    )
    offers = [EyepieceAdvice(name, field, float(chance_inside(half_arcmin, field))) for field, name in fields]
    good = (offer for offer in offers if offer.chance >= GOOD_CHANCE)
    return next(good, offers[-1] if offers else None)
