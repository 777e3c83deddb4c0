"""What the records tell of purchases, counted from a year laid out by hand.

Long tube was lent three times: 10 to 19 January with Ines (10 days), 1 to 20 February with Bram (20 days), and from 1
March with Ines, due on the 15th; today, 31 March, it has been out for 31 days. Bram waits for it since 5 March, Noor
since the 21st; Ines asked in February and gave up. The set-ups are two nights with Heron, one of them with Long tube.
"""

from datetime import UTC, date, datetime

import pytest

from obslog.club.buying.evidence import BuyingEvidence, Stock, WaitingList, evidence
from obslog.club.register.named_records import add
from obslog.club.storeroom.custody import StoreStatus
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import go_missing
from obslog.club.storeroom.retirement import write_off
from obslog.club.storeroom.waiting_list import reserve, withdraw
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount, Night, Setup, Site, Tube

TODAY = date(2026, 3, 31)


def noon(month: int, day: int, year: int = 2026) -> datetime:
    return datetime(year, month, day, 12, tzinfo=UTC)


@pytest.fixture
def lent(database: Database) -> Database:
    then = noon(1, 1)
    add(database, "site", "Mill Field", {"zone": "Europe/London"}, then)
    for member in ("Ines", "Bram", "Noor"):
        add(database, "member", member, {}, then)
    items = (("mount", "Heron"), ("tube", "Long tube"), ("item", "Lamp"), ("item", "Case"))
    for kind, name in items:
        add(database, kind, name, {"sort": "lamp"} if name == "Lamp" else {}, then)
    write_paper(database, "Long tube", {"value": 400.0, "acquired_on": date(2025, 12, 1)}, then)
    add_kit(database, "Evening kit", ["Heron", "dust cap"], then)
    lend(database, "Long tube", "Ines", noon(1, 10))
    take_back(database, "Long tube", noon(1, 19))
    lend(database, "Long tube", "Bram", noon(2, 1))
    reserve(database, "Long tube", "Ines", noon(2, 3))
    withdraw(database, "Long tube", "Ines", noon(2, 9))
    take_back(database, "Long tube", noon(2, 20))
    lend(database, "Long tube", "Ines", noon(3, 1), due=date(2026, 3, 15))
    reserve(database, "Long tube", "Bram", noon(3, 5))
    reserve(database, "Long tube", "Noor", noon(3, 21))
    go_missing(database, "Lamp", noon(3, 1))
    write_off(database, "Case", "cracked", noon(3, 2))
    with database.write(noon(3, 30)) as session:
        site, heron = by_name(session, Site, "Mill Field"), by_name(session, Mount, "Heron")
        tube = by_name(session, Tube, "Long tube")
        for day, with_tube in ((date(2026, 2, 25), None), (date(2026, 2, 26), tube.id)):
            night = Night(site_id=site.id, night_of=day)
            session.add(night)
            session.flush()
            session.add(Setup(night_id=night.id, mount_id=heron.id, tube_id=with_tube))
    return database


@pytest.fixture
def found(lent: Database) -> BuyingEvidence:
    with lent.read() as session:
        return evidence(session, TODAY)


def one(found: BuyingEvidence, name: str) -> Stock:
    return next(stock for stock in found.stock if stock.name == name)


def test_a_waiting_list_tells_who_waits_how_long_and_who_went_without(found: BuyingEvidence) -> None:
    assert found.queues == [
        WaitingList(
            name="Long tube", kind="tube", waiting=2, longest_days=26, asked=3, went_without=1,
            there=False, parts=frozenset(), due_on=date(2026, 3, 15),
        )
    ]  # fmt: skip


def test_use_is_counted_in_loans_days_and_nights(found: BuyingEvidence) -> None:
    tube = one(found, "Long tube")
    assert tube.days is not None
    # Ours since 1 December: 31 + 31 + 28 + 31 days; out on 10 + 20 + 31 of them.
    assert (tube.days.out, tube.days.available) == (61, 121)
    assert (tube.loans, tube.nights, found.nights) == (3, 1, 2)
    assert (tube.value, tube.acquired_on, tube.loose) == (400, date(2025, 12, 1), True)
    heron = one(found, "Heron")
    assert (heron.nights, heron.loans, heron.loose, heron.acquired_on) == (2, 0, False, None)
    assert [tube.loans_open_before(date(*day)) for day in ((2026, 1, 9), (2026, 2, 1), (2027, 2, 20))] == [
        0,
        2,
        1,
    ]
    assert tube.loans_before(date(2026, 1, 31)) == 1
    assert tube.loans_before(date(2027, 1, 10)) == 2  # the first began a whole year before


def test_what_is_gone_and_what_it_was(found: BuyingEvidence) -> None:
    lamp, case = one(found, "Lamp"), one(found, "Case")
    assert (lamp.category, lamp.status, lamp.missing_since) == ("lamp", StoreStatus.MISSING, date(2026, 3, 1))
    assert (case.status, case.written_off_on, case.why) == (
        StoreStatus.WRITTEN_OFF,
        date(2026, 3, 2),
        "cracked",
    )
    assert not lamp.in_use
    assert not case.in_use
    assert one(found, "Evening kit").category == "kit"


def test_what_nobody_waits_for_any_more_is_no_queue(lent: Database) -> None:
    withdraw(lent, "Long tube", "Bram", noon(3, 30))
    withdraw(lent, "Long tube", "Noor", noon(3, 30))
    with lent.read() as session:
        assert evidence(session, TODAY).queues == []


def test_who_waits_again_or_got_it_later_did_not_go_without(lent: Database) -> None:
    """Ines gave up in February, and Noor on 24 March; both asked again."""

    def went_without() -> int:
        with lent.read() as session:
            (queue,) = evidence(session, TODAY).queues
        return queue.went_without

    take_back(lent, "Long tube", noon(3, 22))
    reserve(lent, "Long tube", "Ines", noon(3, 22))
    withdraw(lent, "Long tube", "Noor", noon(3, 24))
    reserve(lent, "Long tube", "Noor", noon(3, 25))
    assert went_without() == 0
    withdraw(lent, "Long tube", "Bram", noon(3, 26))
    lend(lent, "Long tube", "Ines", noon(3, 27))
    assert went_without() == 1  # Bram
    take_back(lent, "Long tube", noon(3, 28))
    reserve(lent, "Long tube", "Ines", noon(3, 28))
    withdraw(lent, "Long tube", "Ines", noon(3, 29))
    assert went_without() == 2  # and Ines, who had got it, and asked once more


def test_who_asked_long_ago_counts_no_more(lent: Database) -> None:
    with lent.read() as session:
        (queue,) = evidence(
            session, date(2028, 2, 9)
        ).queues  # Ines asked on 3 February 2026, 736 days before
    assert (queue.waiting, queue.asked, queue.went_without) == (2, 2, 0)
    assert queue.longest_days == 706  # from 5 March 2026: 365 + 365 - 24 days to 9 February 2028
