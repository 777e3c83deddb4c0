"""The sites of a log: matched by name, or made with the place and the zone that it tells."""

from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import select

from obslog.club.bring_in.intake import Intake
from obslog.club.open_log.log_words import with_lines
from obslog.club.register.typed_values import checked_name
from obslog.errors import quoted
from obslog.exchange.open_log.records import Log, LogSite
from obslog.fields import ELEVATION_M, usable
from obslog.grammar.typed_times import read_dated_utc
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import Site
from obslog.times import zone_named

SITE_NOT_TOLD = "Site not told"
"""A night is at a site, whatever a log leaves out: the name under which it is then kept."""
FAR_DEG = 0.2
# Zones with parts of an hour whose clocks have known no summer time since 1987: the IANA database (2025b).
_PARTS_OF_HOURS = {
    270: "Asia/Kabul",
    330: "Asia/Kolkata",
    345: "Asia/Kathmandu",
    390: "Asia/Yangon",
    525: "Australia/Eucla",
    570: "Australia/Darwin",
}


@dataclass(slots=True, kw_only=True)
class Sites:
    """The sites on record by the forms of their names, and those of a log by its references."""

    intake: Intake
    log: Log
    file: str
    made: list[str]
    without_zone: int = 0
    elsewhere: set[str] = field(default_factory=set)
    zones_by_file: list[str] = field(default_factory=list)
    _known: dict[str, Site] = field(default_factory=dict)
    _by_reference: dict[str, Site] = field(default_factory=dict)

    def load(self) -> None:
        """Read what is on record."""
        self._known = {site.name_key: site for site in self.intake.session.scalars(select(Site))}

    def named(self, reference: str | None) -> Site:
        """The site that a reference of the log means. Raises EmptyName."""
        told = self.log.sites.get(reference or "") or LogSite(id="", name=SITE_NOT_TOLD)
        found = self._by_reference.get(told.id)
        if found is None:
            found = self._by_reference[told.id] = self._found(told)
        return found

    def instant(self, moment: datetime, site: Site) -> datetime:
        """A moment in UTC; one without a zone is by the clocks of its site. Raises AmbiguousTime, ImpossibleTime."""
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
        self.without_zone += 1
        if site.zone is None:
            return moment.replace(tzinfo=UTC)
        return read_dated_utc(moment.isoformat(), zone_named(site.zone))

    def remarks(self) -> list[str]:
        """What should be said of sites and their clocks."""
        found = []
        if self.without_zone:
            times, were = ("time", "was") if self.without_zone == 1 else ("times", "were")
            found.append(
                f"{self.without_zone} {times} without a zone {were} taken by the clocks of the site."
            )
        for name in sorted(self.elsewhere):
            found.append(f"{name} lies elsewhere in the file; its place on record stays.")
        for name in self.zones_by_file:
            found.append(
                f"The file tells no summer time of {name}; give its zone: obslog site edit {quoted(name)} --tz ZONE"
            )
        return found

    def _found(self, told: LogSite) -> Site:
        name = checked_name("site", usable(told.name) or SITE_NOT_TOLD)
        site = self._known.get(name_key(name))
        if site is None:
            site = self._known[name_key(name)] = self._made(name, told)
        elif _far_apart(site.lat_deg, told.lat_deg) or _far_apart(site.lon_deg, told.lon_deg):
            self.elsewhere.add(site.name)
        return site

    def _made(self, name: str, told: LogSite) -> Site:
        elevation = (
            told.elevation_m if told.elevation_m is None or ELEVATION_M.holds(told.elevation_m) else None
        )
        whole = told.lat_deg is not None and told.lon_deg is not None
        values: dict[str, Any] = {
            "name": name,
            "name_key": name_key(name),
            "lat_deg": told.lat_deg if whole else None,
            "lon_deg": told.lon_deg if whole else None,
            "elevation_m": elevation,
            "zone": fixed_zone(told.timezone_minutes),
            "horizon": None,
            "note": with_lines("", told.other, self.file) or None,
        }
        site = Site(**values)
        self.intake.add(Site, key=site.id, **values)
        self.made.append(f"site {name}")
        self.zones_by_file.append(name)
        return site


def fixed_zone(minutes: int | None) -> str | None:
    """The zone whose clocks are always so far ahead of UT; None where there is none, or nothing is told."""
    if minutes is None:
        return None
    hours, rest = divmod(minutes, 60)
    if rest:
        return _PARTS_OF_HOURS.get(minutes)
    if not -12 <= hours <= 14:
        return None
    return "Etc/GMT" if hours == 0 else f"Etc/GMT{-hours:+d}"  # these are named by what UT is ahead


def _far_apart(on_record: float | None, told: float | None) -> bool:
    return on_record is not None and told is not None and abs(on_record - told) > FAR_DEG
