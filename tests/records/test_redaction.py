"""Words are found as whole words and give way; the record of acts keeps everything else."""

import json
from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import insert, select, update

from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.records.history.noted_rows import insert_noted
from obslog.records.name_lookup import by_name
from obslog.records.opening import Database
from obslog.records.redaction import (
    Words,
    changes_of_kind,
    clear_in_images,
    drop_changes,
    earlier_values,
    empty_in_batches,
    redact_acts,
    redact_authors,
    replace_texts,
    texts_with,
    with_texts,
)
from obslog.records.tables.kept import parked_records
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Act, Change, Member, Mount

NEUTRAL = "Former member 1"


@pytest.mark.parametrize(
    ("text", "after"),
    [
        ("Ines Rey said so", f"{NEUTRAL} said so"),
        ("said so: INES   REY.", f"said so: {NEUTRAL}."),
        ("ines\nrey's chair", f"{NEUTRAL}'s chair"),
        ("(Ines Rey)", f"({NEUTRAL})"),
        ("Inés Rey", "Inés Rey"),  # another name
        ("Ines Reyes", "Ines Reyes"),
        ("Marines Rey", "Marines Rey"),
        ("Ines and Rey", "Ines and Rey"),
        ("", ""),
    ],
)
def test_a_name_gives_way_as_whole_words_in_any_case_and_spacing(text: str, after: str) -> None:
    words = Words({"Ines Rey": NEUTRAL})
    assert words.replaced(text) == after
    assert words.stand_in(text) is (text != after)


def test_a_name_with_accents_is_found_also_as_it_is_typed_without_them() -> None:
    words = Words({"Zoë Größ": "X"})
    assert [words.replaced(text) for text in ("Zoë Größ", "zoe gross", "ZOË GRÖSS")] == ["X", "X", "X"]


def test_the_longer_word_goes_first_and_what_replaces_it_is_taken_as_it_is() -> None:
    words = Words({"Rey": "B", "Ines Rey": r"A\1\g<0>"})
    assert words.replaced("Ines Rey met Rey") == r"A\1\g<0> met B"
    assert Words({"c++ (old)": "it"}).replaced("the C++ (old) one") == "the it one"
    assert Words({}).stand_in("anything") is False


def texts(database: Database, words: Words) -> list[tuple[str, str, str]]:
    with database.read() as session:
        return [(found.table, found.column, found.text) for found in texts_with(session, words)]


def test_texts_are_found_where_people_wrote_them_and_replaced_there(club: Database, now: datetime) -> None:
    edit(club, "mount", "Heron", {"note": "Ines says it sticks"}, now)
    edit(club, "site", "Mill Field", {"note": "the key is with INES"}, now)
    edit(club, "tube", "Long tube", {"note": "pines and lines"}, now)
    words = Words({"Ines": NEUTRAL})
    found = texts(club, words)
    assert sorted(text for _, column, text in found if column == "note") == [
        "Ines says it sticks",
        "the key is with INES",
    ]
    assert [text for _, column, text in found if column != "note"] == [
        "Ines"
    ]  # her own name, and no key of it
    with club.write(now) as session:
        replace_texts(session, list(texts_with(session, words)), words)
    assert texts(club, words) == []
    with club.read() as session:
        assert by_name(session, Mount, "Heron").note == f"{NEUTRAL} says it sticks"


def acts(database: Database) -> list[str]:
    with database.read() as session:
        return list(session.scalars(select(Act.sentence).order_by(Act.id)))


def test_the_record_of_acts_loses_the_words_in_sentences_and_images_alone(
    database: Database, now: datetime
) -> None:
    add(database, "member", "Bram", {"note": "met Ines"}, now)
    add(database, "member", "Ines Ostler", {}, now)
    add(database, "mount", "Heron", {"note": "lent by ines"}, now)
    add(database, "mount", "Bracken", {"note": "fines"}, now)
    edit(database, "member", "Bram", {"note": "met Ines twice"}, now)
    with database.read() as session:
        bracken = by_name(session, Mount, "Bracken").id
        untouched = session.scalar(select(Change.after).where(Change.record_id == bracken))
    with database.write(now) as session:
        # One sentence, and the images of the member, added and edited, and of Heron.
        assert redact_acts(session, Words({"Ines": NEUTRAL})) == 4
    assert acts(database)[1:4] == [f"add member {NEUTRAL} Ostler", "add mount Heron", "add mount Bracken"]
    with database.read() as session:
        images = list(session.scalars(select(Change.after).order_by(Change.id)))
        notes = [json.loads(image).get("note") for image in images if image]
        assert notes == [f"met {NEUTRAL}", None, f"lent by {NEUTRAL}", "fines", f"met {NEUTRAL} twice"]
        assert untouched in images
    with database.write(now) as session:
        assert redact_acts(session, Words({"Ines": NEUTRAL})) == 0


def test_what_is_or_was_called_so_keeps_its_name_in_the_record_of_acts(
    database: Database, now: datetime
) -> None:
    """Else the log would say another name than the row, on a laptop that has not heard of the renaming."""
    add(database, "mount", "Ines's mount", {"note": "from Ines"}, now)
    add(database, "mount", "Mount of Ines", {}, now)
    edit(database, "mount", "Mount of Ines", {}, now, rename="Bracken")
    add(database, "member", "Ines Brandt", {}, now)
    with database.write(now) as session:
        redact_acts(session, Words({"Ines": NEUTRAL}))
    with database.read() as session:
        images = [
            json.loads(image) for image in session.scalars(select(Change.after).order_by(Change.id)) if image
        ]
    assert [(image["name"], image["note"]) for image in images] == [
        ("Ines's mount", f"from {NEUTRAL}"),
        ("Mount of Ines", None),
        ("Bracken", None),
        ("Ines Brandt", None),
    ]


def test_all_that_a_column_ever_held_is_known_from_the_record_of_acts(
    database: Database, now: datetime
) -> None:
    add(database, "mount", "Heron", {"note": "new"}, now)
    edit(database, "mount", "Heron", {"note": "sticks"}, now)
    edit(database, "mount", "Heron", {}, now, rename="Egret")
    with database.read() as session:
        key = by_name(session, Mount, "Egret").id
        assert earlier_values(session, key, "name") == {"Heron", "Egret"}
        assert earlier_values(session, key, "note") == {"new", "sticks"}
        assert earlier_values(session, key, "weight_kg") == set()


def test_columns_are_emptied_in_every_image_of_one_record(database: Database, now: datetime) -> None:
    for name in ("Heron", "Bracken"):
        add(database, "mount", name, {"note": f"{name} is new"}, now)
        edit(database, "mount", name, {"note": f"{name} sticks"}, now)
    with database.write(now) as session:
        clear_in_images(session, by_name(session, Mount, "Heron").id, ["note", "no such column"])
    with database.read() as session:
        heron, bracken = (by_name(session, Mount, name).id for name in ("Heron", "Bracken"))
        assert earlier_values(session, heron, "note") == set()
        assert earlier_values(session, heron, "name") == {"Heron"}
        assert earlier_values(session, bracken, "note") == {"Bracken is new", "Bracken sticks"}
        added = session.scalars(select(Change).where(Change.record_id == heron).order_by(Change.id)).first()
        assert added is not None
        assert added.after is not None
        assert added.before is None
        assert "no such column" not in json.loads(added.after)


def test_changes_are_dropped_with_the_acts_of_which_nothing_is_left(
    database: Database, now: datetime
) -> None:
    add(database, "member", "Ines", {"note": "tall"}, now)
    add(database, "member", "Bram Ostler", {"note": "tall"}, now)
    edit(database, "member", "Bram Ostler", {"note": "left-handed"}, now)
    with database.write(now) as session:
        kind = session.scalars(select(Change.record_kind)).first()
        assert kind is not None
        found = changes_of_kind(session, kind, "note", "tall")
        assert len(found) == 3  # two added with it, and one changed from it
        assert changes_of_kind(session, kind, "note", "short") == []
        drop_changes(session, [change for change, _ in found[:2]])
    assert [sentence for sentence in acts(database) if "add" in sentence] == []
    assert len([sentence for sentence in acts(database) if "Bram Ostler" in sentence]) == 1


def test_packed_images_who_typed_and_parked_records_lose_the_words_too(
    database: Database, now: datetime
) -> None:
    guests: list[dict[str, Any]] = [
        {"id": new_key(), "name": f"Guest {n}", "name_key": f"guest {n}", "note": "of Ines"}
        for n in range(30)
    ]
    with database.write(now, "import members") as session:
        insert_noted(session, Member, guests)
    undo(database, now)  # from here on their images are kept, packed
    with database.write(now) as session:
        session.execute(update(Act).values(who="Ines"))
        parked: dict[str, Any] = {"record_kind": "Member", "record_id": new_key(), "why": "name"}
        session.execute(insert(parked_records).values(**parked, image='{"id": "1", "note": "of Ines"}'))
    with database.read() as session:
        assert earlier_values(session, guests[3]["id"], "note") == {"of Ines"}
        assert len(changes_of_kind(session, "Member", "note", "of Ines")) == 30
    with database.write(now) as session:
        clear_in_images(session, guests[4]["id"], ["note"])
        empty_in_batches(session, [guests[5]["id"]])
        # Two acts, the packed images, and the parked record.
        assert redact_acts(session, Words({"Ines": NEUTRAL})) == 4
        assert redact_acts(session, Words({"Ines": NEUTRAL})) == 0
    with database.read() as session:
        assert set(session.scalars(select(Act.who))) == {NEUTRAL}
        assert session.scalar(select(parked_records.c.image)) == f'{{"id": "1", "note": "of {NEUTRAL}"}}'
        notes = [earlier_values(session, guest["id"], "note") for guest in guests]
        assert notes[3] == {f"of {NEUTRAL}"}
        assert notes[4] == notes[5] == set()
        assert earlier_values(session, guests[4]["id"], "name") == {"Guest 4"}
        assert earlier_values(session, guests[5]["id"], "name") == set()


def test_who_typed_is_known_by_the_beginning_of_the_name_too(database: Database, now: datetime) -> None:
    for who in ("in", "Bram", None):
        with database.write(now) as session:
            session.add(Act(at_utc=now, sentence="sync", who=who))
    with database.write(now) as session:
        assert redact_authors(session, lambda who: who == "in", NEUTRAL) == 1
    with database.read() as session:
        assert sorted(str(who) for who in session.scalars(select(Act.who))) == ["Bram", NEUTRAL, "None"]


def test_texts_of_an_image_are_replaced_and_what_something_is_called_stays() -> None:
    image = {"id": "a", "kind": "item", "name": "ines", "note": "of ines", "retired_why": None}
    assert with_texts("Item", image, str.upper) == image | {"note": "OF INES"}


@pytest.mark.parametrize(
    ("kind", "image"),
    [
        ("Mount", {"id": "a", "mount_type": "german", "controller": "shift"}),
        ("Snag", {"id": "a", "step": "pack"}),
        ("Site", {"id": "a", "zone": "Europe/Paris", "horizon": "n 10"}),
        ("StocktakeLine", {"id": "a", "status": "retired", "found": "found"}),
        ("LoanPart", {"id": "a", "condition_in": "fine", "word_in": "sound"}),
        ("ConditionWord", {"id": "a", "word": "sound", "means": "fine"}),
        ("ClubRule", {"id": "a", "name": "currency", "word": "EUR"}),
        ("Contact", {"id": "a", "address": "3 Otter Row"}),
    ],
)
def test_words_that_the_program_reads_name_nobody(kind: str, image: dict[str, Any]) -> None:
    """A member may be called Paris, Pack or German: their leaving makes no record unreadable."""
    assert with_texts(kind, image, str.swapcase) == image


def test_of_a_kind_of_record_that_is_not_known_every_text_may_name_somebody() -> None:
    assert with_texts("Balloon", {"id": "a", "motto": "of ines"}, str.upper)["motto"] == "OF INES"
