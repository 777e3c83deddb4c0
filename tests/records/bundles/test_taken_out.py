"""Where another laptop took more out of the log, because it knew more names of who left, that goes out here too."""

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import select

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.taken_out import take_out_as_told
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.told import Told, gather
from obslog.records.database import Database
from obslog.records.nameless import NEUTRAL
from obslog.records.tables.logbook import Act, Change
from obslog.records.tables.logbook_tables import Mount

AT = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
ACT, CHANGE, BATCH = (f"019d0000-0000-7000-8000-0000000000{number}0" for number in (1, 2, 3))
MOUNTS = [f"019d0000-0000-7000-8000-000000000{number:03}" for number in range(100, 103)]


def entries(sentence: str, note: str, who: str | None) -> list[Entry]:
    def image(number: int, text: str | None) -> dict[str, Any]:
        name = f"{who} {number}"
        return {
            "id": MOUNTS[number],
            "name": name,
            "name_key": name.casefold(),
            "note": text,
            "mount_type": None,
        }

    one, *many = (image(number, note) for number in range(3))
    return [
        ActEntry(id=ACT, at_utc=AT, sentence=sentence, who=who),
        ChangeEntry(
            id=CHANGE, act_id=ACT, record_kind="Mount", record_id=MOUNTS[0], before=None, after=one
        ),
        BatchEntry(
            id=BATCH, act_id=ACT, record_kind="Mount", what="added", columns=tuple(one), ids=MOUNTS[1:],
            rows=[list(row.values()) for row in many],
        ),
    ]  # fmt: skip


KNOWN = entries("add the mounts of Ines", "from Ines", "Ines")


def told_now(
    database: Database, *told: Entry
) -> tuple[list[tuple[str, str | None]], set[str | None], set[str]]:
    """What acts say, who typed them, and what notes rows and images have, once it is told once more."""
    with database.write(AT) as session:
        take_in(session, [KNOWN])
    with database.write(AT) as session:
        take_in(session, [told], take_out_as_told)
    with database.read() as session:
        acts = [(act.sentence, act.who) for act in session.scalars(select(Act).where(Act.id == ACT))]
        images = [json.loads(image) for image in session.scalars(select(Change.after)) if image]
        notes = set(session.scalars(select(Mount.note)))
        return acts, notes, {image["note"] for image in images}


def test_it_goes_out_of_sentences_authors_images_and_rows(database: Database) -> None:
    told = entries(f"add the mounts of {NEUTRAL}", f"from {NEUTRAL}", NEUTRAL)
    acts, notes, images = told_now(database, *told)
    assert acts == [(f"add the mounts of {NEUTRAL}", NEUTRAL)]
    assert notes == images == {f"from {NEUTRAL}"}
    with database.read() as session:
        assert session.scalars(select(Mount.name).order_by(Mount.name)).all() == [
            "Ines 0",
            "Ines 1",
            "Ines 2",
        ]


def test_nothing_else_is_rewritten(database: Database) -> None:
    acts, notes, images = told_now(database, *entries(f"remove what {NEUTRAL} had", f"to {NEUTRAL}", "Bram"))
    assert acts == [("add the mounts of Ines", "Ines")]
    assert notes == images == {"from Ines"}


def test_what_is_not_known_here_is_left_to_taking_in(database: Database) -> None:
    told = Told()
    gather(entries(f"add {NEUTRAL}", f"from {NEUTRAL}", NEUTRAL), told)
    with database.write(AT) as session:
        take_out_as_told(session, told)
    assert told.whole_now == set()
