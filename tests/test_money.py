"""Money has two decimals, and the currency that the club has named."""

import pytest

from obslog.money import known_money, money_sum, money_text


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (26.5, None, "26.50"),
        (26.5, "EUR", "EUR 26.50"),
        (0, None, "0.00"),
        (7380, "GBP", "GBP 7,380.00"),
        (0.004, None, "0.00"),
    ],
)
def test_an_amount_has_two_decimals_and_the_currency_before_it(
    amount: float, currency: str | None, text: str
) -> None:
    assert money_text(amount, currency) == text


@pytest.mark.parametrize(
    ("amounts", "total"),
    [([0.1, 0.2], 0.3), ([1575.425, 1575.425], 3150.85), ([1010.2, 0.1, 0.1], 1010.4), ([], 0.0)],
)
def test_a_sum_has_no_more_decimals_than_money_has(amounts: list[float], total: float) -> None:
    assert repr(money_sum(amounts)) == repr(total)


def test_an_amount_that_is_not_known_is_no_text_and_no_nought() -> None:
    assert known_money(None, "EUR") is None
    assert known_money(0.0, "EUR") == "EUR 0.00"
