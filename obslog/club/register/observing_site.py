"""A site one observes from: its place, zone and horizon, and what a time said there means."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy import select

from obslog.errors import ObslogError, WrongInput, quoted
from obslog.grammar.typed_times import DayWord, begins_with_a_date, instant_meant, read_full_utc
from obslog.horizon import Horizon, read_horizon
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Site
from obslog.times import night_bounds_utc, night_of, zone_named
from obslog.values import Place
from obslog.vocabulary.hint_options import SITE_OPTIONS


class SiteWithoutPlace(ObslogError):
    def __init__(self, site: str) -> None:
        super().__init__(
            f"Where {site} lies is not on record.",
            f"Set it: obslog site edit {quoted(site)} {SITE_OPTIONS}",
        )


@dataclass(frozen=True, slots=True)
class ObservingSite:
    """A site one looks from: its name, place, zone, and what hides its sky."""

    site: str
    place: Place
    zone: ZoneInfo
    horizon: Horizon = ()

    def night_at(self, instant: datetime) -> date:
        return night_of(instant, self.zone)

    def noon_before(self, instant: datetime) -> datetime:
        """The noon at which the night that holds the instant begins, in UTC."""
        return night_bounds_utc(self.night_at(instant), self.zone)[0]


class SiteWithoutZone(ObslogError):
    def __init__(self, site: str) -> None:
        super().__init__(
            f"The time zone of {site} is not on record.",
            f"Set it: obslog site edit {quoted(site)} {SITE_OPTIONS}",
        )


class WhichDay(WrongInput):
    """Today, or yesterday, at sites that have different dates now."""

    def __init__(self, word: str, dates: Mapping[date, str]) -> None:
        told = " and ".join(f"{day} at {site}" for day, site in sorted(dates.items()))
        super().__init__(f"{word.capitalize()} is {told}.", "Write the date that you mean.")


def place_of(site: Site) -> Place | None:
    """Where a site lies, at sea level where its height is not on record; None where its place is not."""
    if site.lat_deg is None or site.lon_deg is None:
        return None
    return Place(site.lat_deg, site.lon_deg, site.elevation_m or 0.0)


def zone_of(site: Site) -> ZoneInfo:
    """The site's zone; raises SiteWithoutZone where it is not on record."""
    if site.zone is None:
        raise SiteWithoutZone(site.name)
    return zone_named(site.zone)


def zone_or_none(site: Site) -> ZoneInfo | None:
    return zone_named(site.zone) if site.zone else None


def zone_or_utc(zone: str | None) -> ZoneInfo:
    """The zone of that name, by which nights are told apart; UTC where a site's is not on record."""
    return zone_named(zone or "UTC")


def day_said(database: Database, word: DayWord, now: datetime, site_name: str | None) -> date:
    """The date that the word means at the site of that name, else at those in use; by UTC where no zone is on record.

    Raises UnknownName, and WhichDay where the sites have different dates.
    """
    with database.read() as session:
        in_use = select(Site).where(Site.retired_on.is_(None)).order_by(Site.name.desc())
        sites = [by_name(session, Site, site_name)] if site_name else session.scalars(in_use).all()
        zones = [(zone, site.name) for site in sites if (zone := zone_or_none(site)) is not None]
    dates = {word.date_at(now, zone): name for zone, name in zones}
    if len(dates) > 1:
        raise WhichDay(word, dates)
    return next(iter(dates), word.date_at(now, zone_or_utc(None)))


def observing_site(database: Database, site_name: str) -> ObservingSite:
    """The site to look from. Raises UnknownName, SiteWithoutPlace, SiteWithoutZone."""
    with database.read() as session:
        site = by_name(session, Site, site_name)
        view = view_from(site)
        if view is None:
            raise SiteWithoutPlace(site.name)
        zone_of(site)
        return view


def view_from(site: Site) -> ObservingSite | None:
    """A site to look from, with its horizon, by UTC where it has no zone; None where its place is not on record."""
    place = place_of(site)
    if place is None:
        return None
    return ObservingSite(site.name, place, zone_or_utc(site.zone), read_horizon(site.horizon or ""))


def instant_at(view: ObservingSite, text: str | None, now: datetime, *, planning: bool = False) -> datetime:
    """What a person at this site means by `--at`: see `instant_meant`."""
    return instant_meant(text, now, view.zone, planning=planning)


def instant_at_site(
    database: Database, site_name: str, text: str | None, now: datetime, *, planning: bool = False
) -> datetime:
    """The same where the site's place, and for a full instant its zone, need not be on record.

    Raises UnknownName, SiteWithoutZone, and what reading times raises.
    """
    with database.read() as session:
        site = by_name(session, Site, site_name)
    if site.zone is None and text is None:
        return now
    if site.zone is None and text is not None and begins_with_a_date(text):
        return read_full_utc(text)
    return instant_meant(text, now, zone_of(site), planning=planning)
