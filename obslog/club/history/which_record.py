"""Which record or act somebody means: by its name, with its kind before it where several fit, or by its reference."""

from collections.abc import Iterator
from dataclasses import dataclass
from uuid import UUID

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from obslog.club.history.field_words import kind_words
from obslog.errors import ObslogError, WrongInput
from obslog.grammar.name_choice import fitting_names
from obslog.records.history.acts import NoSuchAct, act_named
from obslog.records.history.batches import unpacked_keys
from obslog.records.history.images import record_kinds
from obslog.records.name_lookup import KINDS, table_of
from obslog.records.tables.base import name_key
from obslog.records.tables.logbook import Act, Change, ChangeBatch

REFERENCE_DIGITS = 6
MOST_LISTED = 6
_HEXADECIMAL = set("0123456789abcdef")


class NoSuchRecord(ObslogError):
    def __init__(self, what: str) -> None:
        super().__init__(
            f"Nothing on record is called {what!r}.",
            "Give the name of an item, member, site or kit, or a reference. The newest acts: obslog history",
        )


class WhichRecord(WrongInput):
    def __init__(self, what: str, found: list[str]) -> None:
        super().__init__(f"{what!r} may be {_listed(found)}.", "Say which, with its kind before the name.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """A record that is meant, whether on record still or only in the history."""

    kind: str
    key: UUID


def what_is_meant(session: Session, what: str) -> Act | Meant:
    """The act or record of that name or reference. Raises NoSuchRecord, WhichRecord."""
    named = _named(session, what)
    if named is not None:
        return named
    reference = what.strip().lower().replace("-", "")
    if len(reference) >= REFERENCE_DIGITS and set(reference) <= _HEXADECIMAL:
        try:
            return act_named(session, reference)
        except NoSuchAct:
            found = sorted(set(_of_reference(session, reference)), key=lambda pair: pair[1])
            if len(found) == 1:
                return Meant(kind=found[0][0], key=found[0][1])
            if found:
                raise WhichRecord(what, [f"{kind_words(kind)} {key}" for kind, key in found]) from None
    raise NoSuchRecord(what)


def _named(session: Session, what: str) -> Meant | None:
    kinds = [*KINDS, "kit"]
    first, _, rest = what.strip().partition(" ")
    if first.lower() in kinds and rest and (meant := _of_kinds(session, rest, [first.lower()])):
        return meant
    return _of_kinds(session, what, kinds)


def _of_kinds(session: Session, what: str, kinds: list[str]) -> Meant | None:
    records = [
        (kind, name, key)
        for kind in kinds
        for name, key in session.execute(select(table_of(kind).name, table_of(kind).id))
    ]
    fitting = {name_key(name) for name in fitting_names(what, [name for _, name, _ in records])}
    found = [(kind, name, key) for kind, name, key in records if name_key(name) in fitting]
    if len(found) > 1:
        raise WhichRecord(what, [f"{kind} {name}" for kind, name, _ in found])
    return Meant(kind=table_of(found[0][0]).__name__, key=found[0][2]) if found else None


def _of_reference(session: Session, reference: str) -> Iterator[tuple[str, UUID]]:
    """Records whose keys end so: by their changes, and by the entries of many records."""
    ending = f"%{reference[-REFERENCE_DIGITS:]}"
    changes = select(Change.record_kind, Change.record_id).where(cast(Change.record_id, Text).like(ending))
    for kind, key in session.execute(changes.distinct()):
        if key.hex.endswith(reference):
            yield kind, key
    for kind, packed in session.execute(select(ChangeBatch.record_kind, ChangeBatch.record_ids)):
        if bytes.fromhex(reference[-REFERENCE_DIGITS:]) in packed:
            for text in unpacked_keys(packed):
                key = UUID(text)
                if kind in record_kinds() and key.hex.endswith(reference):
                    yield kind, key


def _listed(found: list[str]) -> str:
    shown = found[:MOST_LISTED]
    more = len(found) - len(shown)
    return " or ".join(shown) + (f", or one of {more} more" if more else "")
