"""Finding words again: in what was written of objects, nights, set-ups, arrivals, snags and services."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import ColumnElement, Select, func, select
from sqlalchemy.orm import InstrumentedAttribute, Session

from obslog.club.register.observing_site import zone_or_utc
from obslog.errors import WrongInput
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import (
    Arrival,
    Equipment,
    Member,
    Night,
    Observation,
    Service,
    Setup,
    Site,
    Snag,
)
from obslog.records.tables.search_text import read_mapped, search_form

_SAMPLE = 500  # rows that tell which word is the rarer


class NothingToFind(WrongInput):
    def __init__(self) -> None:
        super().__init__("There is no word to look for.", 'Give one or more: obslog find "dust lane"')


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundText:
    """A place where all the words stand; what is not known of it is None."""

    kind: str
    day: date
    site: str | None
    about: str
    who: str | None
    text: str


def find_text(database: Database, words: str, *, most: int = 50) -> list[FoundText]:
    """Every record in which all the words stand, in any order, whatever their case and accents; the newest first.

    A word may be a part of one. At most `most` of each kind. Raises NothingToFind.
    """
    terms = search_form(words).split()
    if not terms:
        raise NothingToFind
    with database.read() as session:
        read_mapped(session)
        found = [
            *_observations(session, terms, most),
            *_of_nights(session, terms, most),
            *_of_equipment(session, terms, most),
        ]
    return sorted(found, key=lambda hit: hit.day or date.min, reverse=True)


def holds(column: InstrumentedAttribute[str | None], terms: Iterable[str]) -> list[ColumnElement[bool]]:
    """What a search text must fulfil: it holds every term, with characters like % meant as they are."""
    return [column.is_not(None), *(column.contains(term, autoescape=True) for term in terms)]


def _newest(
    session: Session, kind: type[Observation] | type[Arrival], terms: list[str], most: int
) -> Select[UUID]:
    """The keys of the newest rows that hold every term, chosen before anything is joined to them."""
    rarest = _rarest_first(session, kind, terms)
    return select(kind.id).where(*holds(kind.search_text, rarest)).order_by(kind.at_utc.desc()).limit(most)


def _rarest_first(session: Session, kind: type[Observation] | type[Arrival], terms: list[str]) -> list[str]:
    """The terms by how seldom the newest rows hold them: a row is left at the first term that it lacks."""
    if len(terms) == 1:
        return terms
    some = select(kind.search_text).where(kind.search_text.is_not(None)).order_by(kind.at_utc.desc())
    sample = some.limit(_SAMPLE).subquery()
    held = [func.count().filter(sample.c.search_text.contains(term, autoescape=True)) for term in terms]
    counts = session.execute(select(*held)).one()
    return [term for _, term in sorted(zip(counts, terms, strict=True), key=lambda pair: pair[0])]


def _observations(session: Session, terms: list[str], most: int) -> Iterable[FoundText]:
    query = (
        select(Night.night_of, Site.name, Observation.target, Member.name, Observation.description, Observation.sketch)
        .select_from(Observation)
        .join(Night, Observation.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .outerjoin(Member, Observation.member_id == Member.id)
        .where(Observation.id.in_(_newest(session, Observation, terms, most)))
        .order_by(Observation.at_utc.desc())
    )  # fmt: skip
    for night, site, target, who, description, sketch in session.execute(query):
        yield FoundText(
            kind="observation", day=night, site=site, about=target, who=who, text=description or sketch or ""
        )


def _of_nights(session: Session, terms: list[str], most: int) -> Iterable[FoundText]:
    """Notes of nights, set-ups and arrivals."""
    night: Select[Any, Any, Any, Any, Any] = (
        select(Night.night_of, Site.name, Site.name, Member.name, Night.note)
        .join(Site, Night.site_id == Site.id)
        .outerjoin(Member, Member.id.is_(None))
        .where(*holds(Night.search_text, terms))
    )
    setup: Select[Any, Any, Any, Any, Any] = (
        select(Night.night_of, Site.name, Equipment.name, Member.name, Setup.note)
        .select_from(Setup)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Equipment, Setup.mount_id == Equipment.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .where(*holds(Setup.search_text, terms))
    )
    arrival: Select[Any, Any, Any, Any, Any] = (
        select(Night.night_of, Site.name, Arrival.target, Member.name, Arrival.note)
        .select_from(Arrival)
        .join(Setup, Arrival.setup_id == Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .outerjoin(Member, Setup.member_id == Member.id)
        .where(Arrival.id.in_(_newest(session, Arrival, terms, most)))
    )
    for kind, query in (("night", night), ("set-up", setup), ("arrival", arrival)):
        for day, site, about, who, text in session.execute(query.order_by(Night.night_of.desc()).limit(most)):
            yield FoundText(kind=kind, day=day, site=site, about=about, who=who, text=text or "")


def _of_equipment(session: Session, terms: list[str], most: int) -> Iterable[FoundText]:
    """Snags and services."""
    snags = (
        select(
            Snag.at_utc, Site.name, Site.zone, Equipment.name, Member.name, Snag.step, Snag.text, Snag.remedy
        )
        .select_from(Snag)
        .outerjoin(Site, Snag.site_id == Site.id)
        .outerjoin(Equipment, Snag.equipment_id == Equipment.id)
        .outerjoin(Member, Snag.member_id == Member.id)
        .where(*holds(Snag.search_text, terms))
        .order_by(Snag.at_utc.desc())
        .limit(most)
    )
    for at_utc, site, zone, thing, who, step, text, remedy in session.execute(snags):
        told = f"{text} (remedy: {remedy})" if remedy else text
        day = at_utc.astimezone(zone_or_utc(zone)).date()
        yield FoundText(kind="snag", day=day, site=site, about=thing or str(step), who=who, text=told)
    services = (
        select(Service.done_on, Equipment.name, Member.name, Service.text)
        .select_from(Service)
        .join(Equipment, Service.equipment_id == Equipment.id)
        .outerjoin(Member, Service.member_id == Member.id)
        .where(*holds(Service.search_text, terms))
        .order_by(Service.done_on.desc())
        .limit(most)
    )
    for day, thing, who, text in session.execute(services):
        yield FoundText(kind="service", day=day, site=None, about=thing, who=who, text=text)
