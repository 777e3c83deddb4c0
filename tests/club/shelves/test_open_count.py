"""How items and parts stand while a stocktake is open, by the records of now."""

from datetime import datetime

from obslog.club.shelves.counting import open_stocktake, saw, start
from obslog.club.shelves.open_count import by_place, items_now, parts_now
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.retirement import retire
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Found


def test_items_stand_by_their_places_and_those_without_one_last(club: Database, now: datetime) -> None:
    for name, place in (("Heron", "shelf 2"), ("Wide 25", "Drawer"), ("Long tube", "shelf 2")):
        write_paper(club, name, {"place": place, "value": 60.0}, now)
    start(club, now)
    saw(club, "Heron", now)
    with club.read() as session:
        items = items_now(session, open_stocktake(session))
    assert [(item.place, item.name, item.found, item.value) for item in items][:3] == [
        ("Drawer", "Wide 25", Found.NOT_SEEN, 60.0),
        ("shelf 2", "Heron", Found.SEEN, 60.0),
        ("shelf 2", "Long tube", Found.NOT_SEEN, 60.0),
    ]
    assert {item.place for item in items[3:]} == {None}
    assert by_place(list(reversed(items)))[0].name == "Wide 25"


def test_only_parts_that_are_labels_of_kits_in_use_are_counted_by_kit(club: Database, now: datetime) -> None:
    add_kit(club, "Old kit", ["cap"], now)
    add_kit(club, "Evening kit", ["Heron", "dew cap", "cable"], now)
    remove_part(club, "Evening kit", "cable", None, now)
    retire(club, "kit", "Old kit", "worn", now.date(), now)
    start(club, now)
    with club.read() as session:
        parts = parts_now(session, open_stocktake(session))
    assert [(part.words, part.found) for part in parts] == [("dew cap of Evening kit", Found.NOT_LOOKED_AT)]
