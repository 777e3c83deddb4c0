"""How a member who was made nameless was reached goes out of the log, of the rows, and of what is told."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import select

from obslog.exchange.bundles.entries import ActEntry, BatchEntry, ChangeEntry, Entry
from obslog.records.bundles.forgotten_contacts import contacts_of, take_out_of_log, take_out_of_told
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.told import Told, gather
from obslog.records.database import Database
from obslog.records.tables.logbook import Change
from obslog.records.tables.storeroom import Contact

AT = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
ACTS = [f"019d0000-0000-7000-8000-00000000000{number}" for number in range(6)]
ZORA, INES, FIRST, SECOND = (f"019d0000-0000-7000-8000-0000000000{number}0" for number in (1, 2, 3, 4))
FORGOTTEN = {ZORA}


def contact(key: str, owner: str, phone: str) -> dict[str, Any]:
    return {"id": key, "member_id": owner, "phone": phone, "email": None, "address": None}


OF_ZORA, OF_INES = contact(FIRST, ZORA, "0551 2345678"), contact(SECOND, INES, "0551 7654321")


def written(number: int, before: dict[str, Any] | None, after: dict[str, Any] | None) -> ChangeEntry:
    """What the act of that number says of a contact."""
    return ChangeEntry(
        id=f"019d0000-0000-7000-8000-0000000001{number:02}", act_id=ACTS[number], record_kind="Contact",
        record_id=(after or before or {})["id"], before=before, after=after,
    )  # fmt: skip


WENT_OVER = [
    written(1, None, OF_ZORA),
    written(2, OF_ZORA, OF_ZORA | {"member_id": INES}),
    written(3, OF_ZORA | {"member_id": INES}, OF_ZORA | {"member_id": INES, "phone": "0551 7654321"}),
]
"""Zora's, which is Ines's since the two were made one by mistake, and another number was written into it then."""
CAME_BACK = [
    written(1, None, OF_INES),
    written(2, OF_INES, OF_INES | {"member_id": ZORA}),
    written(3, OF_INES | {"member_id": ZORA}, OF_INES),
]
"""Ines's, which was Zora's for a while."""
GONE = written(4, {"id": FIRST}, None)


def told_of(entries: Sequence[Entry]) -> Told:
    told = Told()
    gather(entries, told)
    return told


@pytest.fixture
def members(database: Database) -> Database:
    with database.write(AT) as session:
        entries: list[Entry] = [ActEntry(id=act, at_utc=AT, sentence="write down") for act in ACTS]
        for number, (key, name) in enumerate([(ZORA, "Zora"), (INES, "Ines")]):
            after: dict[str, Any] = {"id": key, "name": name, "name_key": name.lower(), "note": None}
            after |= {"retired_on": None, "retired_why": None}
            entries.append(
                ChangeEntry(
                    id=f"019d0000-0000-7000-8000-00000000020{number}", act_id=ACTS[0], record_kind="Member",
                    record_id=key, before=None, after=after,
                )
            )  # fmt: skip
        take_in(session, [entries])
    return database


@pytest.mark.parametrize(
    ("entries", "theirs"),
    [(WENT_OVER, {FIRST}), (CAME_BACK, set()), ([], set()), ([*WENT_OVER, GONE], {FIRST})],
)
def test_a_contact_is_of_who_was_first_reached_by_it(
    members: Database, entries: list[Entry], theirs: set[str]
) -> None:
    with members.write(AT) as session:
        assert contacts_of(session, told_of(entries), FORGOTTEN) == theirs
        assert contacts_of(session, told_of(entries[::-1]), FORGOTTEN) == theirs
        take_in(session, [entries])
        assert contacts_of(session, Told(), FORGOTTEN) == theirs


def test_of_theirs_nothing_is_told_but_that_it_is_gone(members: Database) -> None:
    told = told_of([*WENT_OVER, GONE])
    take_out_of_told(told, FORGOTTEN, {FIRST})
    assert list(told.changes.values()) == [GONE]


def test_of_anothers_it_is_told_what_it_was_while_with_them() -> None:
    told = told_of(CAME_BACK)
    take_out_of_told(told, FORGOTTEN, set())
    assert list(told.changes.values()) == CAME_BACK[:1]


def test_of_many_that_were_written_at_once_the_others_stay() -> None:
    rows = [OF_ZORA, OF_INES]
    batch = BatchEntry(
        id=ACTS[5], act_id=ACTS[1], record_kind="Contact", what="added", columns=tuple(OF_ZORA),
        ids=[FIRST, SECOND], rows=[list(row.values()) for row in rows],
    )  # fmt: skip
    told = told_of([batch])
    take_out_of_told(told, FORGOTTEN, {FIRST})
    (left,) = told.batches.values()
    assert (left.ids, left.rows) == ([SECOND], [list(OF_INES.values())])
    take_out_of_told(told, {INES}, {SECOND})
    assert told.batches == {}


def test_theirs_goes_out_of_the_log_and_the_rows_wherever_it_went(members: Database) -> None:
    with members.write(AT) as session:
        take_in(session, [WENT_OVER])
        take_out_of_log(session, FORGOTTEN, {FIRST})
        assert session.scalars(select(Contact)).all() == []
        assert session.scalars(select(Change).where(Change.record_kind == "Contact")).all() == []


def test_anothers_stands_as_it_was_before_it_was_theirs(members: Database) -> None:
    while_zoras = OF_INES | {"member_id": ZORA}
    entries = [
        *CAME_BACK[:2],
        written(3, while_zoras, while_zoras | {"email": "z@example.org"}),
        written(4, OF_INES, OF_INES | {"address": "Mill Lane 4"}),
    ]
    with members.write(AT) as session:
        take_in(session, [entries])
        take_out_of_log(session, FORGOTTEN, set())
        (stands,) = session.scalars(select(Contact))
        assert (str(stands.member_id), stands.phone) == (INES, OF_INES["phone"])
        assert (stands.email, stands.address) == (None, "Mill Lane 4")
