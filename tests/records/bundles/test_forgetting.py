"""What is told of members who were made nameless is taken out of it: names, notes, contacts, who typed."""

from datetime import UTC, datetime
from typing import Any

import pytest

from obslog.exchange.bundles.entries import ActEntry, ChangeEntry, Entry
from obslog.records.bundles.forgetting import forgotten_by, forgotten_here, names_told, take_out, with_selves
from obslog.records.bundles.taking_in import take_in
from obslog.records.bundles.told import Told, gather
from obslog.records.database import Database
from obslog.records.merging.checks import ValueRefused
from obslog.records.nameless import NEUTRAL
from obslog.records.redaction.words import Words

AT = datetime(2026, 3, 2, 20, 0, tzinfo=UTC)
ADDED, LEFT, LATER = (f"019d0000-0000-7000-8000-00000000000{number}" for number in (1, 2, 3))
ZORA, OTHER, SAME = (f"019d0000-0000-7000-8000-0000000000{number}0" for number in (1, 2, 3))


def member(key: str, name: str, note: str | None = None) -> dict[str, Any]:
    return {
        "id": key,
        "name": name,
        "name_key": name.casefold(),
        "note": note,
        "retired_on": None,
        "retired_why": None,
    }


LEFT_AS = "Former member 000010"
NAMELESS = member(ZORA, LEFT_AS) | {"retired_on": "2026-03-02", "retired_why": "left the club"}
NAMELESS_ONES = {ZORA}
ZORAS = Words({"Zora": NEUTRAL})


def change(number: int, act: str, kind: str, key: str, before: Any, after: Any) -> ChangeEntry:
    return ChangeEntry(
        id=f"019d0000-0000-7000-8000-0000000001{number:02}", act_id=act, record_kind=kind, record_id=key,
        before=before, after=after,
    )  # fmt: skip


LEAVING = change(1, LEFT, "Member", ZORA, {"id": ZORA}, NAMELESS)


def told_of(*entries: Entry) -> Told:
    told = Told()
    gather(entries, told)
    return told


def test_who_was_made_nameless_is_told_by_an_image_that_holds_the_key_alone() -> None:
    told = told_of(LEAVING, change(2, ADDED, "Member", OTHER, None, member(OTHER, "Ines")))
    assert forgotten_by(told) == {ZORA: LEFT_AS}


def test_names_are_found_though_another_bundle_tells_the_same_entry_without_them() -> None:
    told = told_of(
        LEAVING,
        change(3, ADDED, "Member", ZORA, None, NAMELESS),
        change(3, ADDED, "Member", ZORA, None, member(ZORA, "Zora")),
    )
    assert names_told(told, NAMELESS_ONES) == {ZORA: {"Zora"}}


def test_who_was_joined_to_them_before_is_nameless_too(database: Database) -> None:
    same = {"id": SAME, "record_kind": "Member", "gone_id": OTHER, "kept_id": ZORA}
    with database.read() as session:
        told = told_of(change(4, ADDED, "SameRecord", SAME, None, same))
        assert with_selves(session, told, NAMELESS_ONES) == {ZORA, OTHER}


def test_who_was_joined_to_them_by_mistake_keeps_their_name(database: Database) -> None:
    same = {"id": SAME, "record_kind": "Member", "gone_id": OTHER, "kept_id": ZORA}
    joined = change(4, ADDED, "SameRecord", SAME, None, same)
    taken_back = change(5, LATER, "SameRecord", SAME, same, None)
    with database.write(AT) as session:
        assert with_selves(session, told_of(joined, taken_back), NAMELESS_ONES) == NAMELESS_ONES
        acts = [ActEntry(id=one, at_utc=AT, sentence="join") for one in (ADDED, LATER)]
        take_in(session, [[*acts, joined, taken_back]])
        assert with_selves(session, told_of(joined), NAMELESS_ONES) == NAMELESS_ONES


def test_who_was_joined_to_them_once_more_is_nameless_again(database: Database) -> None:
    same = {"id": SAME, "record_kind": "Member", "gone_id": OTHER, "kept_id": ZORA}
    joined = change(4, ADDED, "SameRecord", SAME, None, same)
    taken_back = change(5, LEFT, "SameRecord", SAME, same, None)
    made_again = change(6, LATER, "SameRecord", SAME, None, same)
    with database.read() as session:
        for told in (told_of(joined, taken_back, made_again), told_of(made_again, joined, taken_back)):
            assert with_selves(session, told, NAMELESS_ONES) == {ZORA, OTHER}


def test_names_notes_and_authors_are_taken_out() -> None:
    told = told_of(
        ActEntry(id=ADDED, at_utc=AT, sentence="add member Zora", who="Zo"),
        change(
            5, ADDED, "Member", ZORA, member(ZORA, "Zora"), member(ZORA, "Zora Amberley", "plays the lute")
        ),
        change(7, ADDED, "Night", OTHER, None, {"id": OTHER, "note": "Zora had the key"}),
    )
    take_out(told, NAMELESS_ONES, ZORAS, lambda who: who == "Zo")
    (act,) = told.acts.values()
    assert (act.sentence, act.who) == ("add member Former member", NEUTRAL)
    of_member, of_night = told.changes.values()
    assert of_member.before == of_member.after == member(ZORA, LEFT_AS)
    assert of_night.after == {"id": OTHER, "note": "Former member had the key"}


def test_a_bundle_with_a_leaving_is_taken_in_and_found_in_the_log_then(database: Database) -> None:
    with database.write(AT) as session:
        assert forgotten_here(session) == set()
        entries: list[Entry] = [
            ActEntry(id=ADDED, at_utc=AT, sentence="add"),
            ActEntry(id=LEFT, at_utc=AT, sentence="a member left"),
            change(3, ADDED, "Member", ZORA, None, member(ZORA, LEFT_AS)),
            LEAVING,
        ]
        take_in(session, [entries])
        assert forgotten_here(session) == NAMELESS_ONES


def test_only_what_was_there_before_may_be_a_key_alone(database: Database) -> None:
    entries: list[Entry] = [
        ActEntry(id=ADDED, at_utc=AT, sentence="add"),
        change(3, ADDED, "Member", ZORA, None, {"id": ZORA}),
    ]
    with pytest.raises(ValueRefused), database.write(AT) as session:
        take_in(session, [entries])


def test_where_no_name_is_known_only_what_is_theirs_is_looked_at() -> None:
    told = told_of(
        ActEntry(id=ADDED, at_utc=AT, sentence="edit", who="Ines"),
        change(5, ADDED, "Member", ZORA, NAMELESS, NAMELESS | {"note": "plays the lute"}),
        change(7, ADDED, "Night", OTHER, None, {"id": OTHER, "note": "wet"}),
        change(8, ADDED, "SameRecord", SAME, None, {"id": SAME}),
    )
    take_out(told, NAMELESS_ONES, Words({}), lambda _who: False)
    of_member, of_night, _same = told.changes.values()
    assert of_member.after == member(ZORA, LEFT_AS)
    assert of_night.after == {"id": OTHER, "note": "wet"}


def test_a_joining_that_names_nobody_is_left_to_the_checks(database: Database) -> None:
    with database.read() as session:
        told = told_of(change(8, ADDED, "SameRecord", SAME, None, {"id": SAME}))
        assert with_selves(session, told, NAMELESS_ONES) == NAMELESS_ONES


def test_the_act_itself_says_since_when_and_by_which_name_and_no_more() -> None:
    told = told_of(
        LEAVING,
        change(
            2,
            LATER,
            "Member",
            ZORA,
            {"id": ZORA},
            NAMELESS | {"name": "Zora", "name_key": "zora", "note": "lute"},
        ),
    )
    take_out(told, NAMELESS_ONES, Words({"Amberley": NEUTRAL}), lambda _who: False)
    assert [one.after for one in told.changes.values()] == [NAMELESS, NAMELESS]
    assert [one.before for one in told.changes.values()] == [{"id": ZORA}, {"id": ZORA}]
