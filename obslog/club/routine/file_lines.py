"""On which line of a TOML file a key or an element of a list stands: its reader tells values alone.

Only a text that was read without a fault is looked through, so that nothing needs to be checked here.
"""

import tomllib
from collections import Counter
from collections.abc import Generator, Iterator, Mapping
from typing import Any

Path = tuple[str | int, ...]
"""The keys that lead to a value, and the numbers of elements in lists: `("task", 2, "of")`."""
_QUOTES = ('"""', "'''", '"', "'")


class FileLines:
    """The lines of a text, by path."""

    def __init__(self, text: str) -> None:
        self._lines: Mapping[Path, int] = dict(_lines(text))

    def of(self, path: Path) -> int | None:
        """The line of a path, or of the nearest above it that is known; None of the file as a whole."""
        while path and path not in self._lines:
            path = path[:-1]
        return self._lines.get(path)


def _lines(text: str) -> Iterator[tuple[Path, int]]:
    """Each path with its line, the later ones of a path after the earlier."""
    table: Path = ()
    lists: Counter[Path] = Counter()
    at, line = 0, 1
    while at < len(text):
        end = _end_of_line(text, at)
        told = text[at:end].strip()
        if told.startswith("["):
            table = _header(told)
            if told.startswith("[["):
                table, place = (*table, lists[table]), table
                lists[place] += 1
            yield table, line
        elif told and not told.startswith("#"):
            equals = _equals(text, at)
            path = (*table, *_keys(tomllib.loads(f"{text[at:equals]}= 0")))
            yield path, line
            end = yield from _value(text, equals + 1, path, line)
        line += text.count("\n", at, end + 1)
        at = end + 1


def _value(text: str, at: int, path: Path, line: int) -> Generator[tuple[Path, int], None, int]:
    """The elements of a list that begins here, each with its line; gives where the last line of the value ends."""
    depth, element, awaited = 0, 0, False
    while at < len(text):
        sign = text[at]
        if sign == "\n":
            if depth == 0:
                return at
            line += 1
        elif sign == "#":
            at = _end_of_line(text, at)
            continue
        elif depth == 1 and awaited and not sign.isspace() and sign not in ",]":
            yield (*path, element), line
            element, awaited = element + 1, False
        if sign in "[{":
            depth += 1
            awaited = awaited or (depth == 1 and sign == "[")
        elif sign in "]}":
            depth -= 1
        elif sign == "," and depth == 1:
            awaited = True
        elif sign in "\"'":
            end = _after_string(text, at)
            line += text.count("\n", at, end)
            at = end
            continue
        at += 1
    return at


def _after_string(text: str, at: int) -> int:
    """Where the text in quotes that begins here has ended."""
    quote = next(quote for quote in _QUOTES if text.startswith(quote, at))
    at += len(quote)
    while not text.startswith(quote, at):
        at += 2 if text[at] == "\\" and quote[0] == '"' else 1
    at += len(quote)
    while len(quote) == 3 and text.startswith(quote[0], at):  # a quote may stand before the closing ones
        at += 1
    return at


def _equals(text: str, at: int) -> int:
    while text[at] != "=":
        at = _after_string(text, at) if text[at] in "\"'" else at + 1
    return at


def _end_of_line(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end


def _header(told: str) -> Path:
    return tuple(_keys(tomllib.loads(told)))


def _keys(nested: Any) -> Iterator[str]:
    """The keys of tables within tables that hold one each."""
    while isinstance(nested, dict | list) and nested:
        if isinstance(nested, list):
            nested = nested[0]
        else:
            ((key, nested),) = nested.items()
            yield key
