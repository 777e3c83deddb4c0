"""The record of acts loses words and whole changes, and keeps everything else."""

import json
from datetime import datetime
from typing import Any

from sqlalchemy import insert, select, update

from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import undo
from obslog.records.database import Database
from obslog.records.history.noted_rows import insert_noted
from obslog.records.name_lookup import by_name
from obslog.records.redaction.log_rewriting import (
    clear_in_images,
    drop_changes,
    empty_in_batches,
    redact_acts,
    redact_authors,
)
from obslog.records.redaction.log_search import changes_of_kind, earlier_values
from obslog.records.redaction.words import Words
from obslog.records.tables.kept import parked_records
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Act, Change, Member, Mount

NEUTRAL = "Former member 1"


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
