"""Two records of one thing made one: a member, a site, a night, an item; shown first, one undo takes it back."""

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.office.joining import join_members
from obslog.club.together.moving import make_one
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.merging.kinds import kinds
from obslog.records.name_lookup import KINDS
from obslog.records.tables.base import name_key
from obslog.records.tables.lending import Kit, Loan
from obslog.records.tables.logbook_tables import Equipment, Member, Night, Setup, Site

_KM_PER_DEG = 111.2
FARTHEST_KM = 2.0


class OneRecord(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(f"{name} is one record already.", "Name two: obslog same NAME OTHER")


class NoTwoOfAKind(WrongInput):
    def __init__(self, kept: str, other: str) -> None:
        super().__init__(
            f"There are no two records of one kind named {kept!r} and {other!r}.",
            "Name two members, sites, kits or items of one kind by their whole names, or two nights by date and site.",
        )


class SeveralKinds(WrongInput):
    def __init__(self, kept: str, other: str, kinds: Sequence[str]) -> None:
        super().__init__(
            f"{kept} and {other} are names of two records of each of these kinds: {', '.join(kinds)}.",
            f"Say which: obslog same {quoted(kept)} {quoted(other)} --kind {kinds[0]}",
        )


class TwoThings(ObslogError):
    def __init__(self, kept: str, other: str, signs: Sequence[str]) -> None:
        super().__init__(
            f"{kept} and {other} look like two: {'; '.join(signs)}.",
            "If they are one all the same, add --sure. Nothing was changed.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeOne:
    """Two records made one, or where one only looked would be: how many records of each table move."""

    kind: str
    kept: str
    other: str
    done: bool
    moved: dict[str, int]
    two: list[str]


class _OnlyLooked(Exception):
    """Takes back what was only looked at."""


def make_same(
    database: Database,
    kept: str,
    other: str,
    now: datetime,
    *,
    sure: bool = False,
    only_look: bool = False,
    kind: str | None = None,
) -> MadeOne:
    """Make the record named `other` one with that named `kept`; whatever comes later of it belongs to that.

    `kind` says which (`kit`, `item`), where both are names of several. Raises NoTwoOfAKind, SeveralKinds, OneRecord,
    TwoThings unless `sure` or one only looks, BothAreOut; of members what `join_members` raises.
    """
    with database.read() as session:
        of_kind = _kind_of(session, kept, other, kind)
    if of_kind == Member.__name__:
        joined = join_members(database, kept, other, now, sure=sure, only_look=only_look)
        return MadeOne(
            kind="member",
            kept=joined.kept,
            other=joined.other,
            done=joined.done,
            moved=joined.moved,
            two=joined.two_people,
        )
    made: MadeOne | None = None
    try:
        with database.write(now, f"join {other} to {kept}"[:1000]) as session:
            made = _make(session, of_kind, (kept, other), sure=sure, only_look=only_look)
            if only_look:
                raise _OnlyLooked
    except _OnlyLooked:
        pass
    assert made is not None
    return made


def _make(session: Session, kind: str, names: tuple[str, str], *, sure: bool, only_look: bool) -> MadeOne:
    stays, goes = (_named(session, kind, name) for name in names)
    if stays is None or goes is None:
        raise NoTwoOfAKind(*names)
    kept, other = _called(session, stays), _called(session, goes)
    if stays is goes:
        raise OneRecord(kept)
    signs = list(_signs_of_two(session, stays, goes))
    if signs and not sure and not only_look:
        raise TwoThings(kept, other, signs)
    call_act(session, f"join {other} to {kept}"[:1000])
    moved: Counter[str] = Counter()
    make_one(session, kinds()[kind], stays, goes, moved)
    return MadeOne(
        kind=kind.lower(),
        kept=kept,
        other=other,
        done=not only_look,
        moved=dict(sorted(moved.items())),
        two=signs,
    )


def _kind_of(session: Session, kept: str, other: str, wanted: str | None) -> str:
    """The kind of which both names are, of those wanted."""
    found = [
        kind
        for kind in [*(mapped.__name__ for mapped in KINDS.values()), Kit.__name__, Night.__name__]
        if wanted in (None, kind.lower())
        and _named(session, kind, kept) is not None
        and _named(session, kind, other) is not None
    ]
    if not found:
        raise NoTwoOfAKind(kept, other)
    if len(found) > 1:
        raise SeveralKinds(kept, other, [kind.lower() for kind in found])
    return found[0]


def _named(session: Session, kind: str, name: str) -> Any | None:
    if kind == Night.__name__:
        return _night_named(session, name)
    mapped: Any = kinds()[kind].mapper.class_
    return session.scalar(select(mapped).where(mapped.name_key == name_key(name)))


def _night_named(session: Session, text: str) -> Night | None:
    """The night of a date, with its site behind it where there are two."""
    day, _space, site = text.strip().partition(" ")
    try:
        night_of = date.fromisoformat(day)
    except ValueError:
        return None
    query = select(Night).join(Site, Site.id == Night.site_id).where(Night.night_of == night_of)
    if site:
        query = query.where(Site.name_key == name_key(site))
    nights = session.scalars(query).all()
    return nights[0] if len(nights) == 1 else None


def _called(session: Session, record: Any) -> str:
    if isinstance(record, Night):
        return f"{record.night_of} at {session.get_one(Site, record.site_id).name}"
    return str(record.name)


def _signs_of_two(session: Session, stays: Any, goes: Any) -> Iterator[str]:
    """What speaks for two: places far apart, other types or numbers, use on the same night."""
    if isinstance(stays, Site):
        apart = _km_apart(stays, goes)
        if apart is not None and apart > FARTHEST_KM:
            yield f"they are {apart:.0f} km apart"
    yield from _told_otherwise(stays, goes)
    if isinstance(stays, Equipment | Kit) and (day := _both_out(session, stays, goes)):
        yield f"both were on loan on {day}"
    if type(stays).__name__ == "Mount":
        nights = _nights_of(session, stays.id) & _nights_of(session, goes.id)
        if nights:
            yield f"both were used on {min(nights)}"


def _told_otherwise(stays: Any, goes: Any) -> Iterator[str]:
    """What is on record of both, and is not the same."""
    if isinstance(stays, Equipment):
        own = kinds()[type(stays).__name__].tables[-1].columns.keys()
        for name in (name for name in own if name not in ("id", "refraction")):
            one, two = getattr(stays, name), getattr(goes, name)
            if one is not None and two is not None and one != two:
                yield f"one is {one}, the other {two}"
    if isinstance(stays, Kit):
        for name, unit in (("weight_kg", "kg"), ("loan_days", "days for each loan")):
            one, two = getattr(stays, name), getattr(goes, name)
            if one is not None and two is not None and one != two:
                yield f"one has {one:g} {unit}, the other {two:g}"


def _both_out(session: Session, stays: Equipment | Kit, goes: Equipment | Kit) -> date | None:
    """A day on which each of the two was on loan by itself; on the day of a return it may go out again.

    Where both are out now they cannot be made one anyhow, and that is said then.
    """
    column = Loan.kit_id if isinstance(stays, Kit) else Loan.equipment_id
    query = select(Loan.out_on, Loan.back_on)
    ones, others = (
        [(out, back or date.max) for out, back in session.execute(query.where(column == record.id))]
        for record in (stays, goes)
    )
    return min(
        (
            max(out, other_out)
            for out, back in ones
            for other_out, other_back in others
            if max(out, other_out) < min(back, other_back) < date.max
        ),
        default=None,
    )


def _nights_of(session: Session, mount_id: UUID) -> set[date]:
    query = select(Night.night_of).join(Setup, Setup.night_id == Night.id).where(Setup.mount_id == mount_id)
    return set(session.scalars(query))


def _km_apart(one: Site, two: Site) -> float | None:
    if one.lat_deg is None or one.lon_deg is None or two.lat_deg is None or two.lon_deg is None:
        return None
    east = (one.lon_deg - two.lon_deg) * math.cos(math.radians(one.lat_deg))
    return math.hypot(east, one.lat_deg - two.lat_deg) * _KM_PER_DEG
