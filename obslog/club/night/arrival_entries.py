"""What was said of an arrival, and how it is written onto the record."""

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.night.open_night import Where
from obslog.club.register.true_field import field_in_use_arcmin
from obslog.errors import WrongInput
from obslog.grammar.arrival_words import ArrivalSaid
from obslog.grammar.target_names import Target
from obslog.grammar.told_words import once
from obslog.offsets import OffsetOrLanding
from obslog.records.name_lookup import key_of_member
from obslog.records.tables.logbook_tables import Arrival
from obslog.vocabulary.arrivals import Landing, Role
from obslog.vocabulary.mounts import MountType, PierSide
from obslog.vocabulary.observations import says_none


class KeysMoveOtherwise(WrongInput):
    def __init__(self, mount: str) -> None:
        super().__init__(
            f"{mount} is an altaz mount: its keys move in altitude and azimuth, not east and north.",
            "Give the offset in arcminutes on the sky, like 3E 2N, or as a fraction of the field.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalEntry:
    """What was said about an arrival. What is None was not said; an empty note takes the old one away."""

    target: str | None = None
    where: OffsetOrLanding | None = None
    at: str | None = None
    pier_side: PierSide | None = None
    eyepiece: str | None = None
    field_arcmin: float | None = None
    centring_arcmin: float | None = None
    ra_hours: float | None = None
    dec_deg: float | None = None
    observer: str | None = None
    role: Role | None = None
    note: str | None = None


def entry_of(said: ArrivalSaid, told: ArrivalEntry | None = None) -> ArrivalEntry:
    """The arrival that words say, with what was told otherwise. Raises SaidTwice where the two differ."""
    told = told or ArrivalEntry()
    return replace(
        told,
        target=said.target.name,
        where=said.where,
        **{
            name: once(name, getattr(said, name), getattr(told, name))
            for name in ("pier_side", "eyepiece", "field_arcmin", "centring_arcmin", "observer", "note")
        },
    )


def apply_entry(
    session: Session, arrival: Arrival, entry: ArrivalEntry, target: Target, where: Where
) -> None:
    """Write onto the arrival what was said, in the units of the record."""
    _check(entry)
    for column, value in _given(session, arrival, entry, where).items():
        setattr(arrival, column, value)
    if entry.where is None:
        return
    arrival.landing, arrival.offset_east_arcmin, arrival.offset_north_arcmin = None, None, None
    if isinstance(entry.where, Landing):
        arrival.landing = entry.where
        return
    if entry.where.uses_centring_time and where.mount.mount_type == MountType.ALTAZ:
        raise KeysMoveOtherwise(where.mount.name)
    dec_deg = arrival.dec_deg if arrival.dec_deg is not None else target.dec_deg
    east, north = entry.where.in_arcmin(arrival.field_arcmin, dec_deg, target.name)
    fields.OFFSET_ARCMIN.check(east)
    fields.OFFSET_ARCMIN.check(north)
    arrival.offset_east_arcmin, arrival.offset_north_arcmin = round(east, 3), round(north, 3)


def _given(session: Session, arrival: Arrival, entry: ArrivalEntry, where: Where) -> dict[str, Any]:
    """The columns that were said; a note that is nothing takes the old one away."""
    given: dict[str, Any] = {
        "pier_side": entry.pier_side,
        "centring_arcmin": entry.centring_arcmin,
        "note": fields.NOTE.checked(entry.note) if entry.note else None,
        "ra_hours": entry.ra_hours,
        "dec_deg": entry.dec_deg,
        "member_id": key_of_member(session, entry.observer),
    }
    if entry.field_arcmin is not None:
        given["field_arcmin"] = entry.field_arcmin
    elif entry.eyepiece is not None or arrival.field_arcmin is None:
        given["field_arcmin"] = field_in_use_arcmin(session, where.setup, entry.eyepiece)
    said = {column: value for column, value in given.items() if value is not None}
    taken_away = {"note": None} if entry.note == "" else {}
    if says_none(entry.eyepiece) and entry.field_arcmin is None:
        taken_away["field_arcmin"] = None
    return said | taken_away


def _check(entry: ArrivalEntry) -> None:
    fields.FIELD_ARCMIN.check(entry.field_arcmin)
    fields.CENTRING_ARCMIN.check(entry.centring_arcmin)
    fields.RA_HOURS.check(entry.ra_hours)
    fields.DEC_DEG.check(entry.dec_deg)
    if (entry.ra_hours is None) != (entry.dec_deg is None):
        raise WrongInput("A place needs both its coordinates.", "Give --ra HOURS and --dec DEG together.")
