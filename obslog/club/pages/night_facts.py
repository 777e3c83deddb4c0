"""What the page of a night shows, from one look at the records."""

from dataclasses import dataclass
from datetime import date, datetime

from obslog.club.night.night_pages import WholeNight, whole_night_of
from obslog.club.night.open_night import NightChoice, chosen_night
from obslog.club.pages.arrival_places import ArrivalPlace, places_in_sky
from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.pages.night_story import Happening, night_story
from obslog.club.register.club_day import club_day
from obslog.records.database import Database

NO_PLACE = "not on the chart: the place of the object or of the site is not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class NightFacts:
    """A night with all that was recorded in it, where its arrivals were in the sky, and what happened in order."""

    night: WholeNight
    places: list[ArrivalPlace]
    story: list[Happening]
    basis: Basis


def night_facts(database: Database, night: date, site: str | None, now: datetime) -> NightFacts:
    """A night by the date of its evening. Raises UnknownName, NoSuchNight."""
    with database.read() as session:
        record, its_site = chosen_night(session, NightChoice(site, night))
        whole = whole_night_of(session, record, its_site)
        places = places_in_sky(session, record, whole)
        story = night_story(session, record, its_site, whole)
    return NightFacts(
        night=whole, places=places, story=story, basis=_basis(whole, places, club_day(database, now))
    )


def _basis(whole: WholeNight, places: list[ArrivalPlace], today: date) -> Basis:
    return Basis(
        day=today,
        used=some(
            [
                Rows(count=len(whole.setups), kind="set-up"),
                Rows(count=len(places), kind="arrival"),
                Rows(count=len(whole.page.sky), kind="reading of the sky", kinds="readings of the sky"),
                Rows(count=len(whole.observations), kind="observation"),
                Rows(count=len(whole.snags), kind="snag"),
            ]
        ),
        left_out=some([Rows(count=sum(not one.known for one in places), kind="arrival", why=NO_PLACE)]),
    )
