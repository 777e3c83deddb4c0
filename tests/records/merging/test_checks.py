"""Values from elsewhere are held to what may be typed; whatever is refused is named with its record and reason."""

from typing import Any

import pytest

from obslog.records.merging.checks import ValueRefused, check_records, defaults, kind_words
from obslog.records.merging.kinds import kinds

KEY = "019c9d7a-0000-7000-8000-000000abc123"
OTHER = "019c9d7a-0000-7000-8000-000000abc124"
ARRIVAL: dict[str, Any] = {
    "id": KEY, "setup_id": OTHER, "at_utc": "2026-03-02T20:00:00.000000Z", "role": "check", "target": "Vega",
}  # fmt: skip


def check_image(kind: str, image: dict[str, Any]) -> None:
    """Check the image of one record."""
    check_records(kinds()[kind], tuple(image), [KEY], [tuple(image.values())])


def test_what_may_be_typed_passes() -> None:
    check_image("Arrival", {**ARRIVAL, "ra_hours": 18.6, "dec_deg": 38, "note": "low\n\tthen high"})


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("ra_hours", 24.1), ("ra_hours", float("nan")), ("ra_hours", float("inf")), ("ra_hours", "18"),
        ("sheet_line", 10**30),
        ("ra_hours", True), ("dec_deg", -90.001), ("target", ""), ("target", "x" * 201), ("target", "a\x00b"),
        ("target", "\u202egeV"), ("role", "look"), ("setup_id", "no key"), ("setup_id", OTHER.upper()),
        ("setup_id", None), ("id", OTHER), ("at_utc", "2026-03-02T20:00:00Z"), ("at_utc", "yesterday"), ("at_utc", 5),
        ("note", ["a"]), ("sheet_line", 1.5),
    ],
)  # fmt: skip
def test_what_nobody_could_have_typed_is_refused_by_name(column: str, value: object) -> None:
    with pytest.raises(ValueRefused) as refused:
        check_image("Arrival", {**ARRIVAL, column: value})
    assert refused.value.message.startswith("Arrival abc123 cannot be: ")
    assert column.replace("_", " ") in refused.value.message
    assert refused.value.exit_code == 2


def test_one_wrong_value_among_many_is_found() -> None:
    good = [[KEY, "Anna"] for _ in range(500)]
    with pytest.raises(ValueRefused, match="abc124"):
        check_records(kinds()["Member"], ["id", "name"], [*[KEY] * 500, OTHER], [*good, [OTHER, "\x07"]])


def test_a_column_that_has_to_be_there_is_missed() -> None:
    with pytest.raises(ValueRefused, match="target None is not given"):
        check_image("Arrival", {name: v for name, v in ARRIVAL.items() if name != "target"})


def test_columns_of_a_newer_program_pass_and_those_of_an_older_are_filled() -> None:
    check_image("Member", {"id": KEY, "name": "Anna", "pronoun": ["she"]})
    assert defaults(kinds()["Item"])["sort"] == "accessory"
    assert defaults(kinds()["Mount"])["refraction"] == 0


def test_an_item_is_of_the_kind_that_its_record_is() -> None:
    with pytest.raises(ValueRefused, match="kind 'mount'"):
        check_image("Tube", {"id": KEY, "name": "Long", "kind": "mount"})


def test_kinds_are_said_in_words() -> None:
    assert kind_words("SkyReading") == "Sky reading"
