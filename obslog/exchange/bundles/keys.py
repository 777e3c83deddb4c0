"""Keys as a bundle writes them: the text of a UUID in small letters; those of acts begin with a time."""

import operator
import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import islice

_KEY = "[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}"
_ONE = re.compile(_KEY)
_MANY = re.compile(f"(?:{_KEY}\n)*")
_LENGTH = 36
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LONGEST_TIME = timedelta(milliseconds=(1 << 48) - 1)


def is_key(text: str) -> bool:
    return _ONE.fullmatch(text) is not None


def are_keys(texts: Sequence[str]) -> bool:
    """Whether each is a key; looked at all at once, for there are a hundred thousand of them."""
    lengths = set(map(len, texts))
    return lengths <= {_LENGTH} and _MANY.fullmatch("\n".join([*texts, ""])) is not None


def in_order(texts: Sequence[str]) -> bool:
    """Whether each is after the one before it."""
    return all(map(operator.lt, texts, islice(texts, 1, None)))


def time_of(key: str) -> datetime:
    """The time that a key begins with (RFC 9562, 5.7: milliseconds since 1970 in 48 bits); at most the year 9999."""
    try:
        return _EPOCH + timedelta(milliseconds=int(key[:8] + key[9:13], 16))
    except OverflowError:
        return datetime.max.replace(tzinfo=UTC)


def first_key_of(at: datetime) -> str:
    """The beginning of the first key of a time: what sorts after it is not before that time."""
    digits = f"{min(at - _EPOCH, _LONGEST_TIME) // timedelta(milliseconds=1):012x}"
    return f"{digits[:8]}-{digits[8:]}"
