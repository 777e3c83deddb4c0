"""Evenings of made observations for the tests: any texts, put on record past the checks of what is typed."""

from datetime import UTC, datetime, timedelta
from typing import Any

from hypothesis import strategies as st
from sqlalchemy import select

from obslog.club.bring_in.intake import Intake
from obslog.records.database import Database
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook_tables import (
    Attendance,
    Eyepiece,
    Member,
    Mount,
    Night,
    Observation,
    Setup,
    Site,
    SkyReading,
    Tube,
)
from obslog.vocabulary.observations import FindingMethod, Sighting, Vision
from obslog.vocabulary.sky_scales import SkyScale

NOW = datetime(2026, 11, 20, 12, tzinfo=UTC)
DUSK = datetime(2026, 3, 2, 19, tzinfo=UTC)
KNOWN = (
    "M 81", "M 42", "M 45", "M 13", "M 57", "M 1", "M 40", "M 24", "NGC 7000", "NGC 7331", "B 33", "HCG 92", "NGC 2264",
    "Vega", "Albireo", "61 Cyg", "Moon", "Sun", "Jupiter", "5h35.0m -5°23'",
)  # fmt: skip
PLAIN = ("Ada van der Brook", "Jun")
"""Members whose names are as people type them."""
READINGS = {
    SkyScale.ANTONIADI: [1.0, 2.0, 2.5, 5.0],
    SkyScale.PICKERING: [7.0],
    SkyScale.NAKED_EYE_LIMIT: [5.6],
    SkyScale.SKY_METER: [21.37],
    SkyScale.BORTLE: [4.0],
}


def observation(texts: st.SearchStrategy[str]) -> st.SearchStrategy[dict[str, Any]]:
    """The columns of an observation, with `night` 0 or 1 and what was used by number."""
    texts = texts.map(lambda text: text.lstrip("\x00"))  # before which a database counts no character
    short = texts.map(lambda text: text[:200].strip()).filter(bool)
    return st.fixed_dictionaries(
        {
            "night": st.integers(0, 1),
            "minute": st.integers(0, 500),
            "target": st.one_of(st.sampled_from(KNOWN), st.sampled_from(["Old Smudge", "blot & <spot>"])),
            "observer": st.sampled_from([None, 0, 1]),
            "setup": st.sampled_from([None, 0, 1]),
            "eyepiece": st.sampled_from([None, 0, 1]),
            "sighting": st.sampled_from(Sighting),
            "vision": st.sampled_from([None, *Vision]),
            "found_by": st.sampled_from([None, *FindingMethod]),
            "rating": st.sampled_from([None, 1, 5]),
            "magnification": st.sampled_from([None, 1.0, 41.5, 5000.0]),
            "filter": st.one_of(st.none(), short),
            "sketch": st.one_of(st.none(), short),
            "description": st.one_of(st.none(), texts.filter(bool)),
        }
    )


def put_on_record(
    database: Database, seen: list[dict[str, Any]], names: list[str], note: str | None, sky: list[SkyScale]
) -> None:
    """Two nights at the two sites of the invented club, in the year's winter, with what was seen on them."""
    with database.write(NOW, "made") as session:
        intake = Intake(session=session, rows=(), now=NOW)
        sites = list(session.scalars(select(Site.id).order_by(Site.name_key.desc())))
        mount, tube = session.scalars(select(Mount.id)).first(), session.scalars(select(Tube.id)).first()
        eyepieces = list(session.scalars(select(Eyepiece.id).order_by(Eyepiece.name_key)))
        members = [
            intake.add(
                Member, name=name, name_key=name_key(name) if name in PLAIN else f"key {number}", note=None
            )
            for number, name in enumerate(names)
        ]
        nights, setups = [], []
        for number, site in enumerate(sites):
            dusk = DUSK + timedelta(days=number)
            nights.append(
                intake.add(
                    Night,
                    site_id=site,
                    night_of=dusk.date(),
                    started_utc=dusk - timedelta(minutes=10),
                    ended_utc=dusk + timedelta(hours=9),
                    open=False,
                    note=note,
                )
            )
            setups.append(
                intake.add(
                    Setup, night_id=nights[-1], mount_id=mount, tube_id=tube, ordinal=1, open=False, note=None
                )
            )
            intake.add(Attendance, night_id=nights[-1], member_id=members[number])
            for scale in sky:
                for value in READINGS[scale]:
                    at = dusk + timedelta(hours=value)
                    intake.add(
                        SkyReading, night_id=nights[-1], scale=scale, value=value, at_utc=at, note=None
                    )
        for place, one in enumerate(seen):
            columns = dict(one)
            number, minute = columns.pop("night"), columns.pop("minute")
            observer, setup, eyepiece = (columns.pop(name) for name in ("observer", "setup", "eyepiece"))
            intake.add(
                Observation,
                night_id=nights[number],
                at_utc=DUSK + timedelta(days=number, minutes=minute, seconds=place),
                member_id=None if observer is None else members[observer],
                setup_id=None if setup is None else setups[number],
                eyepiece_id=None if eyepiece is None else eyepieces[eyepiece],
                alt_deg=None,
                **columns,
            )
        intake.write()
