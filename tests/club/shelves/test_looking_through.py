"""Looking through a kit: its parts that are only labels, what is missing, and what has to be ticked by itself."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from obslog.club.register.undo import undo
from obslog.club.shelves.counting import NotAKit, saw, start
from obslog.club.shelves.finishing import finish, what_would_change
from obslog.club.shelves.looking_through import TickedAlready
from obslog.club.shelves.seen import SeenOutcome
from obslog.club.shelves.standing import standing
from obslog.club.storeroom.kits import add_kit, show_kit
from obslog.club.storeroom.loans import lend
from obslog.errors import UnknownName
from obslog.records.database import Database
from obslog.records.tables.officer import StocktakePart
from obslog.vocabulary.storeroom import Found

KIT = "Evening kit"
DAY = timedelta(days=1)


@pytest.fixture
def counting(club: Database, now: datetime) -> Database:
    add_kit(club, KIT, ["Heron", "dew cap", "cable"], now)
    start(club, now)
    return club


def parts(database: Database) -> dict[str, Found]:
    return {part.part: part.found for part in standing(database).parts}


def where(database: Database) -> dict[str, str]:
    return {part.part: part.where for part in show_kit(database, KIT).parts}


def test_what_nobody_looked_at_is_neither_there_nor_missing(counting: Database, now: datetime) -> None:
    assert parts(counting) == {"dew cap": Found.NOT_LOOKED_AT, "cable": Found.NOT_LOOKED_AT}
    plan = what_would_change(counting, now)
    assert (plan.parts_missing, plan.kits_not_looked_at) == ([], [KIT])
    finish(counting, now)
    assert where(counting)["dew cap"] == "in the store"


def test_a_kit_that_is_complete_has_its_labels_and_its_items_are_ticked_by_themselves(
    counting: Database, now: datetime
) -> None:
    seen = saw(counting, "evening KIT", now)
    assert (seen.outcome, seen.name) == (SeenOutcome.A_KIT, KIT)
    assert (seen.parts_there, seen.parts_missing, seen.to_tick) == (("dew cap", "cable"), (), ("Heron",))
    assert parts(counting) == {"dew cap": Found.SEEN, "cable": Found.SEEN}
    assert not standing(counting).those(Found.SEEN)
    saw(counting, "Heron", now)
    assert saw(counting, KIT, now).to_tick == ()


def test_what_is_missing_is_shown_first_and_is_missing_from_the_day_of_finishing(
    counting: Database, now: datetime
) -> None:
    assert saw(counting, KIT, now, without=["Dew cap"]).parts_missing == ("dew cap",)
    assert parts(counting) == {"dew cap": Found.NOT_SEEN, "cable": Found.SEEN}
    plan = what_would_change(counting, now + DAY)
    assert plan.parts_missing == ["dew cap of Evening kit"]
    assert where(counting)["dew cap"] == "in the store"  # shown, and not done yet
    assert finish(counting, now + DAY, plan).parts_missing == plan.parts_missing
    assert where(counting) == {
        "Heron": "missing since 2026-03-03",
        "dew cap": "missing since 2026-03-03",
        "cable": "in the store",
    }
    undo(counting, now)
    assert where(counting)["dew cap"] == "in the store"


def test_what_was_missing_and_is_there_again_is_found(counting: Database, now: datetime) -> None:
    saw(counting, KIT, now, without=["dew cap"])
    finish(counting, now)
    start(counting, now + DAY)
    assert parts(counting)["dew cap"] is Found.STILL_MISSING
    saw(counting, KIT, now + DAY)
    assert parts(counting)["dew cap"] is Found.BACK
    assert what_would_change(counting, now + DAY).parts_back == ["dew cap of Evening kit"]
    finish(counting, now + DAY)
    assert where(counting)["dew cap"] == "in the store"


def test_said_again_the_later_word_counts_and_a_slip_is_undone(counting: Database, now: datetime) -> None:
    saw(counting, KIT, now, without=["dew cap"])
    saw(counting, KIT, now)
    assert parts(counting)["dew cap"] is Found.SEEN
    assert undo(counting, now) == "looked through Evening kit in the stocktake"
    assert parts(counting)["dew cap"] is Found.NOT_SEEN
    undo(counting, now)
    with counting.read() as session:
        assert session.scalars(select(StocktakePart)).all() == []


def test_an_item_of_the_kit_may_be_named_as_missing_but_not_once_it_is_ticked(
    counting: Database, now: datetime
) -> None:
    seen = saw(counting, KIT, now, without=["Heron"])
    assert (seen.parts_missing, seen.to_tick) == (("Heron",), ())
    saw(counting, "Heron", now)
    with pytest.raises(TickedAlready, match="Heron of Evening kit"):
        saw(counting, KIT, now, without=["heron"])


def test_a_part_that_the_kit_has_not_and_a_kit_that_is_none_are_refused(
    counting: Database, now: datetime
) -> None:
    with pytest.raises(UnknownName, match="counterweight"):
        saw(counting, KIT, now, without=["counterweight"])
    for text in ("Heron", "a torch"):
        with pytest.raises(NotAKit, match=text):
            saw(counting, text, now, without=["dew cap"])
    assert parts(counting)["cable"] is Found.NOT_LOOKED_AT
    assert standing(counting).not_on_record == []


def test_the_parts_of_a_kit_that_is_lent_are_with_it(counting: Database, now: datetime) -> None:
    lend(counting, KIT, "Ines", now)
    assert parts(counting) == {"dew cap": Found.ON_LOAN, "cable": Found.ON_LOAN}
    assert saw(counting, KIT, now).but_on_record == "on loan"
    finish(counting, now)
    assert standing(counting).changes.parts_missing == []


def test_a_kit_without_such_parts_is_not_ticked(counting: Database, now: datetime) -> None:
    add_kit(counting, "Eyepieces", ["Wide 25"], now)
    seen = saw(counting, "Eyepieces", now)
    assert (seen.parts_there, seen.parts_missing, seen.to_tick) == ((), (), ("Wide 25",))
    assert standing(counting).not_on_record == []
