"""Which eyepiece on record to put in after the last sync, given how far out go-tos are expected to land."""

from dataclasses import dataclass
from math import exp, log

from sqlalchemy.orm import Session

from obslog.club.targets.eyepieces_at_hand import Outing, fields_at_hand

GOOD_CHANCE = 0.9


@dataclass(frozen=True, slots=True)
class EyepieceAdvice:
    """An eyepiece, its true field with that tube, and the chance that a go-to lands in it."""

    eyepiece: str
    field_arcmin: float
    chance: float


def eyepiece_for(
    session: Session, outing: Outing, half_arcmin: float, most_arcmin: float
) -> EyepieceAdvice | None:
    """The narrowest field in which 90 % of go-tos land, else the widest there is; None where no field is known.

    Half of them land inside the one radius, 95 % inside the other.
    """
    offers = [
        EyepieceAdvice(name, field, _chance_inside(field / 2, half_arcmin, most_arcmin))
        for field, name in fields_at_hand(session, outing)
    ]
    good = (offer for offer in offers if offer.chance >= GOOD_CHANCE)
    return next(good, offers[-1] if offers else None)


def _chance_inside(radius_arcmin: float, half_arcmin: float, most_arcmin: float) -> float:
    """The chance of landing inside a radius, by a Weibull law through the two that are told, so that it agrees.

    It is Rayleigh's where the larger is 2.08 times the smaller; a landing whose centre is not known has a longer tail.
    Source: W. Weibull, J. Appl. Mech. 18 (1951) 293, from memory. That landings follow it between the two is judged.
    """
    shape = log(log(20.0) / log(2.0)) / log(most_arcmin / half_arcmin)
    return 1.0 - exp(-log(2.0) * (radius_arcmin / half_arcmin) ** shape)
