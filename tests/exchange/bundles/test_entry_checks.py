"""Every part of an entry is looked at before it is handed out."""

import json
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given
from msgspec.structs import replace

from obslog.exchange.bundles.entries import Entry
from obslog.exchange.bundles.entry_checks import EntryReader
from obslog.exchange.bundles.errors import ClockAhead, WrongEntry
from obslog.exchange.bundles.limits import LIMITS
from obslog.exchange.bundles.lines import written
from tests.exchange.bundles import strategies
from tests.exchange.bundles.made import ACT, BATCH, CALLED, CHANGE, NOW, key

READER = EntryReader(CALLED, NOW, LIMITS)
LATEST = NOW + timedelta(days=2)
SECOND = timedelta(seconds=1)


def line(entry: Entry) -> bytes:
    (only,) = written(entry, 10**9)
    return only.removesuffix(b"\n")


def changed(entry: Entry, **fields: Any) -> bytes:
    word, known = json.loads(line(entry))
    return json.dumps([word, {**known, **fields}]).encode()


@given(strategies.ENTRIES)
def test_what_a_program_writes_now_or_later_passes_and_nothing_is_lost(entry: Entry) -> None:
    assert READER.entry(line(entry), 1) == entry


@pytest.mark.parametrize("name", ["id", "origin", "undoes_id"])
@pytest.mark.parametrize("wrong", ["", "1", "../../etc/passwd", key(1).upper().replace("0", "A")])
def test_a_key_of_an_act_that_is_none_is_refused(name: str, wrong: str) -> None:
    with pytest.raises(WrongEntry, match=f"`{name}` is no key"):
        READER.entry(changed(ACT, **{name: wrong}), 1)


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (changed(ACT, at_utc="1899-12-31T23:59:59Z"), "`at_utc` is no time that anybody means"),
        (changed(ACT, at_utc="0001-01-01T00:00:00+14:00"), "`at_utc` is no time that anybody means"),
        (changed(ACT, at_utc="9999-12-31T23:59:59-14:00"), "`at_utc` is no time that anybody means"),
        (changed(ACT, sentence=""), "`sentence` does not have 1 to 1,000 characters that can be shown"),
        (changed(ACT, sentence="x" * 1001), "`sentence` does not have 1 to 1,000 characters that can be shown"),
        (changed(ACT, sentence="\x1b[2J"), "`sentence` does not have 1 to 1,000 characters that can be shown"),
        (changed(ACT, who="nnA\u202e"), "`who` does not have 1 to 1,000 characters that can be shown"),
        (changed(CHANGE, id="x"), "`id` is no key"),
        (changed(CHANGE, act_id="x"), "`act_id` is no key"),
        (changed(CHANGE, record_id="x"), "`record_id` is no key"),
        (changed(CHANGE, record_kind="mounts; DROP TABLE acts"), "`record_kind` is no name of a kind"),
        (changed(CHANGE, record_kind="M" * 65), "`record_kind` is no name of a kind"),
        (changed(CHANGE, before=None, after=None), "it has neither `before` nor `after`"),
        (changed(CHANGE, after={"id": key(9)}), "an image is of another record"),
        (changed(CHANGE, before={"id": None}), "an image is of another record"),
        (changed(CHANGE, after={"na me": 1}), "a column's name is none, or stands there twice"),
        (changed(CHANGE, after={"x" * 65: 1}), "a column's name is none, or stands there twice"),
        (changed(CHANGE, withheld=["a", "a"]), "a column's name is none, or stands there twice"),
        (changed(CHANGE, after={f"c{n}": 1 for n in range(201)}), "a record has more than 200 columns"),
        (changed(BATCH, id="x"), "`id` is no key"),
        (changed(BATCH, act_id="x"), "`act_id` is no key"),
        (changed(BATCH, record_kind="arrival"), "`record_kind` is no name of a kind"),
        (changed(BATCH, columns=["id", "id", "x"]), "a column's name is none, or stands there twice"),
        (changed(BATCH, columns=["id", "a b", "x"]), "a column's name is none, or stands there twice"),
        (changed(BATCH, withheld=["a b"]), "a column's name is none, or stands there twice"),
        (changed(BATCH, columns=[f"c{n}" for n in range(201)]), "a record has more than 200 columns"),
        (changed(BATCH, ids=[], rows=[]), "a line of a batch has 1 to 1,000 records"),
        (
            changed(BATCH, ids=[key(n) for n in range(1001)], rows=[[key(n), "", 1] for n in range(1001)]),
            "a line of a batch has 1 to 1,000 records",
        ),
        (changed(BATCH, ids=[key(5)]), "its keys, columns and rows are not equally many"),
        (changed(BATCH, columns=["id"]), "its keys, columns and rows are not equally many"),
        (changed(BATCH, rows=[[key(5), "Vega", 3.25], [key(6)]]), "its keys, columns and rows are not equally many"),
        (changed(BATCH, ids=[key(6), key(5)]), "`ids` are not keys in their order, each once"),
        (changed(BATCH, ids=[key(5), key(5)]), "`ids` are not keys in their order, each once"),
        (changed(BATCH, ids=["a", "b"]), "`ids` are not keys in their order, each once"),
        (changed(BATCH, ids=[key(5), key(7)]), "a row is of another record"),
    ],
)  # fmt: skip
def test_an_entry_that_cannot_be_meant_says_in_which_line_and_why(data: bytes, what: str) -> None:
    with pytest.raises(WrongEntry) as told:
        READER.entry(data, 7)
    assert told.value.message == f"Line 7 of the contents of ann.obslog cannot be read: {what}."
    assert told.value.line == 7


def test_a_batch_without_the_column_of_keys_is_taken() -> None:
    bare = replace(BATCH, columns=("target", "offset_east_arcmin"), rows=[["Vega", 3.25], ["Deneb", None]])
    assert READER.entry(line(bare), 1) == bare


def test_a_time_with_another_zone_is_the_same_instant() -> None:
    assert READER.entry(changed(ACT, at_utc="2026-11-29T03:00:00+02:00"), 1) == ACT


def test_an_act_two_days_ahead_is_let_pass() -> None:
    late = replace(ACT, id=key(1, LATEST - SECOND), at_utc=LATEST)
    assert READER.entry(line(late), 1) == late


@pytest.mark.parametrize(
    ("ahead", "what", "day"),
    [
        (lambda: replace(ACT, at_utc=LATEST + SECOND), "An act", "2026-12-01 01:00"),
        (lambda: replace(ACT, id=key(1, LATEST)), "The key of an act", "2026-12-01 01:00"),
        (lambda: replace(ACT, undoes_id=key(1, LATEST)), "The key of an act", "2026-12-01 01:00"),
        (lambda: replace(CHANGE, act_id=key(1, LATEST + SECOND)), "The key of an act", "2026-12-01 01:00"),
        (lambda: replace(BATCH, act_id=key(1, LATEST + SECOND)), "The key of an act", "2026-12-01 01:00"),
        (lambda: replace(ACT, id=f"f{key(1)[1:]}"), "The key of an act", "9999-12-31 23:59"),
    ],
)
def test_an_act_of_a_clock_that_runs_ahead_is_told_as_such(
    ahead: Callable[[], Entry], what: str, day: str
) -> None:
    with pytest.raises(ClockAhead) as told:
        READER.entry(line(ahead()), 1)
    assert told.value.message == f"{what} in ann.obslog is of {day} UTC, and here it is 2026-11-29 01:00 UTC."
