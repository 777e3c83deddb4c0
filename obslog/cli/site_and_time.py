"""A site and a time there, for the commands that look at the sky: with the option goes what is meant by it.

Today and yesterday, where any command asks for a date, are dates by the clocks of the site.
"""

from collections.abc import Mapping
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from obslog.cli.terminal.options import MomentAt, PlannedAt, Site
from obslog.cli.terminal.state import State
from obslog.grammar.typed_times import DayWord

if TYPE_CHECKING:
    from obslog.club.register.observing_site import ObservingSite
    from obslog.records.database import Database


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


def with_dates(given: Mapping[str, Any], database: "Database | None", state: State) -> dict[str, Any]:
    """What was typed, with dates in place of the words for days.

    Where a command asks for a site, by that, or by all of them; else by the club's day, as where nothing is typed.
    Raises WhichDay where the sites are so far apart that they have different dates now, and UnknownName.
    """
    if not any(isinstance(value, DayWord) for value in given.values()):
        return dict(given)
    from obslog.club.register.club_day import club_day
    from obslog.club.register.observing_site import day_said

    def date_of(word: DayWord, opened: "Database") -> date:
        if "site" in given:
            return day_said(opened, word, state.now(), given["site"])
        return word.date_on(club_day(opened, state.now()))

    with nullcontext(database) if database is not None else state.database() as opened:
        return {
            name: date_of(value, opened) if isinstance(value, DayWord) else value
            for name, value in given.items()
        }
