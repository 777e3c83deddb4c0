"""The history of a record tells each act that touched it, also where it came or went with many others."""

from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import select, update

from obslog.club.register.named_records import add, edit
from obslog.club.register.undo import redo, undo
from obslog.records.database import Database
from obslog.records.history.images import Image
from obslog.records.history.noted_rows import insert_noted
from obslog.records.history.reading import entries_of, first_added, said_before
from obslog.records.tables.keys import new_key
from obslog.records.tables.logbook_tables import Act, Member

HOUR = timedelta(hours=1)


def people(count: int) -> list[dict[str, Any]]:
    return [{"id": new_key(), "name": f"M {n}", "name_key": f"m {n}", "note": None} for n in range(count)]


def told(database: Database, key: Any) -> list[tuple[str, str | None, str | None]]:
    """Each act with the note before and after."""
    with database.read() as session:
        return [
            (entry.act.sentence, _note(entry.before), _note(entry.after))
            for entry in entries_of(session, "Member", key)
        ]


def _note(image: Image | None) -> str | None:
    return None if image is None else image["note"]


def test_a_record_that_came_with_many_has_a_life_of_its_own(database: Database, now: datetime) -> None:
    many = people(30)
    with database.write(now, "import members") as session:
        insert_noted(session, Member, [{**person, "note": "from the sheet"} for person in many])
    key = many[7]["id"]
    assert told(database, key) == [("import members", None, "from the sheet")]  # as it stands
    edit(database, "member", "M 7", {"note": "tall"}, now)
    assert told(database, key) == [
        ("import members", None, "from the sheet"),  # as the next act found it
        ("edit member M 7", "from the sheet", "tall"),
    ]
    undo(database, now)
    undo(database, now)
    assert told(database, key)[2:] == [
        ("undo: edit member M 7", "tall", "from the sheet"),
        ("undo: import members", "from the sheet", None),  # from what was kept of it
    ]
    redo(database, now)
    assert told(database, key)[4:] == [("redo: import members", None, "from the sheet")]


def test_another_record_of_the_same_entry_is_told_apart(database: Database, now: datetime) -> None:
    many = people(3)
    with database.write(now, "import members") as session:
        insert_noted(session, Member, many)
    assert told(database, new_key()) == []
    assert len(told(database, many[0]["id"])) == 1


def test_when_a_record_was_added_is_the_first_time(database: Database, now: datetime) -> None:
    many = people(2)
    with database.write(now, "import members") as session:
        insert_noted(session, Member, many)
    undo(database, now + HOUR)
    redo(database, now + 2 * HOUR)
    add(database, "member", "Ines", {}, now + 3 * HOUR)
    add(database, "site", "Mill Field", {}, now + 4 * HOUR)
    with database.read() as session:
        found = first_added(session, ["Member"])
    assert sorted(found.values()) == [now, now, now + 3 * HOUR]
    assert {person["id"] for person in many} <= found.keys()


def test_what_a_record_was_up_to_an_act_is_known_whatever_its_row_says(
    database: Database, now: datetime
) -> None:
    add(database, "member", "Ines", {"note": "tall"}, now)
    edit(database, "member", "Ines", {"note": "has a key"}, now)
    with database.write(now) as session:
        key = session.scalars(select(Member.id)).one()
        acts = session.scalars(select(Act.id).order_by(Act.id)).all()
        session.execute(update(Member).values(note="past the history"))
        notes = [said_before(session, "Member", key, act).get("note") for act in (*acts, new_key())]
    assert notes == [None, "tall", "has a key"]
