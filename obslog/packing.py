"""Frozen records as bytes and back: dataclasses, lists, dates, keys and numpy arrays, checked against their types."""

from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any, TypeVar, get_origin

import msgspec
import numpy as np

T = TypeVar("T")
SAME_TO = 1e-6
Readers = Mapping[Any, Callable[[Any], Any]]


class DamagedBytes(Exception):
    """Bytes that are damaged, or that hold another type than the one asked for. Never seen by a person."""


def packed(value: object) -> bytes:
    """The bytes of a record, by the MessagePack format."""
    return msgspec.msgpack.encode(value, enc_hook=_written)


def unpacked(data: bytes, kind: type[T], readers: Readers | None = None) -> T:
    """The record of that type, numbers exactly as they were. Raises DamagedBytes.

    `readers` make values of types that are no dataclasses, such as an abstract one, from what was written of them.
    """

    def read(wanted: Any, written: Any) -> Any:
        if (reader := (readers or {}).get(wanted)) is not None:
            return reader(written)
        return _READERS[get_origin(wanted) or wanted](written)

    try:
        return msgspec.msgpack.decode(data, type=kind, dec_hook=read)
    except (msgspec.MsgspecError, KeyError, TypeError, ValueError) as error:
        raise DamagedBytes from error


def alike(one: bytes, other: bytes) -> bool:
    """Whether two packed records say the same, but for the last figures of numbers, which machines round otherwise."""
    return one == other or _alike(msgspec.msgpack.decode(one), msgspec.msgpack.decode(other))


def _alike(one: Any, other: Any) -> bool:
    if isinstance(one, float) and isinstance(other, float):
        return bool(np.isclose(one, other, rtol=SAME_TO, atol=SAME_TO, equal_nan=True))
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys() and all(_alike(one[key], other[key]) for key in one)
    if _is_array(one) and _is_array(other) and one[:2] == other[:2]:
        return bool(np.allclose(_array(one), _array(other), rtol=SAME_TO, atol=SAME_TO, equal_nan=True))
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_alike, one, other))
    return type(one) is type(other) and bool(one == other)


def _is_array(written: Any) -> bool:
    """Whether that is what was written of an array: its kind of number, its shape and its bytes."""
    return isinstance(written, list) and len(written) == 3 and isinstance(written[2], bytes)


def _written(value: object) -> object:
    if isinstance(value, np.ndarray):
        return value.dtype.str, value.shape, value.tobytes()
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(f"{type(value).__name__} cannot be kept")


def _array(written: Any) -> np.ndarray[Any, Any]:
    kind, shape, data = written
    return np.frombuffer(data, np.dtype(kind)).reshape(shape)


_READERS: Readers = {np.ndarray: _array, Counter: Counter}
