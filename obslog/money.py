"""Money as it is written: two decimals, and before them the club's currency where the club has named one."""

from collections.abc import Iterable
from math import fsum


def money_text(amount: float, currency: str | None) -> str:
    """`EUR 1,250.50`, or without a currency `1,250.50`."""
    number = f"{amount:,.2f}"
    return f"{currency} {number}" if currency else number


def known_money(amount: float | None, currency: str | None) -> str | None:
    """The same, or None where the amount is not known."""
    return None if amount is None else money_text(amount, currency)


def money_sum(amounts: Iterable[float]) -> float:
    """The sum to the hundredth, without the trace of what binary fractions cannot hold."""
    return round(fsum(amounts), 2)
