"""Keys are UUIDs of version 7, made in strictly increasing order."""

import time
import uuid
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from itertools import pairwise

import pytest

from obslog.records.tables.keys import key_after, new_key, new_keys_as_text


def milliseconds_in(key: uuid.UUID) -> int:
    """The first 48 bits: RFC 9562, section 5.7."""
    return key.int >> 80


def test_the_layout_read_here_is_that_of_the_published_example() -> None:
    # RFC 9562, appendix A.6: 2022-02-22 14:22:22.00 GMT-05:00.
    example = uuid.UUID("017F22E2-79B0-7CC3-98C4-DC0C0C07398F")
    assert milliseconds_in(example) == datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC).timestamp() * 1000


def test_version_and_variant_are_those_of_the_standard() -> None:
    for _ in range(1000):
        key = new_key()
        assert key.version == 7
        assert key.variant == uuid.RFC_4122
        assert key.int >> 62 & 0b11 == 0b10  # RFC 9562, section 4.1


def test_a_key_begins_with_the_time_at_which_it_was_made() -> None:
    before = time.time_ns() // 1_000_000
    made = milliseconds_in(new_key())
    assert before <= made <= time.time_ns() // 1_000_000 + 1


def test_keys_increase_strictly_also_as_text() -> None:
    made = [new_key() for _ in range(20_000)]
    assert all(earlier < later for earlier, later in pairwise(made))
    assert [str(key) for key in made] == sorted(str(key) for key in made)


def test_keys_increase_when_the_clock_is_set_back(monkeypatch: pytest.MonkeyPatch) -> None:
    first = new_key()
    monkeypatch.setattr("obslog.records.tables.keys.time.time_ns", lambda: 1_000_000_000_000_000_000)
    assert first < new_key() < new_key()


def test_threads_share_one_order() -> None:
    def make(_thread: int) -> list[uuid.UUID]:
        return [new_key() for _ in range(2000)]

    with ThreadPoolExecutor(8) as pool:
        made = list(pool.map(make, range(8)))
    assert len({key for thread in made for key in thread}) == 16_000
    assert all(thread == sorted(thread) for thread in made)


def test_the_last_62_bits_are_random() -> None:
    # Each bit is set in 2000 keys between 850 and 1150 times: 6.7 standard deviations (22.4) from the mean.
    tails = [new_key().int & (1 << 62) - 1 for _ in range(2000)]
    counts = [sum(tail >> bit & 1 for tail in tails) for bit in range(62)]
    assert all(850 < count < 1150 for count in counts)


def test_keys_made_together_as_text_take_their_place_in_the_order() -> None:
    before, texts, after = new_key(), new_keys_as_text(5000), new_key()
    made = [uuid.UUID(text) for text in texts]
    assert [str(key) for key in made] == texts
    assert all(earlier < later for earlier, later in pairwise([before, *made, after]))
    assert {(key.version, key.variant) for key in made} == {(7, uuid.RFC_4122)}
    assert new_keys_as_text(0) == []


@pytest.mark.parametrize("low_bits", [0, 1, 0xFFE, 0xFFF])
def test_a_key_after_one_from_the_future_is_the_next_of_its_clock(low_bits: int) -> None:
    made = datetime(2090, 1, 1, tzinfo=UTC)
    milliseconds = int(made.timestamp()) * 1000
    newest = uuid.UUID(int=milliseconds << 80 | 7 << 76 | low_bits << 64 | 2 << 62 | (1 << 62) - 1)
    key = key_after(newest)
    assert key > newest
    assert str(key) > str(newest)
    assert (key.version, key.variant) == (7, uuid.RFC_4122)
    assert milliseconds_in(key) == milliseconds + (low_bits == 0xFFF)


def test_a_key_after_one_from_the_past_has_the_time_of_now() -> None:
    before = new_key()
    assert abs(milliseconds_in(key_after(before)) - milliseconds_in(new_key())) < 60_000
    assert key_after(None) > before
