"""Entries of every kind with anything in them that a program may write, now or later."""

from datetime import UTC
from typing import Any

from hypothesis import strategies as st

from obslog.exchange.bundles.entries import (
    ActEntry,
    ActFields,
    BatchEntry,
    BatchFields,
    ChangeEntry,
    ChangeFields,
)
from tests.exchange.bundles.made import NOW, key

SIGNS = 'aZ09 é日\u0301\U0001f600"\\/[{,:}]'
TEXTS = st.text(f"{SIGNS}\n\t\x01\x7f\u2028\u202e", max_size=20)
SHOWN = st.text(SIGNS, min_size=1, max_size=30).filter(str.strip)
NUMBERS = st.integers(-(2**63), 2**63 - 1) | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.none() | st.booleans() | NUMBERS | TEXTS
KEYS = st.integers(0, 2**48 - 1).map(key)
COLUMNS = st.text("abyz_", min_size=1, max_size=8)
IMAGES = st.dictionaries(COLUMNS, VALUES, max_size=6)
KINDS = st.sampled_from(["Arrival", "Member", "KitPart", "SomethingNewer"])
WITHHELD = st.lists(COLUMNS, max_size=3, unique=True).map(tuple)
EARLIEST = NOW.replace(year=1900, tzinfo=None)
_INSIDE = VALUES | st.lists(VALUES, max_size=3) | st.dictionaries(TEXTS, VALUES, max_size=3)
_KNOWN = {*ActFields.__struct_fields__, *ChangeFields.__struct_fields__, *BatchFields.__struct_fields__}
EXTRAS = st.dictionaries(
    TEXTS.filter(lambda name: name not in _KNOWN) | st.just("extra"), _INSIDE, max_size=3
)

ACTS = st.builds(
    ActEntry,
    id=KEYS,
    at_utc=st.datetimes(EARLIEST, NOW.replace(tzinfo=None), timezones=st.just(UTC)),
    sentence=SHOWN,
    who=st.none() | SHOWN,
    origin=st.none() | st.uuids().map(str),
    undoes_id=st.none() | KEYS,
    extra=EXTRAS,
)


@st.composite
def changes(draw: st.DrawFn) -> ChangeEntry:
    record, before, after = draw(KEYS), draw(st.none() | IMAGES), draw(st.none() | IMAGES)
    if before is None and after is None:
        after = {"id": record}
    return ChangeEntry(
        id=draw(KEYS),
        act_id=draw(KEYS),
        record_kind=draw(KINDS),
        record_id=record,
        before=before,
        after=after,
        withheld=draw(WITHHELD),
        extra=draw(EXTRAS),
    )


@st.composite
def batches(draw: st.DrawFn) -> BatchEntry:
    columns = ("id", *draw(st.lists(COLUMNS, max_size=4, unique=True)))
    ids = sorted(draw(st.sets(KEYS, min_size=1, max_size=5)))
    rows: list[list[Any]] = [[one, *(draw(VALUES) for _ in columns[1:])] for one in ids]
    return BatchEntry(
        id=draw(KEYS),
        act_id=draw(KEYS),
        record_kind=draw(KINDS),
        what=draw(st.sampled_from(["added", "removed"])),
        columns=columns,
        ids=ids,
        rows=rows,
        withheld=draw(WITHHELD),
        extra=draw(EXTRAS),
    )


ENTRIES = ACTS | changes() | batches()
