"""What observations refer to, put into a log once: observers, sites, targets, tubes, eyepieces and filters."""

from datetime import datetime
from functools import cache
from uuid import UUID
from zoneinfo import ZoneInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.open_log.log_targets import log_target
from obslog.exchange.open_log.filter_kinds import filter_kind
from obslog.exchange.open_log.records import Log, LogEyepiece, LogFilter, LogObserver, LogScope, LogSite
from obslog.records.tables.logbook_tables import Eyepiece, Member, Site, Tube
from obslog.records.tables.storeroom import Paper
from obslog.times import standard_offset_hours, zone_named

COARSE_DEG = 0.1
"""Of latitude 11 km: near enough for the sky, too far for a thief."""
COARSE_M = 100
NOBODY = "observer-not-told"
NOT_TOLD = "not told"


class LogThings:
    """What is on record, and of it what is in the log already; each is asked for by its key and gives its id there."""

    def __init__(self, session: Session, log: Log, *, exact: bool) -> None:
        self.log, self.exact = log, exact
        self.unplaced: set[str] = set()
        self.tubes = {tube.id: tube for tube in session.scalars(select(Tube))}
        self.eyepieces = {eyepiece.id: eyepiece for eyepiece in session.scalars(select(Eyepiece))}
        self._members = dict(session.execute(select(Member.id, Member.name)).all())
        self._sites = {site.id: site for site in session.scalars(select(Site))}
        self._makers = dict(session.execute(select(Paper.equipment_id, Paper.maker)).all())
        self._zones: dict[UUID, ZoneInfo] = {
            key: zone_named(site.zone) for key, site in self._sites.items() if site.zone
        }
        self._targets: dict[str, str] = {}
        # By thousands of observations the same few are asked for: each is looked up and written once.
        self.site = cache(self._site)
        self.observer = cache(self._observer)
        self.scope = cache(self._scope)
        self.eyepiece = cache(self._eyepiece)
        self.filter = cache(self._filter)

    def _site(self, key: UUID) -> str | None:
        """The site's id; None where its place is not on record, for the standard has no site without one."""
        site = self._sites[key]
        if site.lat_deg is None or site.lon_deg is None:
            self.unplaced.add(site.name)
            return None
        name = f"site-{key}"
        exact = self.exact
        self.log.sites[name] = LogSite(
            id=name,
            name=site.name,
            lon_deg=site.lon_deg if exact else round(site.lon_deg, 1) + 0.0,
            lat_deg=site.lat_deg if exact else round(site.lat_deg, 1) + 0.0,
            elevation_m=site.elevation_m if exact else _coarse_m(site.elevation_m),
            timezone_minutes=_timezone_minutes(site.zone, site.lon_deg),
        )
        return name

    def _observer(self, key: UUID | None) -> str:
        name = NOBODY if key is None else f"observer-{key}"
        first, _, last = (NOT_TOLD, "", "") if key is None else self._members[key].rpartition(" ")
        self.log.observers[name] = LogObserver(id=name, name=first or last, surname=last if first else "")
        return name

    def target(self, name: str, observer: str) -> str:
        key = self._targets.get(name)
        if key is None:
            key = self._targets[name] = f"target-{len(self._targets) + 1}"
            self.log.targets[key] = log_target(key, name, observer)
        return key

    def _scope(self, key: UUID | None) -> str | None:
        """The tube's id; None where its aperture or focal length is not on record, for the standard asks for both."""
        tube = self.tubes.get(key) if key is not None else None
        if tube is None or tube.aperture_mm is None or tube.focal_mm is None:
            return None
        name = f"scope-{key}"
        self.log.scopes[name] = LogScope(
            id=name,
            model=tube.name,
            vendor=self._makers.get(tube.id),
            aperture_mm=tube.aperture_mm,
            focal_mm=tube.focal_mm,
        )
        return name

    def _eyepiece(self, key: UUID | None) -> str | None:
        eyepiece = self.eyepieces.get(key) if key is not None else None
        if eyepiece is None or eyepiece.focal_mm is None:
            return None
        name = f"eyepiece-{key}"
        self.log.eyepieces[name] = LogEyepiece(
            id=name,
            model=eyepiece.name,
            vendor=self._makers.get(eyepiece.id),
            focal_mm=eyepiece.focal_mm,
            field_deg=eyepiece.field_deg,
        )
        return name

    def _filter(self, words: str | None) -> str | None:
        if words is None:
            return None
        key = f"filter-{len(self.log.filters) + 1}"
        self.log.filters[key] = LogFilter(id=key, model=words, kind=filter_kind(words))
        return key

    def local(self, at_utc: datetime, site: UUID) -> datetime:
        """The instant by the clocks of its site; in UTC where their zone is not on record."""
        zone = self._zones.get(site)
        return at_utc if zone is None else at_utc.astimezone(zone)


def _timezone_minutes(zone: str | None, lon_deg: float) -> int:
    """What the clocks are ahead of UT without summer time; where no zone is on record, by the longitude."""
    hours = standard_offset_hours(zone) if zone else round(lon_deg / 15)
    return round(hours * 60)


def _coarse_m(elevation_m: float | None) -> float | None:
    return None if elevation_m is None else float(round(elevation_m / COARSE_M) * COARSE_M)
