"""An entry as a line of JSON and back, every part of it looked at: a list of its kind and its fields.

A line is read into its types at once. If writing it again gives the same bytes, then nothing was in it twice and
nothing is unknown; only otherwise it is read a second time, slowly, for what stands beside the fields.
"""

import re
from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from obslog.exchange.bundles.entries import (
    ActEntry,
    ActFields,
    BatchEntry,
    BatchFields,
    ChangeEntry,
    ChangeFields,
    Entry,
)
from obslog.exchange.bundles.keys import in_order
from obslog.exchange.bundles.limits import LONGEST_TEXT, MOST_ROWS_A_LINE
from obslog.exchange.bundles.strict_json import NO_JSON, NotMeant, read_json


class _ActLine(Struct, array_like=True, tag="act"):
    fields: ActFields


class _ChangeLine(Struct, array_like=True, tag="change"):
    fields: ChangeFields


class _BatchLine(Struct, array_like=True, tag="batch"):
    fields: BatchFields


Fields = ActFields | ChangeFields | BatchFields
_DECODER: msgspec.json.Decoder[_ActLine | _ChangeLine | _BatchLine] = msgspec.json.Decoder(
    _ActLine | _ChangeLine | _BatchLine
)
_ENCODER = msgspec.json.Encoder()
_PLACE, _MISSING = re.compile(r"at `\$\[1\]\.?(\w+)"), re.compile(r"`\w+`")
_LARGE = "has a number that is too large"
_WORDS = (
    ("of length <=", f"has a text of more than {LONGEST_TEXT:,} characters"),
    ("out of range", _LARGE),
    ("`int` >=", _LARGE),
    ("`int` <=", _LARGE),
    ("got `array`", "has a list where a value belongs"),
    ("got `object`", "has an object where a value belongs"),
    ("datetime", "is not a time with its zone"),
)


def written(entry: Entry, longest: int) -> Iterator[bytes]:
    """The lines of an entry, with their ends; a batch becomes as many as it needs, none over `longest` if it can be."""
    if isinstance(entry, ActEntry):
        yield _line(_ActLine(entry))
    elif isinstance(entry, ChangeEntry):
        yield _line(_ChangeLine(entry))
    else:
        yield from _batch_lines(entry, longest)


def _batch_lines(batch: BatchEntry, longest: int) -> Iterator[bytes]:
    ids, rows = batch.ids, batch.rows
    if not in_order(ids):
        pairs = sorted(zip(ids, rows, strict=True), key=lambda pair: pair[0])
        ids, rows = [key for key, _row in pairs], [row for _key, row in pairs]
    for start in range(0, len(ids), MOST_ROWS_A_LINE):
        end = start + MOST_ROWS_A_LINE
        yield from _halved(replace(batch, ids=ids[start:end], rows=rows[start:end]), longest)


def _halved(batch: BatchEntry, longest: int) -> Iterator[bytes]:
    """The batch in one line, or in two halves and so on where that is too long; one record is never halved."""
    line, half = _line(_BatchLine(batch)), len(batch.ids) // 2
    if len(line) <= longest or half == 0:
        yield line
    else:
        yield from _halved(replace(batch, ids=batch.ids[:half], rows=batch.rows[:half]), longest)
        yield from _halved(replace(batch, ids=batch.ids[half:], rows=batch.rows[half:]), longest)


def _line(line: _ActLine | _ChangeLine | _BatchLine) -> bytes:
    extra = getattr(line.fields, "extra", None)
    if not extra:
        return _ENCODER.encode(line) + b"\n"
    word, fields = msgspec.to_builtins(line)
    del fields["extra"]
    return (
        _ENCODER.encode([word, {**fields, **{name: v for name, v in extra.items() if name not in fields}}])
        + b"\n"
    )


def parsed(data: bytes) -> tuple[Fields, dict[str, Any]]:
    """The fields of a line and what else it says. Raises NotMeant."""
    try:
        line = _DECODER.decode(data)
    except msgspec.ValidationError as error:
        raise NotMeant(_in_words(str(error))) from error
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        read_json(data)  # says in words what is wrong
        raise NotMeant(NO_JSON) from error
    if b"\\u0000" not in data and _ENCODER.encode(line) == data:
        return line.fields, {}
    whole = read_json(data)
    if len(whole) != 2:
        raise NotMeant("it holds more than one entry")
    known = type(line.fields).__struct_fields__
    return line.fields, {name: value for name, value in whole[1].items() if name not in known}


def _in_words(error: str) -> str:
    """What a decoder of types finds wrong, in plain words; its messages end with the place, as `$[1].rows[0][3]`."""
    found = _PLACE.search(error)
    name = f"`{found[1]}`" if found else "it"
    if error.startswith("Object missing"):
        return f"{_MISSING.findall(error)[0]} is missing"
    if error.startswith("Invalid value") and found is None:
        return "it is neither an act, nor a change, nor a batch"
    for sign, words in _WORDS:
        if sign in error:
            return f"{name} {words}"
    return f"{name} is not what it should be"
