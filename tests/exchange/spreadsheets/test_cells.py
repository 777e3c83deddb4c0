"""What a cell says, in the ways people write it; what cannot be meant is refused and never guessed."""

from contextlib import suppress
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from obslog.exchange.spreadsheets.cell_dates import CellReading, DateOrder
from obslog.exchange.spreadsheets.cells import cell_value, is_blank
from obslog.exchange.spreadsheets.columns import Column, kinds
from obslog.exchange.spreadsheets.grid import BadCell

TODAY = date(2026, 11, 28)
COLUMNS = {f"{kind.name}.{column.name}": column for kind in kinds().values() for column in kind.columns}


def value(column: str, cell: Any, order: DateOrder | None = None, currency: str | None = None) -> Any:
    return cell_value(COLUMNS[column], cell, CellReading(TODAY, order, currency))


@pytest.mark.parametrize("cell", [None, "", "  ", "-", "n/a", "N/A", "?", "unknown", "TBC"])
def test_a_blank_says_nothing(cell: Any) -> None:
    assert is_blank(cell)
    assert value("items.value", cell) is None


@pytest.mark.parametrize(
    ("cell", "number"),
    [
        ("890", 890),
        ("£890.00", 890),
        ("45,50 €", 45.5),
        ("1,200", 1200),
        ("1.234,50", 1234.5),
        ("1,234,567.89", 1234567.89),
        ("0,125", 0.125),
        ("1.200", 1.2),
        ("$ 12", 12),
        ("12 GBP", 12),
        (14.0, 14),
    ],
)
def test_money_is_read_with_its_signs(cell: Any, number: float) -> None:
    assert value("items.value", cell) == pytest.approx(number)


@pytest.mark.parametrize(
    ("cell", "currency"),
    [("45,50 €", "EUR"), ("£45.50", "GBP"), ("45.50 gbp", "GBP"), ("$45.50", "AUD"), ("45.50", "CHF")],
)
def test_money_in_the_currency_of_the_club_is_read(cell: str, currency: str) -> None:
    for column in ("items.value", "items.cost", "services.cost", "loans.deposit"):
        assert value(column, cell, currency=currency) == 45.5


@pytest.mark.parametrize(
    ("cell", "currency"),
    [("45,50 €", "GBP"), ("£45.50", "EUR"), ("45.50 EUR", "GBP"), ("$ 45.50", "GBP"), ("¥45", "USD")],
)
def test_money_of_another_currency_is_not_taken_for_the_club_s(cell: str, currency: str) -> None:
    for column in ("items.value", "items.cost", "services.cost", "loans.deposit"):
        with pytest.raises(BadCell) as refused:
            value(column, cell, currency=currency)
        assert refused.value.message == f"{cell!r} is not in {currency}, the club's currency."
        assert refused.value.hint == f"Write the amount in {currency}, without a sign."


@pytest.mark.parametrize("cell", ["later", "ask", "€", "about 30"])
def test_what_has_no_amount_is_of_no_other_currency(cell: str) -> None:
    with pytest.raises(BadCell, match="not a number"):
        value("items.value", cell, currency="GBP")


@pytest.mark.parametrize(("column", "cell"), [("items.aperture_mm", "10 ins"), ("kits.weight_kg", "12 lbs")])
def test_another_unit_is_no_unit_of_the_column(column: str, cell: str) -> None:
    with pytest.raises(BadCell, match="not a number"):
        value(column, cell)


@pytest.mark.parametrize(("cell", "number"), [("25mm", 25), ("25 mm", 25), ("1000", 1000), (1000.0, 1000)])
def test_a_length_is_read_with_its_unit(cell: Any, number: float) -> None:
    assert value("items.focal_mm", cell) == number


@pytest.mark.parametrize(
    "cell", ["about 30", "10 inches", "f/5", "1_000", "12-14", True, date(2026, 1, 1), "1e999"]
)
def test_what_is_no_number_is_refused(cell: Any) -> None:
    with pytest.raises(BadCell):
        value("items.focal_mm", cell)


def test_a_number_outside_its_range_is_refused_with_the_range() -> None:
    with pytest.raises(BadCell, match="not between 1 and 3660 days"):
        value("kits.loan_days", "0")
    with pytest.raises(BadCell, match="not a whole number"):
        value("kits.loan_days", 7.5)


@pytest.mark.parametrize(
    ("column", "cell", "word"),
    [
        ("items.mount_type", "GEM", "german"),
        ("items.mount_type", " Fork ", "fork"),
        ("items.acquired", "Donation", "gift"),
        ("loans.condition", " a bit  scuffed", "a bit scuffed"),
        ("services.mechanical", "Yes", True),
        ("services.mechanical", "n", False),
        ("services.mechanical", True, True),
        ("kits.parts", "Heron; Wide 25;\ndust  cap;", ("Heron", "Wide 25", "dust cap")),
        ("items.tag", 14.0, "14"),
        ("items.serial", "=HYPERLINK(1)", "=HYPERLINK(1)"),
    ],
)
def test_words_names_and_tags(column: str, cell: Any, word: Any) -> None:
    assert value(column, cell) == word


@pytest.mark.parametrize(
    ("column", "cell"), [("items.acquired", "found"), ("services.mechanical", "perhaps")]
)
def test_another_word_is_refused_with_the_words_that_are_known(column: str, cell: str) -> None:
    with pytest.raises(BadCell) as refused:
        value(column, cell)
    assert refused.value.hint.startswith("Write ")


@given(
    st.sampled_from(sorted(COLUMNS)), st.one_of(st.text(), st.floats(), st.booleans(), st.dates(), st.none())
)
def test_no_cell_whatever_breaks_a_reading(column: str, cell: Any) -> None:
    held: Column = COLUMNS[column]
    with suppress(BadCell):
        cell_value(held, cell, CellReading(TODAY))
