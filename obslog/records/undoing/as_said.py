"""What the history says of records that come back: their rows may stand otherwise, beside others or joined to them."""

from collections.abc import Collection, Sequence

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.records.history.images import Image
from obslog.records.history.reading import said, said_before
from obslog.records.history.rows import by_many
from obslog.records.merging.same_aliases import read_aliases
from obslog.records.tables.base import name_key
from obslog.records.tables.column_types import key_of
from obslog.records.tables.kept import record_obstacles
from obslog.records.tables.logbook import Act, SameRecord

LONGEST_OF_APART = 80
TOLD_APART = frozenset({"name", "name_key", "tag"})
"""Columns in which a row may differ from what was written, since another row says that."""


def told_apart(image: Image) -> Image:
    """The image with a name that nothing else has, and no tag: so it stands until it is settled."""
    apart = dict(image)
    if isinstance(name := image.get("name"), str) and "name_key" in image:
        apart["name"] = f"{name[:LONGEST_OF_APART]} ({image['id']})"
        apart["name_key"] = name_key(apart["name"])
    if "tag" in image:
        apart["tag"] = None
    return apart


def as_written(session: Session, act: Act, kind: str, image: Image, was: Image) -> Image:
    """The image with the name and tag that people wrote, where its row was told apart by others, and is again."""
    names = TOLD_APART & image.keys() & was.keys()
    if not names:
        return image
    before = said_before(session, kind, key_of(image["id"]), act.id)
    return {**image, **{name: before.get(name, was[name]) for name in names}}


def as_said(session: Session, kind: str, key: str, taken_back: Collection[str] = ()) -> Image:
    """A record as all have written it, whichever joinings, or acts that are taken back just now, took it away."""
    joined_by = {*read_aliases(session).joining_acts(session, key), *taken_back}
    return said(session, kind, key_of(key), joined_by)


def joined_among(session: Session, keys: Sequence[str]) -> set[str]:
    """Those of the records that were made one with another: it stands for them, or they for it in a circle."""
    gone = cast(SameRecord.gone_id, Text)
    return {
        key
        for some in by_many(session, keys)
        for key in session.scalars(select(gone).where(SameRecord.gone_id.in_(map(key_of, map(str, some)))))
    }


def may_stand_otherwise(session: Session, key: str) -> bool:
    """Whether others are why a row is not as the history says of its record; else somebody wrote past the history."""
    set_aside = select(record_obstacles.c.id).where(record_obstacles.c.record_id == key_of(key)).limit(1)
    return bool(joined_among(session, [key])) or session.scalar(set_aside) is not None
