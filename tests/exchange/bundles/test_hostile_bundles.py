"""Bundles made to cost memory are refused before they do."""

import zlib
from collections.abc import Callable
from pathlib import Path

import pytest

from obslog.exchange.bundles.errors import Bomb, BrokenBundle, UntrueManifest, WrongEntry, WrongManifest
from obslog.exchange.bundles.reading import read_bundle
from tests.benchmarks.measuring import peak_mb
from tests.exchange.bundles.made import ENTRIES, NOW, bundle_of, lines_of, with_contents

WHOLE = bundle_of(ENTRIES)
MOST_MB_FOR_A_HOSTILE_FILE = 60
DEEP = b'","z":' + b"[" * 10**4 + b"]" * 10**4 + b"}]"
ACT_BEGUN = lines_of(WHOLE)[0].partition(b"added")[0]
BATCH_BEGUN = lines_of(WHOLE)[2].partition(b'"rows"')[0] + b'"rows":['
HOSTILE: dict[str, tuple[Callable[[], bytes], type[BrokenBundle]]] = {
    "a GiB of zeros": (lambda: with_contents(b"", a_gib_of_zeros(), plain_bytes=2**30), Bomb),
    "a GiB of zeros that is said to be little": (
        lambda: with_contents(b"", a_gib_of_zeros(), plain_bytes=1000),
        UntrueManifest,
    ),
    "a line of 100 MB": (lambda: not_packed(b"[" + b" " * 10**8), WrongEntry),
    "a text of 100 MB": (lambda: not_packed(ACT_BEGUN + b"a" * 10**8), WrongEntry),
    "lists ten thousand deep": (lambda: not_packed(ACT_BEGUN + DEEP + b"\n"), WrongEntry),
    "a line full of lists": (lambda: not_packed(ACT_BEGUN + b'","z":[' + b"[]," * 690_000 + b"1]}]\n"), WrongEntry),
    "a row of a million": (lambda: not_packed(BATCH_BEGUN + b"[" + b"0," * 10**6 + b"0]]}]\n"), WrongEntry),
    "a million rows": (lambda: not_packed(BATCH_BEGUN + b"[]," * 690_000 + b"[]]}]\n"), WrongEntry),
    "ends of lines alone": (lambda: not_packed(b"\n" * 10**7), WrongEntry),
    "a first line without an end": (lambda: b'{"obslog_bundle":' + b" " * 10**8, WrongManifest),
}  # fmt: skip


def a_gib_of_zeros() -> bytes:
    """Packed to a megabyte: the same block again and again, without an end, which nobody comes to."""
    packer = zlib.compressobj()
    first = packer.compress(bytes(2**20)) + packer.flush(zlib.Z_FULL_FLUSH)
    block = packer.compress(bytes(2**20)) + packer.flush(zlib.Z_FULL_FLUSH)
    return first + block * 1023


def not_packed(plain: bytes) -> bytes:
    return with_contents(plain, zlib.compress(plain, 0), records=2)


@pytest.fixture(scope="module")
def ordinary_mb(tmp_path_factory: pytest.TempPathFactory) -> float:
    """What a process needs to read an ordinary bundle."""
    place = tmp_path_factory.mktemp("ordinary") / "ann.obslog"
    place.write_bytes(WHOLE)
    assert refused_as(place) is None
    return peak_mb(__name__, "refused_as", str(place))


@pytest.mark.parametrize("what", HOSTILE)
def test_a_hostile_file_is_refused_and_costs_little_memory(
    what: str, ordinary_mb: float, tmp_path: Path
) -> None:
    made, kind = HOSTILE[what]
    place = tmp_path / "hostile"
    place.write_bytes(made())
    assert refused_as(place) is kind
    assert peak_mb(__name__, "refused_as", str(place)) - ordinary_mb < MOST_MB_FOR_A_HOSTILE_FILE


def refused_as(place: str | Path) -> type[BrokenBundle] | None:
    with Path(place).open("rb") as stream:
        try:
            for _entry in read_bundle(stream, NOW).entries:
                pass
        except BrokenBundle as error:
            return type(error)
    return None
