"""A line of JSON is an entry and nothing else; what is not known in it is handed on."""

import json
from typing import Any

import pytest
from hypothesis import given
from msgspec.structs import replace

from obslog.exchange.bundles.entries import Entry
from obslog.exchange.bundles.lines import parsed, written
from obslog.exchange.bundles.strict_json import NotMeant
from tests.exchange.bundles import strategies
from tests.exchange.bundles.arrivals import arrival_rows, arrivals_batch
from tests.exchange.bundles.made import ACT, BATCH, CHANGE, key

PLENTY = 10**6


def line(entry: Entry) -> bytes:
    (only,) = written(entry, PLENTY)
    return only.removesuffix(b"\n")


@given(strategies.ENTRIES)
def test_an_entry_is_read_as_it_was_written(entry: Entry) -> None:
    fields, extra = parsed(line(entry))
    assert {name: getattr(fields, name) for name in type(fields).__struct_fields__} | {"extra": extra} == {
        name: getattr(entry, name) for name in entry.__struct_fields__
    }


@given(strategies.ENTRIES)
def test_a_line_written_with_other_spaces_and_order_says_the_same(entry: Entry) -> None:
    word, fields = json.loads(line(entry))
    other = json.dumps([word, dict(reversed(fields.items()))], indent=1).replace("\n", " ").encode()
    assert parsed(other) == parsed(line(entry))


def test_a_line_is_what_was_agreed() -> None:
    assert json.loads(line(ACT)) == [
        "act",
        {
            "id": ACT.id,
            "at_utc": "2026-11-29T01:00:00Z",
            "sentence": "added the mount 'Old Faithful'",
            "who": "Ann",
            "origin": ACT.origin,
        },
    ]
    word, change = json.loads(line(replace(CHANGE, before=None, withheld=("worth",))))
    assert (word, change["after"], change["withheld"]) == ("change", CHANGE.after, ["worth"])
    assert "before" not in change
    word, batch = json.loads(line(BATCH))
    assert (word, batch["columns"], batch["ids"]) == ("batch", list(BATCH.columns), BATCH.ids)
    assert batch["rows"] == [[key(5), "Vega", 3.25], [key(6), "Deneb", None]]


def test_a_long_batch_is_cut_into_lines_of_a_thousand() -> None:
    rows = arrival_rows(2500)
    lengths = [len(json.loads(one)[1]["ids"]) for one in written(arrivals_batch(rows), PLENTY)]
    assert lengths == [1000, 1000, 500]


def test_lines_that_grow_too_long_are_halved_and_nothing_is_lost() -> None:
    rows = arrival_rows(100)
    lines = list(written(arrivals_batch(rows), 4000))
    assert all(len(one) <= 4000 for one in lines)
    assert [row for one in lines for row in json.loads(one)[1]["rows"]] == rows
    assert {json.loads(one)[1]["id"] for one in lines} == {key(4)}


def test_a_record_that_is_too_long_alone_stays_whole() -> None:
    assert len(list(written(BATCH, 10))) == 2


def test_rows_are_put_in_the_order_of_their_keys() -> None:
    upside_down = replace(BATCH, ids=BATCH.ids[::-1], rows=BATCH.rows[::-1])
    assert line(upside_down) == line(BATCH)


def changed(entry: Entry, **fields: Any) -> bytes:
    word, known = json.loads(line(entry))
    return json.dumps([word, {name: v for name, v in {**known, **fields}.items() if v != ...}]).encode()


@pytest.mark.parametrize(
    ("data", "what"),
    [
        (b"", "it is not JSON"),
        (b"[", "it is not JSON"),
        (b"3", "it is not what it should be"),
        (b"{}", "it has an object where a value belongs"),
        (b"[]", "it is not what it should be"),
        (b'["act"]', "it is not what it should be"),
        (b'["act",[]]', "it has a list where a value belongs"),
        (b'["drop",{}]', "it is neither an act, nor a change, nor a batch"),
        (b"[5,{}]", "it is not what it should be"),
        (line(ACT)[:-1] + b",{}]", "it holds more than one entry"),
        (line(ACT).replace(b'"who":', b'"id":"x","who":'), "it says the same name twice"),
        (line(CHANGE).replace(b'"worth":', b'"name":"x","worth":', 1), "it says the same name twice"),
        (line(CHANGE).replace(b"120.5", b"NaN"), "it has a number that is none"),
        (line(CHANGE).replace(b"120.5", b"-Infinity"), "it has a number that is none"),
        (line(CHANGE).replace(b"120.5", b"1e999"), "`before` has a number that is too large"),
        (line(CHANGE).replace(b"120.5", b"9" * 40), "`before` has a number that is too large"),
        (line(CHANGE).replace(b"120.5", b"9" * 40_000), "`before` has a number that is too large"),
        (line(CHANGE).replace(b"120.5", b"-9223372036854775809"), "`before` has a number that is too large"),
        (line(BATCH).replace(b"3.25", b"9223372036854775808"), "`rows` has a number that is too large"),
        (line(BATCH).replace(b"3.25", b"[3]"), "`rows` has a list where a value belongs"),
        (line(CHANGE).replace(b"120.5", b'{"a":1}'), "`before` has an object where a value belongs"),
        (line(ACT).replace(b"Ann", b"\\ud800"), "it has half of a character in a text"),
        (line(ACT).replace(b"Ann", b"\xff"), "its text is not in UTF-8"),
        (line(ACT).replace(b"Ann", b"A\\u0000"), "it has a null character in a text"),
        (line(CHANGE).replace(b"Faithful", b"A\\u0000"), "it has a null character in a text"),
        (changed(ACT, later="\0"), "it has a null character in a text"),
        (changed(ACT, later=[[[[[1]]]]]), "it is nested more than 6 deep"),
        (line(ACT).replace(b'"Ann"', b"[" * 10_000 + b"]" * 10_000), "`who` has a list where a value belongs"),
        (line(ACT)[:-2] + b',"z":' + b"[" * 10_000 + b"]" * 10_000 + b"}]", "it is nested more than 6 deep"),
        (line(ACT)[:-2] + b',"z":1e999}]', "it has a number that is too large"),
        (line(ACT)[:-2] + b',"z":' + b"9" * 5000 + b"}]", "it has a number that is too large"),
        (line(ACT)[:-2] + b',"z":"\xff"}]', "its text is not in UTF-8"),
        (changed(ACT, sentence=...), "`sentence` is missing"),
        (changed(ACT, sentence=5), "`sentence` is not what it should be"),
        (changed(ACT, at_utc="yesterday"), "`at_utc` is not a time with its zone"),
        (changed(ACT, at_utc="2026-11-29T01:00:00"), "`at_utc` is not a time with its zone"),
        (changed(ACT, at_utc="2026-13-29T01:00:00Z"), "`at_utc` is not a time with its zone"),
        (changed(CHANGE, after={"note": "x" * 100_001}), "`after` has a text of more than 100,000 characters"),
        (changed(BATCH, what="edited"), "`what` is not what it should be"),
        (changed(BATCH, rows=...), "`rows` is missing"),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_meant_says_why(data: bytes, what: str) -> None:
    with pytest.raises(NotMeant) as told:
        parsed(data)
    assert told.value.what == what


def test_the_deepest_that_is_taken_is_handed_on() -> None:
    assert parsed(changed(ACT, later=[[[[1]]]]))[1] == {"later": [[[[1]]]]}


def test_a_text_that_only_speaks_of_a_null_character_is_taken() -> None:
    told = replace(CHANGE, after={"note": r"it said \u0000"})
    assert parsed(line(told))[0].after == {"note": r"it said \u0000"}  # type: ignore[union-attr]
