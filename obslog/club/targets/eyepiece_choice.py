"""Which eyepiece on record to put in after the last sync, given how far out go-tos are expected to land."""

from dataclasses import dataclass

from sqlalchemy.orm import Session

from obslog.club.register.true_field import fields_to_choose_from
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Tube

GOOD_CHANCE = 0.9


@dataclass(frozen=True, slots=True)
class EyepieceAdvice:
    """An eyepiece, its true field with that tube, and the chance that a go-to lands in it."""

    eyepiece: str
    field_arcmin: float
    chance: float


def eyepiece_for(session: Session, tube_name: str, half_arcmin: float) -> EyepieceAdvice | None:
    """The narrowest field in which 90 % of go-tos land, else the widest there is; None where no field is known.

    `half_arcmin` is the radius inside which half of them land.
    """
    from obslog.trends.landings.landing_scale import chance_inside

    tube = by_name(session, Tube, tube_name)
    offers = [
        EyepieceAdvice(name, field, float(chance_inside(half_arcmin, field)))
        for field, name in fields_to_choose_from(session, tube)
    ]
    good = (offer for offer in offers if offer.chance >= GOOD_CHANCE)
    return next(good, offers[-1] if offers else None)
