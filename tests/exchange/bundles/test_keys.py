"""Keys are UUIDs in one way of writing; those of acts begin with a time."""

import uuid
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.bundles.keys import are_keys, first_key_of, in_order, is_key, time_of
from obslog.records.tables.keys import new_keys_as_text
from tests.exchange.bundles.made import NOW, key


@given(st.uuids())
def test_every_key_as_python_writes_it_is_one(made: uuid.UUID) -> None:
    assert is_key(str(made))
    assert are_keys([str(made), str(made)])


@pytest.mark.parametrize(
    "text",
    [
        "",
        "abc",
        "{7f3c2b1a-0000-4000-8000-00000000abcd}",
        "7F3C2B1A-0000-4000-8000-00000000ABCD",
        "7f3c2b1a000040008000-00000000abcd",
        "7f3c2b1a-0000-4000-8000-00000000abcd\n",
        "7f3c2b1a-0000-4000-8000-00000000abcg",
        "٧f3c2b1a-0000-4000-8000-00000000abcd",
    ],
)
def test_what_is_no_key_is_refused_alone_and_among_others(text: str) -> None:
    assert not is_key(text)
    assert not are_keys([key(1), text])


def test_two_keys_in_one_text_are_no_key() -> None:
    assert not are_keys([f"{key(1)}\n{key(2)}"])
    assert are_keys([])


def test_keys_stand_in_order_each_once() -> None:
    assert in_order([key(1), key(2), key(10)])
    assert not in_order([key(2), key(1)])
    assert not in_order([key(1), key(1)])


def test_a_key_tells_the_millisecond_it_was_made() -> None:
    # RFC 9562, appendix A.6: this key is of Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00
    assert time_of("017f22e2-79b0-7cc3-98c4-dc0c0c07398f") == datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC)
    (made,) = new_keys_as_text(1)
    assert abs(time_of(made) - datetime.now(UTC)) < timedelta(minutes=1)


def test_a_key_beyond_all_years_is_of_the_last() -> None:
    assert time_of("ffffffff-ffff-7000-8000-000000000000").year == 9999


@given(
    st.datetimes(NOW.replace(year=1971, tzinfo=None), timezones=st.just(UTC)),
    st.integers(0, 2**48 - 1),
)
def test_what_sorts_after_the_first_key_of_a_time_is_not_before_it(at: datetime, number: int) -> None:
    at = at.replace(microsecond=at.microsecond // 1000 * 1000)
    assert time_of(key(number, at)) == at
    assert key(number, at - timedelta(milliseconds=1)) < first_key_of(at) <= key(number, at)
