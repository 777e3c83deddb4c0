"""The insurer's list: each item in use with its value, whose valuation that is, proof, and where it is; with totals.

A value that is not known is counted, and never added as nothing. What is retired or written off is left out.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import Row, select
from sqlalchemy.orm import Session

from obslog.club.office.depreciation import WrittenDown, depreciates, depreciation_of
from obslog.club.register.rule_book import Rules, rules_in_force
from obslog.club.storeroom.custody import Custody, StoreStatus, name_told, state_of, who_has_it
from obslog.english import counted
from obslog.money import money_sum
from obslog.records.database import Database
from obslog.records.tables.base import name_key, tag_order
from obslog.records.tables.lending import Kit, KitPart
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.records.tables.storeroom import Paper, Photograph, Receipt
from obslog.vocabulary.storeroom import Acquired

NO_PLACE, ON_LOAN, MISSING, IN_STORE = "no place on record", "on loan", "missing", "in the store"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A photograph or a receipt, by its file's name and SHA-256; `on` is when it was taken, or the day on it."""

    what: str
    file_name: str
    sha256: str
    on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class InsuredItem:
    """An item in use; None is what nobody wrote down, or of `holder` and `valued_by`, what is not to be told.

    `place` is where it is kept, `where` where it is today. `written_down` is by the club's rule, where it has one.
    """

    tag: str | None
    name: str
    kind: str
    category: str | None
    kit: str | None
    maker: str | None
    model: str | None
    serial: str | None
    acquired: Acquired | None
    acquired_on: date | None
    cost: float | None
    value: float | None
    valued_on: date | None
    valued_by: str | None
    written_down: WrittenDown | None
    proof: list[Proof]
    status: StoreStatus
    place: str | None
    where: str
    holder: str | None
    due_on: date | None

    @property
    def category_or_kind(self) -> str:
        """The category of other items, else the kind."""
        return self.category or self.kind


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """What items are worth together: the sum of the values that are known, None where none is, and how many are not.

    `written_down` and `not_written_down` are the same by the club's rule of depreciation.
    """

    name: str
    items: int
    value: float | None
    unknown: int
    written_down: float | None
    not_written_down: int


@dataclass(frozen=True, slots=True, kw_only=True)
class InsuranceList:
    """The list of a day, by tag and name; amounts in the club's currency. `depreciates`: the club has a rule for it."""

    on: date
    currency: str | None
    depreciates: bool
    items: list[InsuredItem]
    total: Total
    by_place: list[Total]
    by_holder: list[Total]
    undated: int
    without_proof: int
    retired: int
    written_off: int


@dataclass(frozen=True, slots=True)
class _Known:
    """What the records say of all items, by their keys."""

    state: Mapping[UUID, Custody]
    proof: Mapping[UUID, list[Proof]]
    rules: Rules


def insurance_list(database: Database, today: date, *, with_names: bool = False) -> InsuranceList:
    """All items in use; who has one, and who valued it, only `with_names`. Raises TwoWays."""
    with database.read() as session:
        known = _Known(state_of(session, with_names=True), _proof(session), rules_in_force(session))
        found = [(row, known.state[row.id]) for row in session.execute(_QUERY)]
        gone = [now for _, now in found if not now.in_use]
        kept = sorted(
            ((row, now) for row, now in found if now.in_use),
            key=lambda pair: (pair[0].tag is None, tag_order(pair[0].tag or ""), pair[0].name_key),
        )
        items = [_item(row, now, known, today, with_names=with_names) for row, now in kept]
    states = [now for _, now in kept]
    written_off = sum(now.written_off_on is not None for now in gone)
    return InsuranceList(
        on=today,
        currency=known.rules.currency,
        depreciates=depreciates(known.rules),
        items=items,
        total=total_of("all items", items),
        by_place=_totals(items, states, _place, last=(NO_PLACE, ON_LOAN, MISSING)),
        by_holder=_totals(items, states, _holder(states, with_names=with_names), last=(MISSING,)),
        undated=sum(item.value is not None and item.valued_on is None for item in items),
        without_proof=sum(not item.proof for item in items),
        retired=len(gone) - written_off,
        written_off=written_off,
    )


_QUERY = (
    select(
        Equipment.id,
        Equipment.kind,
        Equipment.name,
        Equipment.name_key,
        Item.__table__.c.sort.label("category"),
        Kit.name.label("kit"),
        *(
            getattr(Paper, column)
            for column in (
                "tag",
                "maker",
                "model",
                "serial",
                "acquired",
                "acquired_on",
                "cost",
                "value",
                "valued_on",
                "valued_by",
            )
        ),
    )
    .outerjoin(Item.__table__, Item.__table__.c.id == Equipment.id)
    .outerjoin(Paper, Paper.equipment_id == Equipment.id)
    .outerjoin(KitPart, (KitPart.equipment_id == Equipment.id) & KitPart.left_on.is_(None))
    .outerjoin(Kit, KitPart.kit_id == Kit.id)
)


def _item(
    row: Row[*tuple[object, ...]], now: Custody, known: _Known, today: date, *, with_names: bool
) -> InsuredItem:
    told = row._mapping
    rule = depreciation_of(known.rules, told["kind"], told["category"])
    holder = name_told(now.holder.member, with_names=with_names) if now.holder else None
    return InsuredItem(
        category=told["category"],
        **{
            name: told[name]
            for name in (
                "tag",
                "name",
                "kind",
                "kit",
                "maker",
                "model",
                "serial",
                "acquired",
                "acquired_on",
                "cost",
            )
        },
        value=told["value"],
        valued_on=told["valued_on"],
        valued_by=name_told(told["valued_by"], with_names=with_names),
        written_down=rule.of(told["cost"], told["acquired_on"], today) if rule else None,
        proof=known.proof.get(told["id"], []),
        status=now.status,
        place=now.place,
        where=_where(now, holder),
        holder=holder,
        due_on=now.holder.due_on if now.holder else None,
    )


def _where(now: Custody, holder: str | None) -> str:
    if now.holder is not None:
        return who_has_it(holder)
    if now.status is StoreStatus.MISSING:
        return f"missing since {now.missing_since}"
    return now.place or NO_PLACE


def _proof(session: Session) -> dict[UUID, list[Proof]]:
    """Photographs, then receipts, each in the order in which they were added."""
    found: dict[UUID, list[Proof]] = {}
    for photo in session.scalars(select(Photograph).order_by(Photograph.id)):
        found.setdefault(photo.equipment_id, []).append(
            Proof(what="photograph", file_name=photo.file_name, sha256=photo.sha256, on=photo.taken_on)
        )
    for receipt in session.scalars(select(Receipt).order_by(Receipt.id)):
        found.setdefault(receipt.equipment_id, []).append(
            Proof(what="receipt", file_name=receipt.file_name, sha256=receipt.sha256, on=receipt.dated_on)
        )
    return found


def total_of(name: str, items: Iterable[InsuredItem]) -> Total:
    """What these are worth together."""
    listed = list(items)
    values = [item.value for item in listed if item.value is not None]
    written_down = [item.written_down.value for item in listed if item.written_down is not None]
    return Total(
        name=name,
        items=len(listed),
        value=money_sum(values) if values else None,
        unknown=len(listed) - len(values),
        written_down=money_sum(written_down) if written_down else None,
        not_written_down=len(listed) - len(written_down),
    )


def _totals(
    items: list[InsuredItem], states: list[Custody], named: Callable[[Custody], str], last: tuple[str, ...]
) -> list[Total]:
    """A total for each name, by name; those that are no name of a place or member at the end, in their order.

    Capitals do not matter, as in a stocktake: shelf 2 is Shelf 2.
    """
    groups: dict[str, list[InsuredItem]] = {}
    called: dict[str, str] = {}
    for item, now in zip(items, states, strict=True):
        name = named(now)
        groups.setdefault(name_key(name), []).append(item)
        called.setdefault(name_key(name), name)
    order = {name_key(name): place for place, name in enumerate(last, start=1)}
    return [
        total_of(called[key], groups[key]) for key in sorted(groups, key=lambda key: (order.get(key, 0), key))
    ]


def _place(now: Custody) -> str:
    if now.holder is not None:
        return ON_LOAN
    return MISSING if now.status is StoreStatus.MISSING else now.place or NO_PLACE


def _holder(states: list[Custody], *, with_names: bool) -> Callable[[Custody], str]:
    """Who holds it: the club, a member, or nobody knows; without names all members are one."""
    members = {now.holder.member for now in states if now.holder}

    def holder(now: Custody) -> str:
        if now.holder is None:
            return MISSING if now.status is StoreStatus.MISSING else IN_STORE
        name = name_told(now.holder.member, with_names=with_names)
        return who_has_it(name) if name else f"with {counted(len(members), 'member')}"

    return holder
