"""Which items are in which kit now."""

from datetime import datetime

from obslog.club.kit_contents import items_of_kits
from obslog.club.register.things import lendable
from obslog.club.storeroom.kits import add_kit, add_part, remove_part
from obslog.records.database import Database

NAMES = ("Evening kit", "Small kit", "Heron", "Wide 25", "Bracken")


def by_name(database: Database) -> dict[str, list[str]]:
    """The same under the kits' and items' names."""
    with database.read() as session:
        known = {what.id: what.name for what in (lendable(session, name) for name in NAMES)}
        return {known[kit]: [known[item] for item in items] for kit, items in items_of_kits(session).items()}


def test_a_kit_holds_its_items_in_the_order_in_which_they_joined_and_no_labels(
    club: Database, now: datetime
) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "dust cap", "Heron"], now)
    add_kit(club, "Small kit", ["Bracken"], now)
    assert by_name(club) == {"Evening kit": ["Wide 25", "Heron"], "Small kit": ["Bracken"]}


def test_what_has_left_a_kit_is_in_it_no_longer(club: Database, now: datetime) -> None:
    add_kit(club, "Evening kit", ["Wide 25", "Heron"], now)
    add_kit(club, "Small kit", ["strap"], now)
    remove_part(club, "Evening kit", "Wide 25", None, now)
    assert by_name(club) == {"Evening kit": ["Heron"]}
    add_part(club, "Small kit", "Wide 25", now)
    assert by_name(club) == {"Evening kit": ["Heron"], "Small kit": ["Wide 25"]}
