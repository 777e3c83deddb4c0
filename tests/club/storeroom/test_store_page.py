"""The page of one kit or item: whose it is, and what of an item a kit has too."""

from datetime import date, datetime

from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit
from obslog.club.storeroom.store_page import store_page
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database


def test_of_a_kit_and_an_item_of_one_name_it_is_the_kit_s_unless_only_things_are_asked_for(
    club: Database, now: datetime
) -> None:
    add_kit(club, "Heron", ["Wide 25"], now)
    assert store_page(club, "Heron", now.date()).papers.kind == "kit"
    assert store_page(club, "Heron", now.date(), things_only=True).papers.kind == "mount"


def test_a_kit_s_page_tells_what_is_due_of_its_items(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Heron"], now)
    add_service(
        club, "mount", "Heron", "greased", now, on=date(2026, 1, 7), bill=Bill(next_on=date(2026, 2, 7))
    )
    due = [(one.name, one.due_on) for one in store_page(club, "Evening kit", now.date()).services_due]
    assert ("Heron", date(2026, 2, 7)) in due


def test_a_kit_has_no_value_of_its_own(club: Database, now: datetime) -> None:
    write_paper(club, "Heron", {"value": 800.0, "valued_on": date(2025, 5, 1)}, now)
    add_kit(club, "Evening kit", ["Heron"], now)
    assert store_page(club, "Evening kit", now.date()).valuation is None
    valuation = store_page(club, "Heron", now.date()).valuation
    assert valuation is not None
    assert valuation.valued_on == date(2025, 5, 1)
