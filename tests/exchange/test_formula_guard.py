"""No cell begins as a formula does, and any text at all comes back as it was."""

import csv
from io import StringIO

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from obslog.exchange.formula_guard import guarded, unguarded

BEGIN_A_FORMULA = "=+-@\t\r\n＝＋－＠"
texts = st.text() | st.builds(
    str.__add__, st.text(alphabet="'" + BEGIN_A_FORMULA, max_size=4), st.text(max_size=5)
)


@given(texts)
@example("")
@example("'")
@example("'=1+1")
@example("''")
@example("'tis clear")
def test_any_text_survives_and_none_begins_as_a_formula_does(text: str) -> None:
    cell = guarded(text)
    assert unguarded(cell) == text
    assert cell != ""
    assert cell[0] not in BEGIN_A_FORMULA


@given(st.lists(texts, min_size=1, max_size=4))
def test_any_text_survives_a_csv_file(row: list[str]) -> None:
    file = StringIO(newline="")
    csv.writer(file).writerow([guarded(text) for text in row])
    file.seek(0)
    (cells,) = csv.reader(file, strict=True)
    assert [unguarded(cell) for cell in cells] == row


@pytest.mark.parametrize(
    ("text", "cell"),
    [
        ("M 31", "M 31"),
        ("-1.5", "'-1.5"),
        ("=HYPERLINK(1)", "'=HYPERLINK(1)"),
        ("'=1", "''=1"),
        ("'tis clear", "'tis clear"),
        ("", "'"),
        ("a=b", "a=b"),
    ],
)
def test_a_text_is_guarded_only_where_it_has_to_be(text: str, cell: str) -> None:
    assert guarded(text) == cell


def test_two_texts_never_become_one_cell() -> None:
    texts = ["", "'", "''", "=", "'=", "''=", "a", "'a"]
    assert len({guarded(text) for text in texts}) == len(texts)
