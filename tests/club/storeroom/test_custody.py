"""Where each item and kit is: one answer, which the lists, the kits, the review and the report all give."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.annual.inventory_year import holdings
from obslog.club.annual.report_records import Period
from obslog.club.annual.storeroom_year import read_storeroom
from obslog.club.register.named_records import add
from obslog.club.register.things import lendable
from obslog.club.review.review import review
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.custody import (
    IsOut,
    StoreStatus,
    custody_of,
    holders,
    name_told,
    open_loan,
    out_until,
    refuse_if_out,
    state_of,
    who_has_it,
)
from obslog.club.storeroom.kits import add_kit, list_kits, show_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import go_missing, part_goes_missing, part_is_found
from obslog.club.storeroom.retirement import retire, write_off
from obslog.club.storeroom.store_list import store_list
from obslog.records.database import Database
from obslog.records.tables.lending import Kit
from obslog.records.tables.logbook_tables import Equipment

INES = "Ines"
STATES = {
    "Here": StoreStatus.IN,
    "Alone": StoreStatus.OUT,
    "In the kit": StoreStatus.OUT,
    "Gone": StoreStatus.MISSING,
    "Old": StoreStatus.RETIRED,
    "Broken": StoreStatus.WRITTEN_OFF,
    "Evening kit": StoreStatus.OUT,
}


@pytest.fixture
def stocked(club: Database, now: datetime) -> Database:
    """An item in each state, and a kit that is out without a cap that is missing."""
    for name in STATES:
        if name != "Evening kit":
            add(club, "eyepiece", name, {}, now)
    add_kit(club, "Evening kit", ["In the kit", "Gone", "cap", "case"], now)
    go_missing(club, "Gone", now)
    part_goes_missing(club, "Evening kit", "cap", now)
    lend(club, "Evening kit", INES, now)
    lend(club, "Alone", INES, now)
    retire(club, "eyepiece", "Old", None, now.date(), now)
    write_off(club, "Broken", "cracked", now)
    return club


def test_a_label_is_with_the_borrower_only_where_it_went_with_its_kit(
    stocked: Database, now: datetime
) -> None:
    """The cap stayed behind and turns up in the store; the kit told that it is on loan."""
    part_is_found(stocked, "Evening kit", "cap", now)
    assert {part.part: part.where for part in show_kit(stocked, "Evening kit").parts} == {
        "In the kit": "on loan",
        "Gone": "missing since 2026-03-02",
        "cap": "in the store",
        "case": "on loan",
    }
    take_back(stocked, "Evening kit", now)
    assert show_kit(stocked, "Evening kit").parts[-1].where == "in the store"


def test_everything_is_in_one_state_and_nobody_is_named_unless_asked(
    stocked: Database, now: datetime
) -> None:
    with stocked.read() as session:
        names = {item.id: item.name for item in session.query(Equipment)}
        names |= {kit.id: kit.name for kit in session.query(Kit)}
        state = {names[key]: now for key, now in state_of(session).items() if names[key] in STATES}
        named = {names[key]: now for key, now in state_of(session, with_names=True).items()}
    assert {name: custody.status for name, custody in state.items()} == STATES
    assert {custody.holder.member for custody in state.values() if custody.holder} == {None}
    assert {name for name, custody in named.items() if custody.holder and custody.holder.member == INES} == {
        "Alone",
        "In the kit",
        "Evening kit",
    }
    assert (state["Gone"].since, state["Old"].since, state["Here"].since) == (now.date(), now.date(), None)


def test_the_list_the_kits_the_review_and_the_report_say_the_same(stocked: Database, now: datetime) -> None:
    listed = {line.name: line.status for line in store_list(stocked, with_retired=True)}
    assert {name: listed[name] for name in STATES} == STATES
    (kit,) = list_kits(stocked)
    assert {part.part: part.where for part in kit.parts} == {
        "In the kit": "on loan",
        "Gone": f"missing since {now.date()}",
        "cap": f"missing since {now.date()}",
        "case": "on loan",
    }
    assert not kit.complete
    judged = {item.name: item.status for item in review(stocked, now.date()).items}
    out, retired = (StoreStatus.OUT, StoreStatus.MISSING), (StoreStatus.RETIRED, StoreStatus.WRITTEN_OFF)
    for name, status in STATES.items():
        expected = Status.OUT if status in out else Status.RETIRED if status in retired else Status.READY
        assert judged[name] is expected, name
    period = Period(now.date() - timedelta(days=1), now.date())
    with stocked.read() as session:
        held = {one.where: one.things for one in holdings(read_storeroom(session, period), with_names=False)}
    assert (held["members"], held["missing"]) == (2, 1)


def test_a_name_is_told_to_the_officer_or_to_whoever_used_it() -> None:
    assert name_told(INES, with_names=True) == INES
    assert name_told(INES, with_names=False) is None
    assert name_told(INES, with_names=False, but=" INES ") == INES
    assert name_told(INES, with_names=False, but="Bram Ostler") is None
    assert name_told(None, with_names=True, but=INES) is None
    assert (who_has_it(INES), who_has_it(None)) == ("with Ines", "on loan")
    day = date(2026, 3, 30)
    assert out_until(INES, day) == "out with Ines, due 2026-03-30"
    assert out_until(None, day) == "on loan, due 2026-03-30"


def holding(database: Database) -> dict[str, str | None]:
    """Who holds what, by name."""
    names = ["Evening kit", "Heron", "Wide 25", "Bracken"]
    with database.read() as session:
        found = holders(session, with_names=True)
        return {name: found[key].member for name in names if (key := lendable(session, name).id) in found}


def test_a_kit_is_held_with_all_that_went_with_it(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron", "Wide 25", "dust cap"], now)
    assert holding(club) == {}
    lend(club, "Wide 25", "Bram Ostler", now)
    lend(club, "Evening kit", INES, now)
    assert holding(club) == {"Evening kit": INES, "Heron": INES, "Wide 25": "Bram Ostler"}
    take_back(club, "Evening kit", now)
    assert holding(club) == {"Wide 25": "Bram Ostler"}


def test_only_what_is_out_is_refused_with_the_day_and_no_name(stocked: Database) -> None:
    with stocked.read() as session:
        for name in ("Alone", "In the kit", "Evening kit"):  # 28 days from 2 March
            with pytest.raises(IsOut, match=f"{name} is on loan, due back on 2026-03-30") as refused:
                refuse_if_out(session, lendable(session, name), date(2026, 3, 30))
            with pytest.raises(IsOut, match=f"{name} is on loan, and was due back on 2026-03-30"):
                refuse_if_out(session, lendable(session, name), date(2026, 3, 31))
            goes_back = "Alone" if name == "Alone" else '"Evening kit"'
            assert refused.value.hint.endswith(
                f"back first: obslog loan back {goes_back}"
            )  # nobody waits to retire it
        for name in ("Here", "Gone", "Old", "Broken"):
            refuse_if_out(session, lendable(session, name), date(2026, 3, 30))


def test_a_part_of_a_kit_that_is_out_was_not_lent_as_such(stocked: Database, now: datetime) -> None:
    with stocked.read() as session:
        assert open_loan(session, lendable(session, "Evening kit")) is not None
        assert open_loan(session, lendable(session, "In the kit")) is None
    take_back(stocked, "Evening kit", now)
    with stocked.read() as session:
        assert open_loan(session, lendable(session, "Evening kit")) is None


def test_of_one_item_it_is_what_the_list_of_all_says(stocked: Database) -> None:
    with stocked.read() as session:
        state = state_of(session)
        items = session.scalars(select(Equipment)).all()
        assert {item.name: custody_of(session, item) for item in items} == {
            item.name: state[item.id] for item in items
        }
        assert {state[item.id].status for item in items} == set(StoreStatus)
