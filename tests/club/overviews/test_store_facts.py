"""What the page of the store-room shows: the acts' own answers, and places that add up."""

from datetime import datetime

from obslog.club.overviews.store_facts import DAYS_AHEAD, store_facts
from obslog.club.review.review import review
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.loan_pages import list_loans
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.retirement import retire
from obslog.club.storeroom.store_list import store_list
from obslog.club.storeroom.waiting_list import reserve
from obslog.club.upkeep.services_due import list_due
from obslog.records.database import Database
from obslog.records.name_lookup import by_name
from obslog.records.tables.logbook_tables import Mount


def test_it_is_what_the_acts_say(club: Database, now: datetime) -> None:
    lend(club, "Heron", "Ines", now)
    reserve(club, "Heron", "Bram Ostler", now)
    facts, today = store_facts(club, now, with_names=True), now.date()
    assert facts.loans == list_loans(club, today)
    assert facts.review == review(club, today, with_names=True)
    assert facts.services_due == list_due(club, today, DAYS_AHEAD)
    assert facts.store.lines == store_list(club, with_names=True)
    assert [(line.what, line.member) for line in facts.waiting] == [("Heron", "Bram Ostler")]


def test_without_names_nobody_is_in_it(club: Database, now: datetime) -> None:
    lend(club, "Heron", "Ines", now)
    reserve(club, "Heron", "Bram Ostler", now)
    facts = repr(store_facts(club, now, with_names=False))
    assert "Ines" not in facts
    assert "Bram Ostler" not in facts


def test_places_add_up_and_what_is_not_known_is_counted_apart(club: Database, now: datetime) -> None:
    """Heron is worth 1200 on the north shelf, the long tube is there too, a battery of 40 is on loan."""
    write_paper(club, "Heron", {"value": 1200.0, "place": "north shelf"}, now)
    write_paper(club, "Long tube", {"place": "north shelf"}, now)
    write_paper(club, "Lead battery", {"value": 40.0, "place": "trunk"}, now)
    lend(club, "Lead battery", "Ines", now)
    facts = store_facts(club, now, with_names=False)
    told = {one.place: (one.items, one.worth.value, one.worth.unknown) for one in facts.places}
    assert told == {
        "north shelf": (2, 1200.0, 1),
        "no place on record": (4, 0, 4),
        "on loan": (1, 40.0, 0),
    }
    assert (facts.store.worth.value, facts.store.worth.unknown) == (1240.0, 5)


def test_what_is_retired_is_shown_while_it_is_lent(club: Database, now: datetime) -> None:
    lend(club, "Heron", "Ines", now)
    with club.write(now, "retire it as an undo may") as session:
        by_name(session, Mount, "Heron").retired_on = now.date()
    assert "Heron" in [line.name for line in store_facts(club, now, with_names=False).store.lines]
    take_back(club, "Heron", now)
    retire(club, "tube", "Long tube", None, now.date(), now)
    assert [rows.words for rows in store_facts(club, now, with_names=False).basis.left_out] == [
        "2 kits or items"
    ]
    assert "Heron" not in [line.name for line in store_facts(club, now, with_names=False).store.lines]
