"""JSON that could be meant in two ways, or not at all, is refused in words."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.bundles.limits import DEEPEST
from obslog.exchange.bundles.strict_json import (
    HALF_CHARACTER,
    LARGE_NUMBER,
    NO_JSON,
    NO_NUMBER,
    NO_TEXT,
    NULL_CHARACTER,
    TOO_DEEP,
    NotMeant,
    read_json,
)

TEXTS = st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), max_size=8)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**63), 2**63 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | TEXTS,
    lambda inside: st.lists(inside, max_size=3) | st.dictionaries(TEXTS, inside, max_size=3),
    max_leaves=6,
)


def depth(value: Any) -> int:
    if isinstance(value, dict):
        value = list(value.values())
    return 1 + max(map(depth, value), default=0) if isinstance(value, list) else 0


@given(VALUES.filter(lambda value: depth(value) <= DEEPEST))
def test_what_json_can_say_is_read_as_it_is(value: Any) -> None:
    assert read_json(json.dumps(value).encode()) == value


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", NO_JSON),
        (b"{", NO_JSON),
        (b"[1] 2", NO_JSON),
        (b"[01]", NO_JSON),
        (b"[\x01]", NO_JSON),
        (b"NaN", NO_NUMBER),
        (b"[Infinity]", NO_NUMBER),
        (b"[-Infinity]", NO_NUMBER),
        (b"1e999", LARGE_NUMBER),
        (b"[-1e999]", LARGE_NUMBER),
        (b"9223372036854775808", LARGE_NUMBER),
        (b"-9223372036854775809", LARGE_NUMBER),
        (b"9" * 100_000, LARGE_NUMBER),
        (b'"\xff"', NO_TEXT),
        (b'"\xed\xa0\x80"', NO_TEXT),
        (b'"\\ud800"', HALF_CHARACTER),
        (b'{"\\udc00": 1}', HALF_CHARACTER),
        (b'["a\\u0000"]', NULL_CHARACTER),
        (b'{"a": 1, "a": 1}', "it says the same name twice"),
        (b'[{"b": {"a": 1, "\\u0061": 2}}]', "it says the same name twice"),
        (b"[" * (DEEPEST + 1) + b"]" * (DEEPEST + 1), TOO_DEEP),
        (b'{"a":' * 10_000 + b"1" + b"}" * 10_000, TOO_DEEP),
        (b"[" * 10_000 + b"]" * 10_000, TOO_DEEP),
        (b"[" * 1_000_000, TOO_DEEP),
    ],
)  # fmt: skip
def test_what_nobody_can_mean_is_called_by_its_name(data: bytes, what: str) -> None:
    with pytest.raises(NotMeant) as told:
        read_json(data)
    assert told.value.what == what


def test_the_last_that_is_taken_is_taken() -> None:
    assert read_json(b"[-9223372036854775808, 9223372036854775807]") == [-(2**63), 2**63 - 1]
    assert depth(read_json(b"[" * DEEPEST + b"]" * DEEPEST)) == DEEPEST
    assert read_json('"\\ud83d\\ude00 é"'.encode()) == "\U0001f600 é"
    assert read_json(rb'"\\u0000"') == r"\u0000"
