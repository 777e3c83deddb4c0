"""Batteries: their tests, and a plain word when one has too little of its capacity left."""

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from obslog import fields
from obslog.club.register.club_day import day_meant
from obslog.club.register.rule_book import rules_in_force
from obslog.club.register.things import thing_named
from obslog.english import with_article
from obslog.errors import WrongInput, quoted
from obslog.records.database import Database
from obslog.records.history.recorder import call_act
from obslog.records.tables.logbook_tables import Item
from obslog.records.tables.storeroom import BatteryTest

# Common practice in the trade; the maker and qualified people come first.
CAUTIONS = (
    "Never leave a charging battery alone.",
    "Never charge a lithium battery below 0 °C, and never warm a frozen one.",
    "Cap the terminals: a short circuit burns. A lead-acid battery gives off gas: charge it where there is air.",
    "If it is swollen, hot, leaking or dented, do not charge it; ask its maker or a qualified person.",
)


class NotABattery(WrongInput):
    def __init__(self, name: str, what: str, is_item: bool) -> None:
        hint = (
            f"If it is one: obslog item edit {quoted(name)} --category battery"
            if is_item
            else "Name the battery."
        )
        super().__init__(f"{name} is on record as {what}, not as a battery.", hint)


class NothingRead(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "A day is given, but no measurement.",
            "Give --rest-volts, --load-volts or --capacity-percent.",
        )


class MoreUnderLoad(WrongInput):
    def __init__(self, rest: float, load: float) -> None:
        super().__init__(
            f"{load:g} V under load is more than {rest:g} V at rest, which no battery gives.",
            "Check whether the two were swapped.",
        )


@dataclass(frozen=True, slots=True)
class BatteryReading:
    """What a test measured; None is what was not."""

    tested_on: date
    rest_volts: float | None
    load_volts: float | None
    capacity_percent: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BatteryPage:
    """A battery's tests, the newest first; `warning` is None while its last measured capacity is enough, or unknown."""

    name: str
    tests: list[BatteryReading]
    fewest_percent: float
    warning: str | None
    cautions: tuple[str, ...] = CAUTIONS


def note_test(
    database: Database,
    name: str,
    now: datetime,
    *,
    on: date | None = None,
    rest_volts: float | None = None,
    load_volts: float | None = None,
    capacity_percent: float | None = None,
) -> BatteryPage:
    """Note a test of a battery. Raises UnknownName, NotABattery, NothingRead, OutOfRange, MoreUnderLoad, FutureDate."""
    if all(read is None for read in (rest_volts, load_volts, capacity_percent)):
        raise NothingRead
    day = day_meant(database, on, now)
    fields.REST_VOLTS.check(rest_volts)
    fields.LOAD_VOLTS.check(load_volts)
    fields.CAPACITY_PERCENT.check(capacity_percent)
    if rest_volts is not None and load_volts is not None and load_volts > rest_volts:
        raise MoreUnderLoad(rest_volts, load_volts)
    with database.write(now, f"note a test of {name}") as session:
        battery = _battery(session, name)
        call_act(session, f"note a test of {battery.name}")
        session.add(
            BatteryTest(
                equipment_id=battery.id,
                tested_on=day,
                rest_volts=rest_volts,
                load_volts=load_volts,
                capacity_percent=capacity_percent,
            )
        )
        session.flush()
        return _page(session, battery)


def battery_page(database: Database, name: str) -> BatteryPage:
    """A battery's tests. Raises UnknownName, NotABattery."""
    with database.read() as session:
        return _page(session, _battery(session, name))


def _battery(session: Session, name: str) -> Item:
    try:
        item = thing_named(session, name, "item")
    except WrongInput:
        other = thing_named(session, name)
        raise NotABattery(other.name, with_article(other.kind), False) from None
    assert isinstance(item, Item)
    if item.sort.strip().casefold() != "battery":
        raise NotABattery(item.name, f"an item of the category {item.sort!r}", True)
    return item


def _page(session: Session, battery: Item) -> BatteryPage:
    query = (
        select(BatteryTest)
        .where(BatteryTest.equipment_id == battery.id)
        .order_by(BatteryTest.tested_on.desc(), BatteryTest.id.desc())
    )
    tests = [
        BatteryReading(test.tested_on, test.rest_volts, test.load_volts, test.capacity_percent)
        for test in session.scalars(query)
    ]
    fewest = rules_in_force(session)["battery-percent"]
    return BatteryPage(name=battery.name, tests=tests, fewest_percent=fewest, warning=_warning(tests, fewest))


def _warning(tests: list[BatteryReading], fewest: float) -> str | None:
    last = next((test for test in tests if test.capacity_percent is not None), None)
    if last is None or last.capacity_percent is None or last.capacity_percent >= fewest:
        return None
    return (
        f"It had {last.capacity_percent:g} % of its capacity on {last.tested_on}, under the club's {fewest:g} %: "
        "it needs replacing, and will not last a cold night."
    )
