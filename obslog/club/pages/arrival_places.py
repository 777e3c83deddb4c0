"""Where in the sky the arrivals of a night were."""

from dataclasses import dataclass

import numpy as np
from sqlalchemy.orm import Session

from obslog.club.night.night_pages import WholeNight
from obslog.club.performance.arrival_columns import arrival_columns
from obslog.club.performance.star_places import places_of
from obslog.records.tables.logbook_tables import Night
from obslog.vocabulary.arrivals import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class ArrivalPlace:
    """An arrival with its place above the horizon at its time, degrees; None where that is not known."""

    mount: str
    setup: int
    number: int
    at: str
    role: Role
    target: str
    landed: str
    az_deg: float | None
    alt_deg: float | None

    @property
    def known(self) -> bool:
        return self.alt_deg is not None


def places_in_sky(session: Session, night: Night, whole: WholeNight) -> list[ArrivalPlace]:
    """The arrivals of the night's set-ups, set-up by set-up and each in order of time."""
    columns = arrival_columns(session, nights=(night.night_of, night.night_of))
    mine = columns.where(np.array([key == night.id for key in columns.of_setup("night_id")], bool))
    places = places_of(mine)
    lines = [(setup, line) for setup in whole.setups for line in setup.arrivals]
    return [
        ArrivalPlace(
            mount=setup.mount,
            setup=setup.setup,
            number=line.number,
            at=line.at,
            role=Role(line.role),
            target=line.target,
            landed=line.offset or line.landing or "",
            az_deg=None if np.isnan(az) else az,
            alt_deg=None if np.isnan(alt) else alt,
        )
        for (setup, line), az, alt in zip(lines, places.az_deg.tolist(), places.alt_deg.tolist(), strict=True)
    ]
