"""What a club's records say of its mistakes: its sites, what snags name, and what first stars far off surely were."""

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, datetime
from uuid import UUID

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session, aliased

from obslog.club.aligning.first_star_mistakes import ClubRecord, FirstMiss, causes_of_miss
from obslog.club.aligning.mistake_words import OF_NO_ALIGNMENT, mistakes_in
from obslog.club.aligning.past_mistakes import Mistake, PastMistakes
from obslog.club.aligning.star_candidates import BelowTheHorizon
from obslog.club.performance.mathematics import MATHEMATICS
from obslog.club.register.observing_site import ObservingSite, view_from, zone_or_utc
from obslog.pointing.mistakes.posterior import FIRST_STAR_FAR_ARCMIN, LikelyCause
from obslog.records.kept_results import THE_CLUB, KeptResults, Result
from obslog.records.tables.logbook_tables import Arrival, Mount, Night, Setup, Site, Snag
from obslog.sky.names.lookup import found_or_none
from obslog.times import night_of
from obslog.vocabulary.mistakes import Cause
from obslog.vocabulary.mounts import MountType

FIRST_STAR_MISTAKES = "mistakes behind first stars"
SURELY = 0.9
NO_MISTAKE = frozenset({Cause.ORDINARY, Cause.SOMETHING_ELSE})


@dataclass(frozen=True, slots=True, kw_only=True)
class _FarStar:
    """The first arrival of a set-up, measured far out, with what is needed to judge it."""

    night: date
    site: UUID
    mount_type: MountType | None
    star: str
    at_utc: datetime
    east_arcmin: float
    north_arcmin: float


def read_club_record(session: Session) -> ClubRecord:
    """Read it once, however many misses are to be explained.

    First stars are judged for the count by what is common practice alone, never by what was counted before: so no
    answer depends on what was asked first. What they were is kept, by the year, until a star, a site or the
    mathematics changes.
    """
    sites = list(session.scalars(select(Site).order_by(Site.name_key)))
    places = tuple(
        (site.name, site.lat_deg, site.lon_deg)
        for site in sites
        if site.lat_deg is not None and site.lon_deg is not None
    )
    plain = ClubRecord(places)
    named = [*_named_by_people(session, sites), *_surely(session, plain, sites, _far_stars(session))]
    return replace(plain, past=PastMistakes(tuple(named), _measured(session)))


def _is_first() -> ColumnElement[bool]:
    """Of set-ups joined with their arrivals: those arrivals before which there was none."""
    other = aliased(Arrival)
    earliest = select(func.min(other.at_utc)).where(other.setup_id == Setup.id).correlate(Setup)
    return Arrival.at_utc == earliest.scalar_subquery()


def _measured(session: Session) -> dict[date, int]:
    """On how many set-ups of each night it was measured where the first star stood."""
    query = (
        select(Night.night_of, func.count(Setup.id.distinct()))
        .join(Setup, Setup.night_id == Night.id)
        .join(Arrival, Arrival.setup_id == Setup.id)
        .where(Arrival.offset_east_arcmin.is_not(None), _is_first())
        .group_by(Night.night_of)
    )
    return {night: count for night, count in session.execute(query)}  # noqa: C416 - rows, to the type checker


def _far_stars(session: Session) -> list[_FarStar]:
    """The first stars of all set-ups that were measured far out, in the order of their nights."""
    east, north = Arrival.offset_east_arcmin, Arrival.offset_north_arcmin
    rows = session.execute(
        select(Night.night_of, Night.site_id, Mount.mount_type, Arrival.target, Arrival.at_utc, east, north)
        .join(Setup, Setup.night_id == Night.id)
        .join(Mount, Setup.mount_id == Mount.id)
        .join(Arrival, Arrival.setup_id == Setup.id)
        .where(east * east + north * north > FIRST_STAR_FAR_ARCMIN**2, _is_first())
        .order_by(Night.night_of, Arrival.id)
    )
    return [
        _FarStar(
            night=night,
            site=site,
            mount_type=mount_type,
            star=star,
            at_utc=at_utc,
            east_arcmin=east_arcmin,
            north_arcmin=north_arcmin,
        )
        for night, site, mount_type, star, at_utc, east_arcmin, north_arcmin in rows
        if east_arcmin is not None and north_arcmin is not None
    ]


def _named_by_people(session: Session, sites: list[Site]) -> list[Mistake]:
    """What snags name, with their nights, at the steps where a mistake is made or seen and at the club's own."""
    zones = {site.id: zone_or_utc(site.zone) for site in sites}
    rows = session.execute(
        select(Snag.text, Snag.at_utc, Snag.site_id, Night.night_of)
        .outerjoin(Setup, Snag.setup_id == Setup.id)
        .outerjoin(Night, Setup.night_id == Night.id)
        .where(Snag.step.not_in(sorted(OF_NO_ALIGNMENT)))
    )
    return [
        Mistake(night or night_of(at_utc, zones[site] if site else zone_or_utc(None)), cause)
        for text, at_utc, site, night in rows
        for cause in mistakes_in([text])
    ]


def _surely(session: Session, plain: ClubRecord, sites: list[Site], far: list[_FarStar]) -> list[Mistake]:
    """The mistakes that surely put first stars far out, kept by the year."""
    by_year: dict[int, list[_FarStar]] = defaultdict(list)
    for one in far:
        by_year[one.night.year].append(one)
    if not by_year:
        return []
    kept = KeptResults.of(session, MATHEMATICS)
    kept.read_ahead(FIRST_STAR_MISTAKES)

    def of_year(year: int) -> list[Mistake]:
        stars = by_year[year]
        return kept.get(
            Result(FIRST_STAR_MISTAKES, f"{THE_CLUB} {year}"),
            (),
            list[Mistake],
            lambda: _mistakes_behind(plain, views, stars),
            basis=(told, stars),
        )

    views = {
        site.id: view
        for site in sites
        if site.zone and site.lat_deg is not None and (view := view_from(site)) is not None
    }
    told = plain.sites, [(key, view.place, str(view.zone)) for key, view in views.items()]
    return [mistake for year in sorted(by_year) for mistake in of_year(year)]


def _mistakes_behind(
    plain: ClubRecord, views: dict[UUID, ObservingSite], stars: list[_FarStar]
) -> list[Mistake]:
    found = []
    for one in stars:
        view = views.get(one.site)
        if view is None or found_or_none(one.star) is None:
            continue
        miss = FirstMiss(star=one.star, east_deg=one.east_arcmin / 60, north_deg=one.north_arcmin / 60)
        try:
            causes = causes_of_miss(plain, view, one.at_utc, [miss], one.mount_type or MountType.GERMAN)
        except BelowTheHorizon:
            continue
        if (cause := sure_cause(causes)) is not None:
            found.append(Mistake(one.night, cause))
    return found


def sure_cause(causes: list[LikelyCause]) -> Cause | None:
    """The mistake that surely was it, of causes with the likeliest first; None where none surely was."""
    likeliest = causes[0]
    is_sure = likeliest.probability >= SURELY and likeliest.cause not in NO_MISTAKE
    return likeliest.cause if is_sure else None
