"""What the page of a night shows, from one look at the records."""

from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.night.night_pages import WholeNight, whole_night
from obslog.club.night.open_night import NightChoice
from obslog.club.pages.basis import Basis, Rows, some
from obslog.records.opening import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class NightFacts:
    """A night with all that was recorded in it."""

    night: WholeNight
    basis: Basis


def night_facts(database: Database, night: date, site: str | None, now: datetime) -> NightFacts:
    """A night by the date of its evening. Raises as `chosen_night`."""
    whole = whole_night(database, NightChoice(site, night))
    used = [
        Rows(count=len(whole.setups), kind="set-up"),
        Rows(count=sum(len(setup.arrivals) for setup in whole.setups), kind="arrival"),
        Rows(count=len(whole.observations), kind="observation"),
        Rows(count=len(whole.snags), kind="snag"),
    ]
    return NightFacts(night=whole, basis=Basis(day=now.date(), used=some(used)))
