"""What a new club puts on record first: a site, a mount, a tube, an eyepiece and a member; and what of them is missing.

Each answer is an act of its own, so that nothing is lost where it is left off, and `undo` takes it back.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select

from obslog.club.register.named_records import add, edit, listed
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Night, Site

# What an evening needs of each, in the order in which a club is asked for it.
NEEDED: Mapping[str, tuple[str, ...]] = {
    "site": ("name", "lat_deg", "lon_deg", "zone"),
    "mount": ("name", "mount_type", "controller"),
    "tube": ("name", "aperture_mm", "focal_mm"),
    "eyepiece": ("name", "focal_mm", "field_deg"),
    "member": ("name",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstThing:
    """One of a kind, with what is on record of it: nothing where the club has none. `others` are more of its kind."""

    kind: str
    known: Mapping[str, Any]
    others: int = 0

    @property
    def name(self) -> str | None:
        return self.known.get("name")

    @property
    def missing(self) -> tuple[str, ...]:
        return tuple(column for column in NEEDED[self.kind] if self.known.get(column) is None)


def first_things(database: Database) -> list[FirstThing]:
    """One of each kind: the one of which most is on record; of sites that are alike in this, the last used."""
    last_used = _last_used_site(database)
    found = []
    for kind in NEEDED:
        things = [FirstThing(kind=kind, known=record) for record in listed(database, kind)]
        best = min(things, key=lambda thing: (len(thing.missing), thing.name != last_used), default=None)
        known = best.known if best else {}
        found.append(FirstThing(kind=kind, known=known, others=max(len(things) - 1, 0)))
    return found


def put_on_record(
    database: Database, thing: FirstThing, answer: Mapping[str, Any], now: datetime, *, sure: bool = False
) -> FirstThing:
    """The thing with this answer on record too, as an act of its own; an answer that is on record already is none.

    Raises what adding and editing a named record raises: NameTaken, OutOfRange, DoubtfulLongitude, DoubtfulPlace...
    """
    changed = {column: value for column, value in answer.items() if thing.known.get(column) != value}
    if not changed:
        return thing
    name = changed.pop("name", None)
    if thing.name is None:
        known = add(database, thing.kind, name, changed, now, sure=sure)
    else:
        known = edit(database, thing.kind, thing.name, changed, now, rename=name, sure=sure)
    return FirstThing(kind=thing.kind, known=known, others=thing.others)


def _last_used_site(database: Database) -> str | None:
    newest = select(Site.name).join(Night, Night.site_id == Site.id).order_by(Night.night_of.desc()).limit(1)
    with database.read() as session:
        return session.scalar(newest)
