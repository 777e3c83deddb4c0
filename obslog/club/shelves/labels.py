"""What stands on labels: tags and names, of the items that were named, of a place, or of all."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select

from obslog.club.register.things import thing_named
from obslog.errors import ObslogError, WrongInput, quoted
from obslog.records.database import Database
from obslog.records.tables.base import name_key, tag_order
from obslog.records.tables.logbook_tables import Equipment
from obslog.records.tables.storeroom import Paper


class NoTag(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name} has no tag, so there is nothing to scan on its label.",
            f"Give it one: obslog store note {quoted(name)} --tag TAG",
        )


class NoLabel(ObslogError):
    def __init__(self) -> None:
        super().__init__(
            "No item with a tag is among these.", "Give each a tag first: obslog store note ITEM --tag TAG"
        )


@dataclass(frozen=True, slots=True)
class Label:
    """The tag, which the code to scan says too, and the name."""

    tag: str
    name: str


@dataclass(frozen=True, slots=True)
class Labels:
    """The labels in the order of their tags, and the names of those that have none."""

    labels: list[Label]
    without_tag: list[str]


def labels_of_named(database: Database, names: Sequence[str], kind: str | None = None) -> Labels:
    """The labels of these items, in the order in which they were named.

    Raises UnknownName, SeveralNamesFit, WhichKind, NoTag.
    """
    found = []
    with database.read() as session:
        for name in names:
            item = thing_named(session, name, kind)
            tag = session.scalar(select(Paper.tag).where(Paper.equipment_id == item.id))
            if tag is None:
                raise NoTag(item.name)
            found.append(Label(tag, item.name))
    return Labels(found, [])


def labels_of_place(database: Database, place: str | None = None) -> Labels:
    """The labels of all items in use, or of those that are kept at that place. Raises NoLabel."""
    query = (
        select(Equipment.name, Paper.tag, Paper.place)
        .outerjoin(Paper, Paper.equipment_id == Equipment.id)
        .where(Equipment.retired_on.is_(None))
        .order_by(Equipment.name_key)
    )
    with database.read() as session:
        rows = [
            (name, tag)
            for name, tag, kept_at in session.execute(query)
            if place is None or (kept_at is not None and name_key(kept_at) == name_key(place))
        ]
    labels = sorted(
        (Label(tag, name) for name, tag in rows if tag is not None), key=lambda label: tag_order(label.tag)
    )
    if not labels:
        raise NoLabel
    return Labels(labels, [name for name, tag in rows if tag is None])
