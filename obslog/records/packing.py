"""Frozen records as bytes and back: dataclasses, lists, dates, keys and numpy arrays, checked against their types."""

from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any, TypeVar, get_origin

import msgspec
import numpy as np

T = TypeVar("T")
Readers = Mapping[Any, Callable[[Any], Any]]


class CannotUnpack(Exception):
    """Bytes that are damaged, or that hold another type than the one asked for. Never seen by a person."""


def packed(value: object) -> bytes:
    """The bytes of a record, by the MessagePack format."""
    return msgspec.msgpack.encode(value, enc_hook=_written)


def unpacked(data: bytes, kind: type[T], readers: Readers | None = None) -> T:
    """The record of that type, numbers exactly as they were. Raises CannotUnpack.

    `readers` make values of types that are no dataclasses, such as an abstract one, from what was written of them.
    """

    def read(wanted: Any, written: Any) -> Any:
        if (reader := (readers or {}).get(wanted)) is not None:
            return reader(written)
        return _READERS[get_origin(wanted) or wanted](written)

    try:
        return msgspec.msgpack.decode(data, type=kind, dec_hook=read)
    except (msgspec.MsgspecError, KeyError, TypeError, ValueError) as error:
        raise CannotUnpack from error


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
