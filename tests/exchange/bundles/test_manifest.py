"""The first line: what is no bundle is told apart from what is a broken one."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from obslog.exchange.bundles.errors import (
    BrokenBundle,
    ClockAhead,
    EmptyBundle,
    NewerBundle,
    NoBundle,
    WrongManifest,
)
from obslog.exchange.bundles.limits import LIMITS, LONGEST_MANIFEST
from obslog.exchange.bundles.manifest import Manifest, manifest_line, read_manifest
from tests.exchange.bundles.made import CALLED, NOW, ORIGIN

HASH = "0123456789abcdef" * 4
MANIFEST = Manifest(
    schema="0012",
    origin=ORIGIN,
    written_utc=NOW,
    acts=1,
    changes=2,
    records=3,
    payload_bytes=400,
    plain_bytes=5000,
    sha256=HASH,
)


def read(line: bytes) -> Manifest:
    return read_manifest(line, CALLED, NOW, LIMITS.ahead)


def with_fields(**fields: Any) -> bytes:
    written = {
        name: value
        for name, value in {**json.loads(manifest_line(MANIFEST)), **fields}.items()
        if value != ...
    }
    return json.dumps(written, separators=(",", ":")).encode() + b"\n"


def test_a_manifest_is_read_as_it_was_written_filled_up_or_not() -> None:
    assert read(manifest_line(MANIFEST)) == MANIFEST
    assert read(manifest_line(MANIFEST, 600)) == MANIFEST
    assert len(manifest_line(MANIFEST, 600)) == 600


def test_what_is_not_known_of_it_is_kept() -> None:
    newer = replace(MANIFEST, extra={"club": "Northmoor", "of": [1, {"a": None}]})
    assert read(manifest_line(newer)) == newer


def test_the_manifest_begins_with_its_mark_and_holds_what_was_agreed() -> None:
    assert manifest_line(MANIFEST).startswith(b'{"obslog_bundle":1,')
    assert json.loads(manifest_line(MANIFEST)) == {
        "obslog_bundle": 1,
        "schema": "0012",
        "origin": ORIGIN,
        "written_utc": "2026-11-29T01:00:00Z",
        "acts": 1,
        "changes": 2,
        "records": 3,
        "payload_bytes": 400,
        "plain_bytes": 5000,
        "sha256": HASH,
    }


def test_nothing_is_empty() -> None:
    with pytest.raises(EmptyBundle, match=r"^ann\.obslog is empty\.$"):
        read(b"")


@pytest.mark.parametrize(
    ("line", "looks_like", "instead"),
    [
        (b"SQLite format 3\0\x10\0", "a club's database", "bundle write FILE"),
        (b"PK\x03\x04rest", "a zip archive or a workbook", "out of the archive"),
        (b"\x1f\x8b\x08\0", "a file packed by gzip", "Unpack it first"),
        (b"%PDF-1.7\n", "a PDF", "written by"),
        (b"<!doctype html>\n", "a web page or XML", "written by"),
        (b"\x89PNG\r\n", "a picture", "written by"),
        (b"\xff\xd8\xff\xe0", "a picture", "written by"),
        (b"night,setup,site\n", "", "written by"),
        (b'{"night": "2026-03-02"}\n', "", "written by"),
        (b"\n", "", "written by"),
        (b"\0" * 5000, "", "written by"),
        (b'\xef\xbb\xbf{"obslog_bundle":1}\n', "", "written by"),
    ],
)  # fmt: skip
def test_another_file_is_called_what_it_looks_like(line: bytes, looks_like: str, instead: str) -> None:
    with pytest.raises(NoBundle) as told:
        read(line)
    assert (
        told.value.message
        == f"ann.obslog is not a bundle{f': it looks like {looks_like}' * bool(looks_like)}."
    )
    assert instead in told.value.hint


def test_a_newer_format_asks_for_a_newer_program_whatever_else_it_says() -> None:
    with pytest.raises(NewerBundle, match="is of format 2, and none after 1 can be read here") as told:
        read(with_fields(obslog_bundle=2, sha256=..., blake3="f"))
    assert "Update this computer's obslog" in told.value.hint


@pytest.mark.parametrize(
    ("line", "what"),
    [
        (b'{"obs', "it is cut off"),
        (manifest_line(MANIFEST)[:-1], "it is cut off"),
        (b'{"obslog_bundle":1' + b" " * LONGEST_MANIFEST, "it has no end within 4,096 bytes"),
        (b'{"obslog_bundle":1,\n', "it is not JSON"),
        (b'{"obslog_bundle":1}\n', "schema is missing or wrong"),
        (b'{"obslog_bundle":1,"obslog_bundle":1}\n', "it says the same name twice"),
        (b'{"obslog_bundle":' + b"[" * 2000 + b"]" * 2000 + b"}\n", "it is nested more than 6 deep"),
        (with_fields(obslog_bundle=0), "obslog_bundle is missing or wrong"),
        (with_fields(obslog_bundle=True), "obslog_bundle is missing or wrong"),
        (with_fields(obslog_bundle="1"), "obslog_bundle is missing or wrong"),
        (with_fields(schema=12), "schema is missing or wrong"),
        (with_fields(schema="../../etc"), "schema is missing or wrong"),
        (with_fields(origin="a laptop"), "origin is missing or wrong"),
        (with_fields(written_utc="yesterday"), "written_utc is missing or wrong"),
        (with_fields(written_utc="2026-11-29T01:00:00"), "written_utc is missing or wrong"),
        (with_fields(written_utc="0001-01-01T00:00:00+14:00"), "written_utc is missing or wrong"),
        (with_fields(acts=-1), "acts is missing or wrong"),
        (with_fields(acts=1.5), "acts is missing or wrong"),
        (with_fields(acts=...), "acts is missing or wrong"),
        (with_fields(records=10**30), "it has a number that is too large"),
        (with_fields(plain_bytes=float("nan")), "it has a number that is none"),
        (with_fields(sha256=HASH.upper()), "sha256 is missing or wrong"),
        (with_fields(sha256=HASH[:-1]), "sha256 is missing or wrong"),
    ],
)  # fmt: skip
def test_a_first_line_that_cannot_be_meant_says_why(line: bytes, what: str) -> None:
    with pytest.raises(WrongManifest) as told:
        read(line)
    assert told.value.message == f"The first line of ann.obslog cannot be read: {what}."
    assert told.value.hint.startswith("Copy it once more")


def test_a_clock_two_days_ahead_is_let_pass_and_not_a_second_more() -> None:
    latest = NOW + timedelta(days=2)
    assert read(with_fields(written_utc=latest.isoformat())).written_utc == latest
    with pytest.raises(ClockAhead) as told:
        read(with_fields(written_utc=(latest + timedelta(seconds=1)).isoformat()))
    assert told.value.message == (
        "The time of writing in ann.obslog is of 2026-12-01 01:00 UTC, and here it is 2026-11-29 01:00 UTC."
    )
    assert "clocks" in told.value.hint


def test_a_time_with_another_zone_is_the_same_instant() -> None:
    assert read(with_fields(written_utc="2026-11-29T03:00:00+02:00")).written_utc == datetime(
        2026, 11, 29, 1, tzinfo=UTC
    )


def test_cut_anywhere_it_is_never_taken() -> None:
    line = manifest_line(MANIFEST)
    for length in range(len(line)):
        with pytest.raises(BrokenBundle):
            read(line[:length])
