"""However a bundle was broken, on its way or on purpose: an error of its own, nothing of it as if it were whole."""

import gzip
import json
import random
import sqlite3
import zipfile
import zlib
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from obslog.exchange.bundles.errors import (
    Bomb,
    BrokenBundle,
    CannotUnpack,
    CutOff,
    Damaged,
    MoreBehind,
    NoBundle,
    TooLarge,
    WrongEntry,
)
from obslog.exchange.bundles.limits import LIMITS, Limits
from obslog.exchange.bundles.reading import read_bundle
from tests.exchange.bundles.arrivals import arrivals_bundle
from tests.exchange.bundles.made import (
    ACT,
    CALLED,
    CHANGE,
    ENTRIES,
    NOW,
    bundle_of,
    key,
    lines_of,
    read,
    with_contents,
    with_lines,
)

WHOLE = bundle_of(ENTRIES)
CONTENTS = b"".join(line + b"\n" for line in lines_of(WHOLE))


def test_a_bundle_given_from_a_stream_that_stands_elsewhere_is_read_from_there() -> None:
    stream = BytesIO(b"before " + WHOLE)
    stream.seek(7)
    assert list(read_bundle(stream, NOW).entries) == list(ENTRIES)


def test_contents_under_an_honest_manifest_are_read() -> None:
    assert read(with_contents(CONTENTS, records=2))[1] == list(ENTRIES)


def test_cut_anywhere_it_is_refused() -> None:
    for length in range(len(WHOLE)):
        with pytest.raises(BrokenBundle):
            read(WHOLE[:length])


def test_cut_in_its_contents_it_says_how_much_is_there() -> None:
    size = len(WHOLE.partition(b"\n")[2])
    with pytest.raises(CutOff) as told:
        read(WHOLE[:-5])
    assert told.value.message == (
        f"ann.obslog is cut off: {size - 5} of the {size} bytes of its contents are there."
    )
    assert told.value.hint.startswith("Copy it once more")


@pytest.mark.parametrize("bit", range(8))
def test_with_any_one_bit_flipped_it_is_refused(bit: int) -> None:
    for place in range(len(WHOLE)):
        flipped = bytearray(WHOLE)
        flipped[place] ^= 1 << bit
        with pytest.raises(BrokenBundle):
            read(bytes(flipped))


def test_a_flip_in_the_contents_or_in_what_the_first_line_says_is_called_damage() -> None:
    for place in (WHOLE.index(b"0012"), WHOLE.index(b"7f3c2b1a"), len(WHOLE) - 20):
        flipped = bytearray(WHOLE)
        flipped[place] ^= 1
        with pytest.raises(Damaged, match="is damaged: its bytes are not those that were written"):
            read(bytes(flipped))


@pytest.mark.parametrize("behind", [b"\0", b"\n", WHOLE])
def test_what_was_put_behind_it_is_told(behind: bytes) -> None:
    with pytest.raises(MoreBehind, match="more was put behind them"):
        read(WHOLE + behind)


def test_what_is_packed_behind_the_end_of_the_contents_is_no_part_of_them() -> None:
    packed = zlib.compress(CONTENTS)
    for behind in (b"\0", zlib.compress(CONTENTS), b"x" * 200_000):
        with pytest.raises(CannotUnpack):
            read(with_contents(CONTENTS, packed + behind, records=2))


def test_no_entry_is_handed_out_of_a_file_that_is_damaged() -> None:
    with pytest.raises(Damaged):
        read_bundle(BytesIO(WHOLE[:-1] + b"?"), NOW)


def test_a_file_that_changes_while_it_is_read_is_damaged() -> None:
    lines = [
        json.dumps(["act", {"id": key(n), "at_utc": "2026-11-29T01:00:00Z", "sentence": "x"}]) for n in (1, 2)
    ]
    one, other = (
        with_contents(f"{line}\n".encode(), zlib.compress(f"{line}\n".encode(), 0)) for line in lines
    )
    stream = BytesIO(one)
    bundle = read_bundle(stream, NOW)
    start = stream.tell()
    stream.write(other[start:])
    stream.seek(start)
    with pytest.raises(Damaged):
        list(bundle.entries)


def test_a_file_that_grows_shorter_while_it_is_read_is_cut_off() -> None:
    stream = BytesIO(WHOLE)
    bundle = read_bundle(stream, NOW)
    stream.truncate(len(WHOLE) - 3)
    with pytest.raises(CutOff):
        list(bundle.entries)


def database(folder: Path) -> bytes:
    with sqlite3.connect(folder / "club.db") as connection:
        connection.execute("CREATE TABLE nights (id TEXT)")
    connection.close()
    return (folder / "club.db").read_bytes()


def archive(_folder: Path) -> bytes:
    stream = BytesIO()
    with zipfile.ZipFile(stream, "w") as file:
        file.writestr("ann.obslog", WHOLE)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("made", "looks_like"),
    [
        (database, "a club's database"),
        (archive, "a zip archive or a workbook"),
        (lambda _folder: gzip.compress(WHOLE), "a file packed by gzip"),
    ],
)
def test_another_file_given_by_mistake_is_called_what_it_is(
    made: Callable[[Path], bytes], looks_like: str, tmp_path: Path
) -> None:
    with pytest.raises(NoBundle, match=f"^ann.obslog is not a bundle: it looks like {looks_like}.$"):
        read(made(tmp_path))


@pytest.mark.parametrize("seed", range(20))
def test_noise_is_no_bundle(seed: int) -> None:
    with pytest.raises(NoBundle):
        read(random.Random(seed).randbytes(5000))


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ({"acts": 2}, "ann.obslog says that it holds 2 acts, and it holds 1."),
        ({"acts": 0}, "ann.obslog says that it holds 0 acts, and it holds 1."),
        ({"changes": 7}, "ann.obslog says that it holds 7 changes, and it holds 1."),
        ({"records": 1}, "ann.obslog says that it holds 1 record, and it holds 2."),
        ({"plain_bytes": len(CONTENTS) + 1}, "says that it holds 982 unpacked bytes, and it holds 981"),
        ({"plain_bytes": len(CONTENTS) - 1}, "says that it holds 980 unpacked bytes, and it holds more"),
        ({"payload_bytes": 10**6}, "is cut off"),
        ({"payload_bytes": 10}, "does not end where its contents do"),
    ],
)  # fmt: skip
def test_a_manifest_that_does_not_tell_the_truth_is_found_out(said: dict[str, Any], message: str) -> None:
    with pytest.raises(BrokenBundle) as told:
        read(with_contents(CONTENTS, **{"records": 2, **said}))
    assert message in told.value.message


def test_a_hash_of_something_else_is_damage() -> None:
    honest = with_contents(CONTENTS, records=2)
    said = json.loads(honest.partition(b"\n")[0])["sha256"]
    with pytest.raises(Damaged):
        read(honest.replace(said.encode(), b"f" * 64))


@pytest.mark.parametrize(
    "payload", [b"", b"\0" * 50, b"x\x9c\x03", zlib.compress(CONTENTS)[:-1], gzip.compress(CONTENTS)]
)
def test_contents_that_were_never_packed_cannot_be_unpacked(payload: bytes) -> None:
    with pytest.raises(CannotUnpack, match=r"^The contents of ann\.obslog cannot be unpacked\.$"):
        read(with_contents(CONTENTS, payload, records=2))


def test_a_line_in_the_middle_that_cannot_be_meant_is_named() -> None:
    with pytest.raises(
        WrongEntry, match=r"^Line 2 of the contents of ann\.obslog cannot be read: it is not JSON\.$"
    ):
        read(with_lines(lines_of(WHOLE)[0], b"nonsense", lines_of(WHOLE)[1]))
    for empty in (b"", b" "):
        with pytest.raises(WrongEntry, match="Line 1 "):
            read(with_lines(empty))


def test_a_last_line_without_its_end_is_named() -> None:
    with pytest.raises(WrongEntry, match=r"Line 3 .*: it has no end"):
        read(with_contents(CONTENTS[:-1], records=2))


def with_limits(**limits: Any) -> Limits:
    return Limits(**{name: limits.get(name, getattr(LIMITS, name)) for name in Limits.__slots__})


@pytest.mark.parametrize(
    ("limits", "kind", "message"),
    [
        ({"packed": 359}, TooLarge, "ann.obslog has more than 359 bytes."),
        ({"unpacked": 980}, TooLarge, "ann.obslog has more than 980 bytes unpacked."),
        ({"lines": 2}, TooLarge, "ann.obslog has more than 2 lines."),
        ({"line": 300}, WrongEntry, "Line 2 of the contents of ann.obslog cannot be read: it has more than 300 bytes."),
    ],
)  # fmt: skip
def test_every_limit_has_its_words(limits: dict[str, int], kind: type[BrokenBundle], message: str) -> None:
    size = len(WHOLE.partition(b"\n")[2])
    assert (size, len(CONTENTS)) == (360, 981)
    with pytest.raises(kind) as told:
        read(WHOLE, with_limits(**limits))
    assert told.value.message == message


def test_what_is_at_its_limit_is_taken() -> None:
    longest = max(map(len, lines_of(WHOLE))) + 1
    assert read(WHOLE, with_limits(packed=360, unpacked=981, lines=3, line=longest))[1] == list(ENTRIES)
    with pytest.raises(WrongEntry):
        read(WHOLE, with_limits(line=longest - 1))


def test_what_would_unpack_to_far_more_than_it_is_says_so_before_it_is_unpacked() -> None:
    zeros = zlib.compress(b"\0" * 3_000_000)
    with pytest.raises(
        Bomb, match=r"^ann\.obslog would unpack to more than 200 times its size, as no records do\.$"
    ):
        read_bundle(BytesIO(with_contents(b"\0" * 3_000_000, zeros)), NOW, called=CALLED)


def test_a_small_bundle_of_lines_that_are_alike_is_none_of_those() -> None:
    lines = lines_of(bundle_of([ACT, *[CHANGE] * 1000]))
    data = with_lines(*lines)
    first = json.loads(data.partition(b"\n")[0])
    assert 100 * first["payload_bytes"] < first["plain_bytes"] < 1024**2
    assert len(read(data)[1]) == 1001


def test_every_piece_is_read_where_lines_are_longer_than_what_is_unpacked_at_once() -> None:
    data = arrivals_bundle(2000)
    assert max(map(len, lines_of(data))) > 3 * 64 * 1024
    _act, *batches = read(data)[1]
    assert [len(batch.ids) for batch in batches] == [1000, 1000]  # type: ignore[union-attr]
    assert bundle_of(read(data)[1]) == data
