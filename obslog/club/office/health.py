"""What is missing or doubtful in the records of members, items, kits and sites, each with the command that mends it.

Damage of the file is `db check`'s; here the file is sound, and something was never written down or twice.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.office.likely_same import likely_same
from obslog.club.storeroom.kits import KitPage, PartLine, list_kits
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.errors import quoted
from obslog.records.database import Database
from obslog.records.nameless import has_left
from obslog.records.tables.logbook_tables import Member, Mount, Site, Tube


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanting:
    """One thing that is wanting: of which kind, of what, in words, and the command that mends it."""

    kind: str
    name: str
    words: str
    mend: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """One kind of thing that may be wanting: its heading, of how many records it was asked, and what was found.

    `records` are those of which something was found; of one several things may be wanting.
    """

    kind: str
    heading: str
    looked_at: int
    records: int
    wanting: Sequence[Wanting]


@dataclass(frozen=True, slots=True)
class RecordsHealth:
    """Every check, in their order; those without a finding too."""

    checks: list[Check]

    @property
    def found(self) -> int:
        return sum(len(check.wanting) for check in self.checks)


def records_health(database: Database) -> RecordsHealth:
    """Look through all that is in use or lent for what is not known or likely there twice."""
    lines = store_list(database)
    items = [line for line in lines if line.kind != "kit"]
    kits = list_kits(database, with_names=True)
    with database.read() as session:
        return RecordsHealth(
            [
                _check("tag", "items without a tag", len(items), _no_tag(items)),
                _check("value", "items whose value is not known", len(items), _no_value(items)),
                _check("kit", "kits that are not complete", len(kits), _incomplete(kits), one_each=False),
                *_gear(session),
                _sites(session),
                _spellings(session),
            ]
        )


def _check(
    kind: str,
    heading: str,
    looked_at: int,
    wanting: Iterator[tuple[str, str, str]],
    *,
    one_each: bool = True,
) -> Check:
    """`one_each`: of each record one thing at most is found; else a name stands for one record."""
    found = [
        Wanting(kind=kind, name=name, words=words, mend=f"obslog {mend}") for name, words, mend in wanting
    ]
    return Check(
        kind=kind,
        heading=heading,
        looked_at=looked_at,
        records=len(found) if one_each else len({one.name for one in found}),
        wanting=found,
    )


def _no_tag(items: Sequence[StoreLine]) -> Iterator[tuple[str, str, str]]:
    for line in items:
        if line.tag is None:
            yield line.name, "no tag", f"store note {quoted(line.name)}{_kind(line, items)} --tag TAG"


def _no_value(items: Sequence[StoreLine]) -> Iterator[tuple[str, str, str]]:
    for line in items:
        if line.value is None:
            mend = f"store note {quoted(line.name)}{_kind(line, items)} --value AMOUNT"
            yield line.name, "value not known", mend


def _kind(line: StoreLine, items: Sequence[StoreLine]) -> str:
    """The kind, where two items of different kinds bear the name."""
    shared = sum(other.name.casefold() == line.name.casefold() for other in items) > 1
    return f" --kind {line.kind}" if shared else ""


def _incomplete(kits: Sequence[KitPage]) -> Iterator[tuple[str, str, str]]:
    for kit in kits:
        for part in astray(kit):
            named = f"{quoted(kit.name)} {quoted(part.part)}"
            if part.where.startswith("missing"):
                yield kit.name, f"{part.part} is {part.where}", f"kit found {named}"
            elif part.where.startswith(("retired", "written off")):
                yield kit.name, f"{part.part} is {part.where}", f"kit remove {named}"
            else:
                yield kit.name, f"{part.part} is lent by itself", f"loan back {quoted(part.part)}"


def astray(kit: KitPage) -> list[PartLine]:
    """The parts of a kit that are neither in the store nor out with it."""
    return [part for part in kit.parts if not part.with_kit]


def _gear(session: Session) -> Iterator[Check]:
    mounts = session.scalars(select(Mount).where(Mount.retired_on.is_(None)).order_by(Mount.name_key)).all()
    tubes = session.scalars(select(Tube).where(Tube.retired_on.is_(None)).order_by(Tube.name_key)).all()
    yield _check("mount", "mounts without a type or controller", len(mounts), _half_known(mounts))
    yield _check(
        "tube",
        "tubes without a focal length",
        len(tubes),
        (
            (tube.name, "focal length not known", f"tube edit {quoted(tube.name)} --focal-mm MM")
            for tube in tubes
            if tube.focal_mm is None
        ),
    )


def _half_known(mounts: Sequence[Mount]) -> Iterator[tuple[str, str, str]]:
    for mount in mounts:
        unknown = {"type": mount.mount_type, "controller": mount.controller}
        lacking = [name for name, value in unknown.items() if value is None]
        if lacking:
            options = " ".join(f"--{name} WORD" for name in lacking)
            yield (
                mount.name,
                f"{' and '.join(lacking)} not known",
                f"mount edit {quoted(mount.name)} {options}",
            )


def _sites(session: Session) -> Check:
    sites = session.scalars(select(Site).where(Site.retired_on.is_(None)).order_by(Site.name_key)).all()
    return _check("site", "sites without a place or time zone", len(sites), _unplaced(sites))


def _unplaced(sites: Sequence[Site]) -> Iterator[tuple[str, str, str]]:
    for site in sites:
        lacking, options = [], []
        if site.lat_deg is None or site.lon_deg is None:
            lacking.append("place")
            options.append('--place "LATITUDE LONGITUDE"')
        if site.zone is None:
            lacking.append("time zone")
            options.append("--tz ZONE")
        if lacking:
            yield (
                site.name,
                f"{' and '.join(lacking)} not known",
                f"site edit {quoted(site.name)} {' '.join(options)}",
            )


def _spellings(session: Session) -> Check:
    names = session.scalars(
        select(Member.name).order_by(Member.retired_on.is_not(None), Member.name_key)
    ).all()
    people = [name for name in names if not has_left(name)]
    pairs = (
        (
            pair.name,
            f"likely also {pair.other}: {pair.differ}",
            f"member same {quoted(pair.name)} {quoted(pair.other)} --look",
        )
        for pair in likely_same(people)
    )
    heading = "members who may be on record under two spellings"
    return _check("member", heading, len(people), pairs, one_each=False)
