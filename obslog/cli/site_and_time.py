"""A site and a time there, for the commands that look at the sky: with the option goes what is meant by it."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from obslog.cli.terminal.options import MomentAt, PlannedAt, Site
from obslog.cli.terminal.state import State

if TYPE_CHECKING:
    from obslog.club.register.observing_site import ObservingSite
    from obslog.records.opening import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedThere:
    """A time that is planned for: without one, this evening."""

    site: Site = None
    at: PlannedAt = None

    def seen(self, database: "Database", state: State) -> "tuple[ObservingSite, datetime]":
        """The site that one looks from, and the instant."""
        return _seen(database, self.site, self.at, state, planning=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class MomentThere:
    """A time that is looked at: without one, now."""

    site: Site = None
    at: MomentAt = None

    def seen(self, database: "Database", state: State) -> "tuple[ObservingSite, datetime]":
        """The site that one looks from, and the instant."""
        return _seen(database, self.site, self.at, state, planning=self.at is not None)


def _seen(
    database: "Database", site: str | None, at: str | None, state: State, *, planning: bool
) -> "tuple[ObservingSite, datetime]":
    from obslog.club.register.observing_site import instant_at

    view = view_meant(database, site, state)
    return view, instant_at(view, at, state.now(), planning=planning)


def view_meant(database: "Database", site: str | None, state: State) -> "ObservingSite":
    """The site to look from, or where none is named the usual one, which is said back."""
    from obslog.club.register.observing_site import observing_site
    from obslog.club.register.usual_choices import site_meant

    return observing_site(database, site_meant(database, site, state.taken.append))
