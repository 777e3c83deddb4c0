"""A bundle holds what was put in, in order, and says so in its first line."""

import hashlib
import json
import zlib
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from obslog.exchange.bundles.entries import Entry
from obslog.exchange.bundles.errors import TooLarge
from obslog.exchange.bundles.limits import LONGEST_MANIFEST, Limits
from obslog.exchange.bundles.writing import write_bundle
from tests.exchange.bundles import strategies
from tests.exchange.bundles.arrivals import arrival_rows, arrivals_batch
from tests.exchange.bundles.made import ACT, BATCH, CHANGE, ENTRIES, FACTS, bundle_of, lines_of, read


@given(st.lists(strategies.ENTRIES, max_size=5))
def test_what_is_written_is_read(entries: list[Entry]) -> None:
    assert read(bundle_of(entries))[1] == entries


@given(st.lists(strategies.ENTRIES, max_size=5))
def test_written_again_by_a_program_that_knows_less_it_is_the_same(entries: list[Entry]) -> None:
    once = bundle_of(entries)
    assert bundle_of(read(once)[1]) == once


def test_the_first_line_counts_what_follows_and_the_hash_holds_all_of_it() -> None:
    data = bundle_of([ACT, CHANGE, CHANGE, BATCH])
    first, _, payload = data.partition(b"\n")
    said = json.loads(first)
    plain = zlib.decompress(payload)
    assert (said["acts"], said["changes"], said["records"]) == (1, 2, 2)
    assert (said["payload_bytes"], said["plain_bytes"]) == (len(payload), len(plain))
    zeroed = first.replace(said["sha256"].encode(), b"0" * 64)
    assert said["sha256"] == hashlib.sha256(payload + zeroed + b"\n").hexdigest()
    assert [json.loads(line)[0] for line in lines_of(data)] == ["act", "change", "change", "batch"]


def test_what_is_given_back_is_what_a_reader_finds() -> None:
    stream = BytesIO()
    written = write_bundle(stream, replace(FACTS, extra={"club": "Northmoor"}), ENTRIES)
    assert read(stream.getvalue()) == (written, list(ENTRIES))
    assert written.extra == {"club": "Northmoor"}


def test_it_is_written_where_the_stream_stands() -> None:
    stream = BytesIO(b"before ")
    stream.seek(7)
    write_bundle(stream, FACTS, ENTRIES)
    assert stream.getvalue() == b"before " + bundle_of(ENTRIES)
    assert stream.tell() == len(stream.getvalue())


def test_a_bundle_of_nothing_is_one_too() -> None:
    manifest, entries = read(bundle_of([]))
    assert (entries, manifest.acts, manifest.plain_bytes) == ([], 0, 0)


def test_entries_are_taken_one_by_one() -> None:
    taken = []

    def told():
        for entry in ENTRIES:
            taken.append(entry)
            yield entry

    write_bundle(BytesIO(), FACTS, told())
    assert taken == list(ENTRIES)


@pytest.mark.parametrize(
    "limits", [Limits(packed=1000), Limits(unpacked=10_000), Limits(lines=1), Limits(line=100)], ids=str
)
def test_what_nobody_would_take_is_not_written(limits: Limits) -> None:
    with pytest.raises(TooLarge) as told:
        write_bundle(BytesIO(), FACTS, [ACT, arrivals_batch(arrival_rows(100))], limits=limits)
    assert "--since" in told.value.hint


def test_a_first_line_that_would_be_too_long_is_not_written() -> None:
    with pytest.raises(TooLarge, match="a first line of more than 4,096 bytes"):
        write_bundle(BytesIO(), replace(FACTS, extra={"club": "x" * LONGEST_MANIFEST}), ENTRIES)
