"""A site and a time there, for the commands that look at the sky: with the option goes what is meant by it."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from obslog.cli.terminal.options import MomentAt, PlannedAt, Site

if TYPE_CHECKING:
    from obslog.club.register.observing_site import ObservingSite
    from obslog.records.opening import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedThere:
    """A time that is planned for: without one, this evening."""

    site: Site
    at: PlannedAt = None

    def seen(self, database: "Database", now: datetime) -> "tuple[ObservingSite, datetime]":
        """The site that one looks from, and the instant."""
        return _seen(database, self.site, self.at, now, planning=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class MomentThere:
    """A time that is looked at: without one, now."""

    site: Site
    at: MomentAt = None

    def seen(self, database: "Database", now: datetime) -> "tuple[ObservingSite, datetime]":
        """The site that one looks from, and the instant."""
        return _seen(database, self.site, self.at, now, planning=self.at is not None)


def _seen(
    database: "Database", site: str, at: str | None, now: datetime, *, planning: bool
) -> "tuple[ObservingSite, datetime]":
    from obslog.club.register.observing_site import instant_at, observing_site

    view = observing_site(database, site)
    return view, instant_at(view, at, now, planning=planning)
