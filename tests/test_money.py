"""Money has two decimals, and the currency that the club has named."""

import pytest

from obslog.money import money_text


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
