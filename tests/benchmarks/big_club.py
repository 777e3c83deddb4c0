"""A club of any size and age from the demo club's model: the demo's two years again and again, with other chances.

Each batch of twelve mounts is the demo's dozen under another name; each spell of two years is built anew, so that no
two are alike. What goes on record goes through the club's own doors: one sheet of arrivals, services and snags.
"""

import random
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import UTC, date, datetime, time, timedelta
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
from obslog.records.name_lookup import KINDS
from obslog.records.tables.keys import new_keys_as_text
from obslog.records.tables.logbook_tables import Mount, Night, Service, Setup, Site, Snag
from seed_demo.build import build_demo
from seed_demo.club import MOUNTS
from seed_demo.load import found_club
from seed_demo.records import DemoClub, SheetRow

SPELL_YEARS, SPELL_DAYS = 2, 730


@dataclass(frozen=True, slots=True, kw_only=True)
class Size:
    """How large a club: `setups` of all mounts over all `years`, an even number, with at most so many arrivals each."""

    mounts: int = 40
    setups: int = 6_800
    arrivals: int = 12
    years: int = 20


def make_club(database: Database, last_night: date, size: Size, seed: int = 1) -> None:
    """Fill an empty database; the same size, seed and last night give the same club."""
    now = datetime.combine(last_night + timedelta(days=1), time(12), UTC)
    found_club(database, now)
    names = mount_names(size.mounts)
    for name, model in list(names.items())[len(MOUNTS) :]:
        values = asdict(next(mount for mount in MOUNTS if mount.name == model))
        add(
            database,
            "mount",
            name,
            {key: values[key] for key in ("mount_type", "controller", "refraction")},
            now,
        )
    parts = list(_parts(last_night, size, seed))
    rows = _thinned([row for part in parts for row in part.rows], size, random.Random(seed))
    faults: list[Any] = []
    cells = [
        {"line": line, **{name: cell for name, cell in row.items() if cell}}
        for line, row in enumerate(rows, 2)
    ]
    take_in(database, "the large club's sheets", checked_rows(cells, faults), faults, now)
    _put_papers(database, parts, now)


def mount_names(count: int) -> dict[str, str]:
    """The names of so many mounts, and which of the demo's each is like."""
    models = [mount.name for mount in MOUNTS]
    batches = ((models[place % len(models)], place // len(models)) for place in range(count))
    return {_named(model, batch): model for model, batch in batches}


@dataclass(frozen=True, slots=True)
class _Part:
    """One batch of mounts in one spell: its sheet's rows, and the demo's record of it with its mounts' other names."""

    rows: list[SheetRow]
    club: DemoClub
    mounts: dict[str, str]


def _parts(last_night: date, size: Size, seed: int) -> Iterator[_Part]:
    names = mount_names(size.mounts)
    for spell in range(max(1, size.years // SPELL_YEARS)):
        ends = last_night - timedelta(days=spell * SPELL_DAYS)
        for batch in range((size.mounts - 1) // len(MOUNTS) + 1):
            called = {mount.name: _named(mount.name, batch) for mount in MOUNTS}
            mounts = {model: name for model, name in called.items() if name in names}
            club = build_demo(ends, np.random.default_rng([seed, spell, batch]))
            rows = [row | {"mount": mounts[row["mount"]]} for row in club.arrivals if row["mount"] in mounts]
            yield _Part(rows, club, mounts)


def _named(model: str, batch: int) -> str:
    return model if batch == 0 else f"{model} {batch + 1}"


def _thinned(rows: list[SheetRow], size: Size, rng: random.Random) -> list[SheetRow]:
    """The rows of so many set-ups, of each mount alike, with at most so many arrivals each."""
    by_mount: dict[str, dict[tuple[str, ...], list[SheetRow]]] = {}
    for row in rows:
        key = (row["night"], row["site"], row.get("setup", ""))
        by_mount.setdefault(row["mount"], {}).setdefault(key, []).append(row)
    kept = []
    for setups in by_mount.values():
        chosen = rng.sample(sorted(setups), min(len(setups), max(1, size.setups // size.mounts)))
        kept += [row for key in sorted(chosen) for row in setups[key][: size.arrivals]]
    return kept


def _put_papers(database: Database, parts: list[_Part], now: datetime) -> None:
    """The services and the snags of all spells."""
    with database.write(now) as session:
        named = {
            kind: {record.name: record.id for record in cast(Any, session.scalars(select(KINDS[kind])))}
            for kind in ("mount", "member", "site")
        }
        setups = _setups(session)
        services = [
            (named["mount"][part.mounts[s.mount]], s.day, s.text, s.mechanical, named["member"].get(s.by))
            for part in parts
            for s in part.club.services
            if s.mount in part.mounts
        ]
        snags = [
            (
                setups.get((s.key.night, s.key.site, mount, s.key.setup)), s.utc, s.step, s.text, s.remedy or None,
                s.utc if s.remedy else None, named["mount"][mount], named["member"][s.member],
                named["site"][s.key.site],
            )
            for part in parts
            for s in part.club.snags
            if (mount := part.mounts.get(s.key.mount))
        ]  # fmt: skip
        told = (
            "setup_id", "at_utc", "step", "text", "remedy", "fixed_utc", "equipment_id", "member_id", "site_id",
        )  # fmt: skip
        for table, columns, rows in (
            (Service, ("equipment_id", "done_on", "text", "mechanical", "member_id"), services),
            (Snag, told, snags),
        ):
            keyed = [(key, *row) for key, row in zip(new_keys_as_text(len(rows)), rows, strict=True)]
            insert_rows(session, cast(Table, table.__table__), ("id", *columns), keyed)


def _setups(session: Session) -> dict[tuple[date, str, str, int], UUID]:
    """The keys of the set-ups by night, site, mount and number."""
    query = (
        select(Night.night_of, Site.name, Mount.name, Setup.ordinal, Setup.id)
        .join(Night, Setup.night_id == Night.id)
        .join(Site, Night.site_id == Site.id)
        .join(Mount, Setup.mount_id == Mount.id)
    )
    return {tuple(named): key for *named, key in session.execute(query)}  # type: ignore[misc]
