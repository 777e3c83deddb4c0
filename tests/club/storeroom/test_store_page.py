"""The history of a thing: everything that is on record of it, in order of time."""

from collections import Counter
from datetime import date, datetime, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from obslog.club.night.snags import add_snag
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import hand_over, lend, take_back
from obslog.club.storeroom.store_page import Event, in_order_of_time, store_page
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.opening import Database
from obslog.vocabulary import Acquired, Condition, Step

days = st.dates(date(2025, 1, 1), date(2025, 1, 20))  # few days, so that many fall together
groups = st.lists(st.lists(st.builds(Event, days, st.sampled_from("abc"), st.text(max_size=2)), max_size=6))


@given(groups)
def test_events_come_by_day_and_on_a_day_in_the_order_in_which_they_were_told(
    told: list[list[Event]],
) -> None:
    flat = [event for group in told for event in group]
    ordered = in_order_of_time(told)
    assert Counter(ordered) == Counter(flat)
    assert all(one.day <= other.day for one, other in pairwise(ordered))
    for day in {event.day for event in flat}:
        assert [e for e in ordered if e.day == day] == [e for e in flat if e.day == day]


def test_a_page_tells_all_that_happened(club: Database, now: datetime) -> None:
    write_paper(
        club, "Heron", {"acquired": Acquired.BOUGHT, "acquired_on": date(2020, 5, 1), "cost": 800.0}, now
    )
    add_service(
        club,
        "mount",
        "Heron",
        "greased",
        now,
        on=date(2025, 1, 7),
        bill=Bill(cost=20, parts="grease"),
        mechanical=True,
    )
    add_snag(club, Step.POWER, "leads warm", now - timedelta(days=30), mount="Heron")
    add_kit(club, "Evening kit", ["Heron", "Wide 25"], now - timedelta(days=20))
    lend(club, "Evening kit", "Ines", now - timedelta(days=15), all_good=True)
    bent = {"Heron": (Condition.DAMAGED, "a bent bolt")}
    hand_over(club, "Evening kit", "Bram Ostler", now - timedelta(days=10), conditions=bent)
    take_back(club, "Evening kit", now - timedelta(days=5))
    remove_part(club, "Evening kit", "Heron", "to be mended", now - timedelta(days=4))
    page = store_page(club, "Heron", now.date(), with_names=True)
    assert [(str(event.day), event.what, event.words) for event in page.history] == [
        ("2020-05-01", "acquired", "bought, cost 800.00"),
        ("2025-01-07", "service", "greased (mechanical), cost 20.00, parts: grease"),
        ("2026-01-31", "snag", "power: leads warm (open)"),
        ("2026-02-10", "kit", "joined Evening kit"),
        ("2026-02-15", "out", "to Ines with the kit Evening kit, due 2026-03-15"),
        ("2026-02-20", "back", "from Ines with the kit Evening kit: good -> damaged: a bent bolt"),
        ("2026-02-20", "out", "to Bram Ostler with the kit Evening kit, handed over, due 2026-03-20"),
        ("2026-02-25", "back", "from Bram Ostler with the kit Evening kit"),
        ("2026-02-26", "kit", "left Evening kit: to be mended"),
    ]


def test_a_battery_and_a_kit_have_histories_too(club: Database, now: datetime) -> None:
    note_test(club, "Lead battery", now, rest_volts=12.6, capacity_percent=80)
    assert store_page(club, "Lead battery", now.date()).history == [
        Event(now.date(), "battery", "12.6 V at rest, 80 % of its capacity left")
    ]
    add_kit(club, "Night kit", ["Bracken", "flask"], now)
    assert [event.words for event in store_page(club, "Night kit", now.date()).history] == [
        "Bracken joined",
        "flask joined",
    ]
