"""Observations as rows of a sheet, and which of them are given out."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, aliased

from obslog.club.night.sky_in_force import all_in_force, readings_by_night
from obslog.records.name_lookup import by_name
from obslog.records.tables.equipment import Equipment
from obslog.records.tables.logbook_tables import Member, Night, Observation, Setup, Site
from obslog.times import utc_text
from obslog.vocabulary.sky_scales import SkyScale

_SKY = {scale: scale.column for scale in SkyScale}


@dataclass(frozen=True, slots=True, kw_only=True)
class ObservationChoice:
    """Which observations: of an observer, at a site, of a night or of several; all where nothing is said."""

    observer: str | None = None
    site: str | None = None
    night: date | None = None
    first: date | None = None
    last: date | None = None


def chosen_only(
    session: Session, query: Select[*tuple[Any, ...]], choice: ObservationChoice
) -> Select[*tuple[Any, ...]]:
    """A query of observations and their nights, narrowed to what is chosen. Raises UnknownName."""
    if choice.observer is not None:
        query = query.where(Observation.member_id == by_name(session, Member, choice.observer).id)
    if choice.site is not None:
        query = query.where(Night.site_id == by_name(session, Site, choice.site).id)
    if choice.night is not None:
        query = query.where(Night.night_of == choice.night)
    if choice.first is not None:
        query = query.where(Night.night_of >= choice.first)
    if choice.last is not None:
        query = query.where(Night.night_of <= choice.last)
    return query


def observation_rows(session: Session, choice: ObservationChoice | None = None) -> list[dict[str, Any]]:
    """The chosen observations in order of time, each with the reading of each scale that was in force then."""
    mount, tube, eyepiece = aliased(Equipment), aliased(Equipment), aliased(Equipment)
    columns = {
        "night": Night.night_of,
        "utc": Observation.at_utc,
        "site": Site.name,
        "target": Observation.target,
        "observer": Member.name,
        "sighting": Observation.sighting,
        "description": Observation.description,
        "mount": mount.name,
        "setup": Setup.ordinal,
        "tube": tube.name,
        "eyepiece": eyepiece.name,
        "magnification": Observation.magnification,
        "filter": Observation.filter,
        "vision": Observation.vision,
        "found_by": Observation.found_by,
        "rating": Observation.rating,
        "sketch": Observation.sketch,
    }
    query = (
        select(Observation.night_id, *(column.label(name) for name, column in columns.items()))
        .select_from(Observation)
        .join(Night, Observation.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .outerjoin(Member, Observation.member_id == Member.id)
        .outerjoin(Setup, Observation.setup_id == Setup.id)
        .outerjoin(mount, Setup.mount_id == mount.id)
        .outerjoin(tube, Setup.tube_id == tube.id)
        .outerjoin(eyepiece, Observation.eyepiece_id == eyepiece.id)
        .order_by(Observation.at_utc, Observation.id)
    )
    readings, rows = readings_by_night(session), []
    for night_id, *told in session.execute(chosen_only(session, query, choice or ObservationChoice())):
        row = dict(zip(columns, told, strict=True)) | dict.fromkeys(_SKY.values())
        for scale, value in all_in_force(readings.get(night_id, ()), row["utc"]).items():
            row[_SKY[scale]] = value
        rows.append({**row, "utc": utc_text(row["utc"])})
    return rows
