"""One night given out with all that was recorded in it, at one moment: its page, and its rows of the sheets."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from obslog.club.bring_in.observations_out import ObservationChoice, observation_rows
from obslog.club.night.night_pages import NightPage, night_page
from obslog.club.night.open_night import NightChoice, chosen_night
from obslog.club.night.snags import SnagLine, snags_of_night
from obslog.club.sheets.arrivals_export import SheetChoice, arrival_rows
from obslog.records.database import Database


@dataclass(frozen=True, slots=True, kw_only=True)
class NightOut:
    """A night, when it began and ended where that is on record, and its rows in the sheets."""

    page: NightPage
    started_utc: datetime | None
    ended_utc: datetime | None
    arrivals: list[Mapping[str, Any]]
    observations: list[dict[str, Any]]
    snags: list[SnagLine]


def night_out(database: Database, choice: NightChoice) -> NightOut:
    """The night that is chosen. Raises as chosen_night."""
    with database.read() as session:
        night, site = chosen_night(session, choice)
        evening = night.night_of
        arrivals = arrival_rows(session, SheetChoice(site=site.name, first=evening, last=evening))
        return NightOut(
            page=night_page(session, night, site),
            started_utc=night.started_utc,
            ended_utc=night.ended_utc,
            arrivals=list(arrivals),
            observations=observation_rows(session, ObservationChoice(site=site.name, night=evening)),
            snags=snags_of_night(session, night, site),
        )
