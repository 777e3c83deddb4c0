"""What is missing or doubtful in the records of members, items, kits and sites, each with the command that mends it.

Damage of the file is `db check`'s; here the file is sound, and something was never written down or twice.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog.club.office.likely_same import likely_same
from obslog.club.storeroom.kits import KitPage, PartLine, list_kits
from obslog.club.storeroom.store_list import StoreLine, store_list
from obslog.errors import quoted
from obslog.records.database import Database
from obslog.records.nameless import has_left
from obslog.records.tables.logbook_tables import Eyepiece, Member, Mount, Site, Tube

Asked = Mapping[str, tuple[object, str]]
"""What is asked of a record: by its noun the value, None where it is not known, and the option that tells it."""
_Named = TypeVar("_Named", Mount, Tube, Eyepiece, Site)


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
    mounts, tubes, eyepieces = _in_use(session, Mount), _in_use(session, Tube), _in_use(session, Eyepiece)
    yield _check(
        "mount", "mounts without a type or controller", len(mounts), _not_known("mount", mounts, _of_mount)
    )
    yield _check(
        "tube", "tubes without an aperture or focal length", len(tubes), _not_known("tube", tubes, _of_tube)
    )
    yield _check(
        "eyepiece",
        "eyepieces without a focal length or field",
        len(eyepieces),
        _not_known("eyepiece", eyepieces, _of_eyepiece),
    )


def _in_use(session: Session, kind: type[_Named]) -> Sequence[_Named]:
    return session.scalars(select(kind).where(kind.retired_on.is_(None)).order_by(kind.name_key)).all()


def _of_mount(mount: Mount) -> Asked:
    return {
        "type": (mount.mount_type, "--type WORD"),
        "controller": (mount.controller, "--controller WORD"),
    }


def _of_tube(tube: Tube) -> Asked:
    return {
        "aperture": (tube.aperture_mm, "--aperture-mm MM"),
        "focal length": (tube.focal_mm, "--focal-mm MM"),
    }


def _of_eyepiece(eyepiece: Eyepiece) -> Asked:
    """The field is that of the field stop too."""
    field = eyepiece.field_stop_mm if eyepiece.field_deg is None else eyepiece.field_deg
    return {
        "focal length": (eyepiece.focal_mm, "--focal-mm MM"),
        "field": (field, "--field-deg DEG"),
    }


def _of_site(site: Site) -> Asked:
    place = None if site.lat_deg is None or site.lon_deg is None else (site.lat_deg, site.lon_deg)
    return {
        "place": (place, '--place "LATITUDE LONGITUDE"'),
        "time zone": (site.zone, "--tz ZONE"),
    }


def _not_known(
    kind: str, records: Iterable[_Named], asked_of: Callable[[_Named], Asked]
) -> Iterator[tuple[str, str, str]]:
    """What is asked of each record and not on it, with the command that tells all of it."""
    for record in records:
        lacking = {noun: option for noun, (value, option) in asked_of(record).items() if value is None}
        if lacking:
            options = " ".join(lacking.values())
            yield (
                record.name,
                f"{' and '.join(lacking)} not known",
                f"{kind} edit {quoted(record.name)} {options}",
            )


def _sites(session: Session) -> Check:
    sites = _in_use(session, Site)
    return _check(
        "site", "sites without a place or time zone", len(sites), _not_known("site", sites, _of_site)
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
