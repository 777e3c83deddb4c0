"""Puts the invented club into a database, through the same doors as a real club's records."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict
from datetime import date, datetime
from typing import Any, cast
from uuid import UUID

import numpy as np
from sqlalchemy import Table, select
from sqlalchemy.orm import Session

from obslog.club.register.named_records import add
from obslog.club.sheets.arrivals_import import take_in
from obslog.exchange.arrivals_cells import checked_rows
from obslog.records.bulk_insert import insert_rows
from obslog.records.database import Database
from obslog.records.history.noted_rows import update_noted
from obslog.records.history.recorder import note_added
from obslog.records.name_lookup import KINDS
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook_tables import (
    Attendance,
    Mount,
    Night,
    Observation,
    Service,
    Setup,
    Site,
    SkyReading,
    Snag,
)

from .build import build_demo
from .club import EYEPIECES, ITEMS, MEMBERS, MOUNTS, SITES, TUBES
from .load_office import office_acts
from .load_papers import paper_acts
from .load_storeroom import do_in_order, noons, storeroom_acts
from .records import DemoClub
from .truth import SetupKey

SEED = 20260302
WORSENING_MOUNT = "Bramble"
STEPS = 5
FOUNDED_DAYS = 760  # before all that anybody wrote down
Tick = Callable[[int], None]


def fill(database: Database, last_night: date, now: datetime, tick: Tick) -> DemoClub:
    """Build the club with its fixed seed and put it on record; `tick` is called after each of STEPS parts."""
    club = build_demo(last_night, np.random.default_rng(SEED))
    tick(1)
    found_club(database, noons(last_night)(FOUNDED_DAYS))
    parts = (storeroom_acts, paper_acts, office_acts)
    do_in_order(dated for acts in parts for dated in acts(database, last_night))
    tick(1)
    faults: list[Any] = []
    rows = checked_rows([_cells(line, row) for line, row in enumerate(club.arrivals, start=2)], faults)
    take_in(database, "the demo club's sheets", rows, faults, now)
    tick(1)
    with database.write(now, "the demo club's stories") as session:
        keys = _Keys(session)
        _complete_nights(session, keys, club)
        tick(1)
        _add_stories(session, keys, club)
    tick(1)
    return club


def found_club(database: Database, now: datetime) -> None:
    """The sites, members and equipment, each added as a person would add it."""
    for kind, things in (
        ("site", SITES), ("member", MEMBERS), ("mount", MOUNTS), ("tube", TUBES), ("eyepiece", EYEPIECES),
        ("item", ITEMS),
    ):  # fmt: skip
        for thing in cast(Iterable[Any], things):
            values = asdict(thing)
            values |= {"note": values.pop("about")} if "about" in values else {}
            values |= {"sort": values.pop("kind")} if "kind" in values else {}
            add(database, kind, values.pop("name"), values, now)


def _cells(line: int, row: dict[str, str]) -> dict[str, object]:
    return {"line": line, **{column: cell for column, cell in row.items() if cell}}


class _Keys:
    """The keys of what is on record by now, by the names that the club uses."""

    def __init__(self, session: Session) -> None:
        self.named = {
            kind: {record.name: record.id for record in cast(Iterable[Any], session.scalars(select(table)))}
            for kind, table in KINDS.items()
        }
        self.nights: dict[tuple[date, str], UUID] = {}
        self.setups: dict[SetupKey, UUID] = {}
        query = (
            select(Night.night_of, Site.name, Mount.name, Setup.ordinal, Setup.id, Night.id)
            .join(Night, Setup.night_id == Night.id)
            .join(Site, Night.site_id == Site.id)
            .join(Mount, Setup.mount_id == Mount.id)
        )
        for night, site, mount, ordinal, setup_id, night_id in session.execute(query):
            self.nights[night, site] = night_id
            self.setups[SetupKey(night, site, mount, ordinal)] = setup_id


def _complete_nights(session: Session, keys: _Keys, club: DemoClub) -> None:
    """What an arrivals sheet does not say: from when to when, who was there, the eyepiece, notes."""
    nights = [(keys.nights[n.night, n.site], n) for n in club.nights if (n.night, n.site) in keys.nights]
    update_noted(
        session,
        Night,
        [
            {"id": key, "started_utc": n.start_utc, "ended_utc": n.end_utc, "note": n.note or None}
            for key, n in nights
        ],
    )
    present = ((key, keys.named["member"][name]) for key, night in nights for name in night.present)
    _insert(session, Attendance, ("night_id", "member_id"), present)
    update_noted(
        session,
        Setup,
        [
            {
                "id": keys.setups[s.key],
                "eyepiece_id": keys.named["eyepiece"][s.eyepiece],
                "started_utc": s.start_utc,
                "note": s.note or None,
            }
            for s in club.setups
            if s.key in keys.setups
        ],
    )


def _add_stories(session: Session, keys: _Keys, club: DemoClub) -> None:
    named = keys.named
    _insert(
        session, Snag,
        ("setup_id", "at_utc", "step", "text", "remedy", "fixed_utc", "equipment_id", "member_id", "site_id"),
        (
            (
                keys.setups.get(s.key), s.utc, s.step, s.text, s.remedy or None, s.utc if s.remedy else None,
                named["mount"][s.key.mount], named["member"][s.member], named["site"][s.key.site],
            )
            for s in club.snags
        ),
    )  # fmt: skip
    _insert(
        session, Service, ("equipment_id", "done_on", "text", "mechanical", "member_id"),
        ((named["mount"][s.mount], s.day, s.text, s.mechanical, named["member"].get(s.by)) for s in club.services),
    )  # fmt: skip
    _insert(
        session, Observation,
        ("night_id", "setup_id", "at_utc", "target", "sighting", "member_id", "eyepiece_id", "found_by", "description"),
        (
            (
                keys.nights[o.key.night, o.key.site], keys.setups[o.key], o.utc, o.target, o.sighting,
                named["member"][o.observer], named["eyepiece"][o.eyepiece], o.method, o.description or None,
            )
            for o in club.observations
            if o.key in keys.setups
        ),
    )  # fmt: skip
    _insert(
        session, SkyReading, ("night_id", "at_utc", "scale", "value"),
        (
            (keys.nights[c.night, c.site], c.utc, c.scale, c.value)
            for c in club.conditions
            if (c.night, c.site) in keys.nights
        ),
    )  # fmt: skip


def _insert(session: Session, table: Any, columns: tuple[str, ...], rows: Iterator[tuple[Any, ...]]) -> None:
    listed = list(rows)
    keyed = [(key, *row) for key, row in zip(new_keys_as_text(len(listed)), listed, strict=True)]
    insert_rows(session, cast(Table, table.__table__), ("id", *columns), keyed)
    note_added(session, table, [key for key, *_ in keyed])
