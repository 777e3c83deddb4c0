"""What is to be settled, in sentences that say what to do."""

from datetime import datetime, timedelta

import pytest

from obslog.club.night.nights import start_night
from obslog.club.register.named_records import add
from obslog.club.register.undo import undo
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.kits import add_kit, remove_part, show_kit
from obslog.club.storeroom.loans import lend, take_back
from obslog.club.storeroom.missing import NotMissing, be_found, go_missing
from obslog.club.storeroom.waiting_list import reserve, waiting_list
from obslog.club.together.contradictions import list_conflicts
from obslog.club.together.deciding import drop
from obslog.club.together.sameness import make_same
from obslog.club.together.writing import WhatToTell
from obslog.records.bundles.choosing import all_acts, mark_told
from obslog.records.database import Database
from tests.club.together.conftest import Give, rows


def test_two_of_one_name_and_an_item_in_two_kits(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    for database, kit, at in ((here, "Kit one", now), (there, "Kit two", now + timedelta(minutes=1))):
        add(database, "mount", "Otter", {}, at)
        add_kit(database, kit, ["Lead battery"], at)
    told = {one.kind: one for one in give(there, here).to_settle}
    mount = told["mount"]
    assert mount.sentence == f"Two were called Otter; the second stands as Otter ({mount.reference})."
    assert mount.settle == (
        f'If they are one: obslog same Otter "Otter ({mount.reference})". '
        f'If two: obslog mount edit "Otter ({mount.reference})" --rename NAME'
    )
    part = told["kit part"]
    assert part.sentence == "Lead battery was put into two kits: it is in Kit one, and Kit two waits for it."
    assert part.settle == (
        'If the kits are one: obslog same "Kit one" "Kit two". '
        'If two, to give it to Kit two: obslog kit remove "Kit one" "Lead battery"; '
        f"to leave it in Kit one: obslog conflicts drop {part.reference}"
    )
    remove_part(here, "Kit one", "Lead battery", None, later)
    assert [part.part for part in show_kit(here, "Kit two").parts] == ["Lead battery"]
    assert [one.kind for one in list_conflicts(here).to_settle] == ["mount"]


def test_a_tag_that_two_items_were_given(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "item", "Red lamp", {}, now)
    give(here, there)
    write_paper(here, "Red lamp", {"tag": "T 1"}, now)
    write_paper(there, "Lead battery", {"tag": "T 1"}, now)
    (told,) = give(there, here).to_settle
    assert (
        told.sentence
        == "Lead battery was given the tag T 1, which Red lamp has; Lead battery stands without."
    )
    assert told.settle == 'Give it another: obslog store note "Lead battery" --tag TAG'
    write_paper(here, "Lead battery", {"tag": "T 2"}, later)
    assert list_conflicts(here).to_settle == []
    give(here, there)
    assert rows(there) == rows(here)


def test_a_second_loan_names_what_to_take_back(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    lend(here, "Lead battery", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now)
    (told,) = give(there, here).to_settle
    assert told.sentence == (
        "The loan of Lead battery to Bram Ostler since 2026-03-02 cannot stand beside the loan of Lead battery to Ines "
        "since 2026-03-02, and waits."
    )
    assert told.settle == (
        'End the one that stands: obslog loan back "Lead battery"; '
        f"or drop the other: obslog conflicts drop {told.reference}"
    )


def test_what_two_say_to_be_missing_is_found_once(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    go_missing(here, "Lead battery", now)
    go_missing(there, "Lead battery", now + timedelta(days=1))
    (told,) = give(there, here).to_settle
    assert (
        told.sentence == "Lead battery was said to be missing twice, since 2026-03-02 and since 2026-03-03."
    )
    assert told.settle == (
        'When it is found both end: obslog store found "Lead battery". '
        f"To keep the first alone: obslog conflicts drop {told.reference}"
    )
    be_found(here, "Lead battery", later)
    give(here, there)
    for database in (here, there):
        assert list_conflicts(database).to_settle == []
        with pytest.raises(NotMissing):
            be_found(database, "Lead battery", later)
    assert rows(there) == rows(here)


def test_who_waits_twice_is_served_once(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    for database in (here, there):
        reserve(database, "Lead battery", "Ines", now)
    (told,) = give(there, here).to_settle
    assert told.sentence == "Ines waits for Lead battery twice; the first place stands."
    assert told.settle == f"To keep it alone: obslog conflicts drop {told.reference}"
    lend(here, "Lead battery", "Ines", later)
    assert waiting_list(here) == []
    give(here, there)
    assert (waiting_list(there), list_conflicts(there).to_settle) == ([], [])
    assert rows(there) == rows(here)


def test_of_many_that_wait_for_the_same_one_is_told(
    here: Database, there: Database, give: Give, now: datetime
) -> None:
    write_nothing = WhatToTell(untold=True)
    give(there, here)
    add(there, "site", "Hut", {"lat_deg": 51.0, "lon_deg": 1.0, "zone": "Europe/London"}, now)
    with there.write(now) as session:
        mark_told(session, all_acts(session))  # as if the bundle with the site had been lost
    for days in range(3):
        start_night(there, "Hut", now + timedelta(days=days))
    (one,) = give(there, here, write_nothing).to_settle
    missing = one.sentence.split("a record ")[1][:6]
    assert one.sentence == (
        f"Night {one.reference} (and 2 more) belongs to a record {missing} that is not here: it was removed, or did "
        "not come along."
    )
    assert give(there, here).to_settle == []


def test_an_item_out_by_itself_and_with_its_kit(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add_kit(here, "Night kit", ["Lead battery"], now)
    give(here, there)
    lend(here, "Night kit", "Ines", now)
    lend(there, "Lead battery", "Bram Ostler", now)
    (told,) = give(there, here).to_settle
    assert told.sentence == (
        "Lead battery is out twice: it counts to the loan of Night kit to Ines since 2026-03-02, and waits in the "
        "loan of Lead battery to Bram Ostler since 2026-03-02."
    )
    assert told.settle == (
        'End the one to which it counts: obslog loan back "Night kit"; '
        f"or drop the other: obslog conflicts drop {told.reference}"
    )
    assert drop(here, told.reference, later).sentence == (
        "Dropped: the part Lead battery of the loan of Lead battery to Bram Ostler since 2026-03-02. Its history stays."
    )
    undo(here, later)
    take_back(here, "Night kit", later)
    assert list_conflicts(here).to_settle == []


def test_what_is_said_of_an_item_under_the_name_that_it_had_before_it_was_joined_names_what_stands(
    here: Database, there: Database, give: Give, now: datetime, later: datetime
) -> None:
    add(here, "item", "Battery of lead", {"sort": "battery"}, now)
    give(here, there)
    make_same(here, "Lead battery", "Battery of lead", now)
    go_missing(here, "Lead battery", now)
    reserve(here, "Lead battery", "Ines", now)
    add_kit(here, "Kit one", ["Lead battery"], now)
    go_missing(there, "Battery of lead", now)
    reserve(there, "Battery of lead", "Ines", now)
    add_kit(there, "Kit two", ["Battery of lead"], now)
    told = [one.sentence for one in give(there, here).to_settle]
    assert told == [
        "Lead battery was said to be missing twice, since 2026-03-02 and since 2026-03-02.",
        "Lead battery was put into two kits: it is in Kit one, and Kit two waits for it.",
        "Ines waits for Lead battery twice; the first place stands.",
    ]


@pytest.mark.parametrize(("what", "who"), [("Night kit", "Inez"), ("Night kitt", "Ines")])
def test_who_waits_under_a_name_that_was_joined_to_another_is_served_once(
    here: Database, there: Database, give: Give, now: datetime, later: datetime, what: str, who: str
) -> None:
    add_kit(here, "Night kit", ["Dust cap"], now)
    add_kit(here, "Night kitt", ["Lens cap"], now)
    add(here, "member", "Inez", {}, now)
    give(here, there)
    make_same(here, "Night kit", "Night kitt", now)
    make_same(here, "Ines", "Inez", now)
    reserve(here, "Night kit", "Ines", now)
    reserve(there, what, who, now)
    assert len(give(there, here).to_settle) == 1
    lend(here, "Night kit", "Ines", later)
    give(here, there)
    for database in (here, there):
        assert (waiting_list(database), list_conflicts(database).to_settle) == ([], [])
    assert rows(there) == rows(here)
