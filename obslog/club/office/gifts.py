"""A gift that the club was given, as its letter of thanks tells of it."""

from dataclasses import dataclass
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import thing_named
from obslog.club.storeroom.custody import paper_of
from obslog.errors import ObslogError, quoted
from obslog.money import known_money
from obslog.records.database import Database
from obslog.records.tables.logbook_tables import Equipment, Item
from obslog.vocabulary.storeroom import Acquired, Condition

DONOR = fields.TextField("The giver's name", 200, one_line=True)


class NotAGift(ObslogError):
    def __init__(self, name: str, acquired: Acquired | None) -> None:
        how = "how the club got it is not on record" if acquired is None else f"on record it was {acquired}"
        super().__init__(
            f"{name} is not on record as a gift: {how}.",
            f"If it was given: obslog store note {quoted(name)} --acquired gift --acquired-on DATE",
        )


class NoValueToTell(ObslogError):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"What {name} is worth is not on record, so the letter cannot tell it.",
            f"Leave --value out, or give one: obslog store note {quoted(name)} --value AMOUNT",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Gift:
    """What a letter of thanks tells: None is what is not known, or not to be told.

    `category` is what it is; `value` an amount in words, with the day that it is of.
    """

    donor: str | None
    item: str
    category: str
    tag: str | None
    maker: str | None
    model: str | None
    serial: str | None
    given_on: date | None
    condition: Condition | None
    value: str | None
    valued_on: date | None


def gift_of(
    database: Database,
    name: str,
    *,
    kind: str | None = None,
    donor: str | None = None,
    condition: Condition | None = None,
    with_value: bool = False,
) -> Gift:
    """The gift of that name; what the club values it at only `with_value`.

    Raises UnknownName, WhichKind, NotAGift, NoValueToTell, UnusableText.
    """
    giver = DONOR.checked_or_none(donor)
    with database.read() as session:
        item = thing_named(session, name, kind)
        paper = paper_of(session, item.id)
        if paper is None or paper.acquired is not Acquired.GIFT:
            raise NotAGift(item.name, paper.acquired if paper else None)
        if with_value and paper.value is None:
            raise NoValueToTell(item.name)
        currency = rules_in_force(session).currency
        return Gift(
            donor=giver,
            item=item.name,
            category=_category(session, item),
            tag=paper.tag,
            maker=paper.maker,
            model=paper.model,
            serial=paper.serial,
            given_on=paper.acquired_on,
            condition=condition,
            value=known_money(paper.value, currency) if with_value else None,
            valued_on=paper.valued_on if with_value else None,
        )


def _category(session: Session, item: Equipment) -> str:
    if not isinstance(item, Item):
        return item.kind
    return session.scalar(select(Item.sort).where(Item.id == item.id)) or item.kind
