"""The history of a thing: everything that is on record of it, in order of time."""

from datetime import date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from obslog.club.night.snags import add_snag
from obslog.club.shelves.counting import saw, start
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.item_history import Event, Phase, PlacedEvent, in_order_of_time
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import hand_over, lend, take_back
from obslog.club.storeroom.missing import be_found, go_missing
from obslog.club.storeroom.retirement import reinstate, retire, write_off
from obslog.club.storeroom.store_page import store_page
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.vocabulary.steps import Step
from obslog.vocabulary.storeroom import Acquired, Condition

days = st.dates(date(2025, 1, 1), date(2025, 1, 3))  # few days, so that many fall together
events = st.builds(Event, days, st.sampled_from("abc"), st.text(max_size=2))
places = st.tuples(st.sampled_from(Phase), st.integers(0, 1), st.integers(0, 1))


@given(st.lists(st.tuples(events, places), max_size=12))
def test_events_come_by_day_and_place_and_in_one_place_in_the_order_in_which_they_were_told(
    told: list[tuple[Event, tuple[Phase, int, int]]],
) -> None:
    ordered = in_order_of_time(PlacedEvent(event, *place) for event, place in told)
    expected = [
        event
        for day in sorted({event.day for event, _ in told})
        for there in sorted({place for _, place in told})
        for event, place in told
        if (event.day, place) == (day, there)
    ]
    assert ordered == expected


DAY = date(2026, 3, 2)


def test_what_happened_on_one_day_stands_in_the_order_in_which_it_was_done(
    club: Database, now: datetime
) -> None:
    """All on the evening of one day, each typed in after the one before."""
    add_kit(club, "Bag", ["Heron"], now)
    lend(club, "Bag", "Ines", now)
    take_back(club, "Bag", now)
    add_snag(club, Step.POWER, "loose lead", now, mount="Heron")
    add_service(club, "mount", "Heron", "lead soldered", now, on=DAY)
    remove_part(club, "Bag", "Heron", "goes alone", now)
    lend(club, "Heron", "Ines", now)
    take_back(club, "Heron", now)
    go_missing(club, "Heron", now)
    be_found(club, "Heron", now)
    lend(club, "Heron", "Bram Ostler", now)
    take_back(club, "Heron", now)
    retire(club, "mount", "Heron", "worn", DAY, now)
    reinstate(club, "Heron", now)
    write_off(club, "Heron", "too worn", now)
    history = store_page(club, "Heron", DAY).history
    assert {event.day for event in history} == {DAY}
    assert [event.what for event in history] == [
        "kit", "out", "back", "kit", "snag", "service", "out", "back", "missing", "found", "out", "back",
        "retired", "in use", "written off",
    ]  # fmt: skip


def test_on_one_day_what_ends_makes_room_for_what_begins(club: Database, now: datetime) -> None:
    """A loan of five days ends, the mount leaves its kit, and is lent again, joins another kit, and is missing."""
    earlier = now - timedelta(days=5)
    add_kit(club, "Bag", ["Heron", "Wide 25"], earlier)
    lend(club, "Bag", "Ines", earlier)
    take_back(club, "Bag", now)
    remove_part(club, "Bag", "Heron", "too heavy", now)
    add_kit(club, "Box", ["Heron"], now)
    lend(club, "Box", "Bram Ostler", now)
    take_back(club, "Box", now)
    go_missing(club, "Heron", now)
    of_today = [event for event in store_page(club, "Heron", DAY).history if event.day == DAY]
    assert [(event.what, event.words.split(",")[0]) for event in of_today] == [
        ("back", "from a member with the kit Bag"), ("kit", "left Bag: too heavy"), ("kit", "joined Box"),
        ("out", "to a member with the kit Box"), ("back", "from a member with the kit Box"),
        ("missing", "missing since this day"),
    ]  # fmt: skip
    bag = [event for event in store_page(club, "Bag", DAY).history if event.day == DAY]
    assert [(event.what, event.words) for event in bag] == [
        ("back", "from a member"), ("part", "Heron left: too heavy"),
    ]  # fmt: skip


def test_retired_for_longer_comes_last_on_its_day_and_in_use_again_first(
    club: Database, now: datetime
) -> None:
    earlier = now - timedelta(days=5)
    lend(club, "Heron", "Ines", earlier)
    take_back(club, "Heron", earlier)
    retire(club, "mount", "Heron", "worn", earlier.date(), earlier)
    reinstate(club, "Heron", now)
    lend(club, "Heron", "Ines", now)
    assert [event.what for event in store_page(club, "Heron", DAY).history] == [
        "out", "back", "retired", "in use", "out",
    ]  # fmt: skip
    retire(club, "mount", "Bracken", "worn", earlier.date(), earlier)
    write_off(club, "Bracken", "gone", now)
    reinstate(club, "Bracken", now)
    assert [event.what for event in store_page(club, "Bracken", DAY).history] == [
        "retired", "written off", "in use",
    ]  # fmt: skip


def test_snags_of_a_day_stand_by_their_hour_whenever_they_were_typed_in(
    club: Database, now: datetime
) -> None:
    for text, hours in (("late", 1), ("early", 3), ("noon", 9), ("days ago", 60)):
        add_snag(club, Step.POWER, text, now - timedelta(hours=hours), mount="Heron")
    told = [event.words.split(": ")[1].split(" (")[0] for event in store_page(club, "Heron", DAY).history]
    assert told == ["days ago", "noon", "early", "late"]


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


def test_that_a_stocktake_saw_what_is_lent_on_record_is_told(club: Database, now: datetime) -> None:
    """Whoever is asked on the telephone who has it is not to send the caller to the borrower."""
    lend(club, "Heron", "Ines", now - timedelta(days=20))
    start(club, now - timedelta(days=5))
    saw(club, "Heron", now - timedelta(days=4), place="shelf 2")
    assert [
        (str(event.day), event.what, event.words) for event in store_page(club, "Heron", DAY).history
    ] == [
        ("2026-02-10", "out", "to a member, due 2026-03-10"),
        ("2026-02-26", "seen", "at the stocktake: shelf 2"),
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


def test_retired_is_told_with_its_reason_or_that_none_was_given(club: Database, now: datetime) -> None:
    for mount, why in (("Heron", "bent axis"), ("Bracken", None)):
        retire(club, "mount", mount, why, DAY, now)
    for mount, told in (("Heron", "bent axis"), ("Bracken", "no reason given")):
        assert store_page(club, mount, DAY).history == [Event(DAY, "retired", told)]
