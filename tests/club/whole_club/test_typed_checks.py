"""What the program would stop at later is refused in a sheet, as where it is typed."""

import pytest

from obslog.club.whole_club.typed_checks import check_of
from obslog.errors import ObslogError


@pytest.mark.parametrize(
    ("table", "column", "right", "wrong"),
    [
        ("sites", "zone", "Europe/London", "Europe/Londen"),
        ("sites", "horizon", "0:5 90:10 180:5", "north: trees"),
        ("contacts", "email", "ines@example.org", "ines at home"),
        ("changes", "record_kind", "Arrival", "Planet"),
        ("changes", "before", '{"name": "Ines"}', "[1]"),
        ("changes", "after", '{"name": "Ines"}', "{"),
        ("changes", "after", "{}", "[" * 100_000),
    ],
)
def test_a_text_is_held_to_more_than_its_length(table: str, column: str, right: str, wrong: str) -> None:
    check = check_of(table, column)
    assert check is not None
    check(right)
    with pytest.raises(ObslogError):
        check(wrong)


def test_most_texts_are_free() -> None:
    assert check_of("sites", "note") is None
