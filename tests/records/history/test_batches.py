"""Keys and images of many records, packed and taken out again."""

import json
import zlib
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from obslog.records.history.batches import (
    keys_between,
    packed_images,
    packed_keys,
    place_in,
    unpacked_images,
    unpacked_keys,
)

KEYS = st.lists(st.uuids(), unique=True).map(lambda keys: sorted(map(str, keys)))


@given(KEYS)
def test_keys_lie_sixteen_bytes_each_in_their_order_and_come_out_again(keys: list[str]) -> None:
    packed = packed_keys(keys)
    assert packed == b"".join(UUID(key).bytes for key in keys)
    assert unpacked_keys(packed) == keys


@given(KEYS, st.uuids())
def test_each_key_is_found_in_its_place_and_no_other(keys: list[str], other: UUID) -> None:
    packed = packed_keys(keys)
    assert [place_in(packed, key) for key in keys] == list(range(len(keys)))
    if str(other) not in keys:
        assert place_in(packed, str(other)) is None


@given(KEYS, st.uuids(), st.uuids())
def test_keys_between_two_are_those_that_are_neither_before_nor_after(
    keys: list[str], one: UUID, other: UUID
) -> None:
    first, last = sorted((str(one), str(other)))
    packed = packed_keys(keys)
    assert keys_between(packed, first, last) == [key for key in keys if first <= key <= last]
    if keys:
        assert keys_between(packed, keys[0], keys[-1]) == keys
        assert keys_between(packed, keys[0], keys[0]) == keys[:1]


def test_a_key_is_not_found_across_two_others() -> None:
    """The bytes of the wanted key lie in the packed keys, but not at the beginning of one."""
    one, other = UUID(int=0x11), UUID(int=0x22 << 120)
    across = UUID(bytes=(one.bytes + other.bytes)[8:24])
    assert place_in(packed_keys([str(one), str(other)]), str(across)) is None


def test_images_are_a_compressed_document_of_names_and_rows() -> None:
    rows = [["a", 1, None, "Zoë"], ["b", 2.5, 0, ""]]
    packed = packed_images(["id", "n", "yes", "name"], rows)
    assert json.loads(zlib.decompress(packed)) == [["id", "n", "yes", "name"], rows]
    assert unpacked_images(packed) == (["id", "n", "yes", "name"], rows)
