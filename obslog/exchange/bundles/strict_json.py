"""JSON with nothing in it that could be meant in two ways, or not at all: it says in words what is wrong."""

import json
import math
from collections.abc import Iterator
from typing import Any

from obslog.exchange.bundles.limits import DEEPEST, LARGEST_NUMBER, SMALLEST_NUMBER

_MOST_DIGITS = 19
NO_JSON, NO_TEXT, TOO_DEEP = (
    "it is not JSON",
    "its text is not in UTF-8",
    f"it is nested more than {DEEPEST} deep",
)
NO_NUMBER, LARGE_NUMBER = "it has a number that is none", "it has a number that is too large"
HALF_CHARACTER, NULL_CHARACTER = "it has half of a character in a text", "it has a null character in a text"


class NotMeant(Exception):
    """What is wrong, as the end of a sentence. Whoever reads the file says where."""

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what


def read_json(data: bytes) -> Any:
    """The value that the bytes hold. Raises NotMeant."""
    try:
        value = json.loads(
            data.decode(),
            object_pairs_hook=_each_once,
            parse_constant=_no_number,
            parse_float=_finite,
            parse_int=_whole,
        )
    except UnicodeDecodeError as error:
        raise NotMeant(NO_TEXT) from error
    except RecursionError as error:
        raise NotMeant(TOO_DEEP) from error
    except ValueError as error:
        raise NotMeant(NO_JSON) from error
    _check_depth(value, DEEPEST)
    _check_texts(value)
    return value


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotMeant("it says the same name twice")
    return found


def _no_number(_text: str) -> Any:
    raise NotMeant(NO_NUMBER)


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise NotMeant(LARGE_NUMBER)
    return number


def _whole(text: str) -> int:
    if len(text.lstrip("-")) > _MOST_DIGITS or not SMALLEST_NUMBER <= int(text) <= LARGEST_NUMBER:
        raise NotMeant(LARGE_NUMBER)
    return int(text)


def _check_depth(value: Any, left: int) -> None:
    if isinstance(value, list | dict):
        if left == 0:
            raise NotMeant(TOO_DEEP)
        for inside in value.values() if isinstance(value, dict) else value:
            _check_depth(inside, left - 1)


def _check_texts(value: Any) -> None:
    for text in _texts(value):
        if "\0" in text:
            raise NotMeant(NULL_CHARACTER)
        if not text.isascii() and any("\ud800" <= character <= "\udfff" for character in text):
            raise NotMeant(HALF_CHARACTER)


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, list):
        for inside in value:
            yield from _texts(inside)
    elif isinstance(value, dict):
        yield from value
        for inside in value.values():
            yield from _texts(inside)
