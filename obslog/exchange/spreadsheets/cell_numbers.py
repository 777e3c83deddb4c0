"""Numbers in cells: with their units, and amounts of money with a sign or the code of a currency."""

import re
from collections.abc import Mapping
from datetime import date

from obslog.exchange.spreadsheets.cell_dates import CellReading
from obslog.exchange.spreadsheets.columns import Column
from obslog.exchange.spreadsheets.grid import BadCell, Cell, cell_text
from obslog.fields import COST, DEPOSIT, VALUE, NumberField

_MONEY = (COST, DEPOSIT, VALUE)
_UNIT = re.compile(r"\s*(?:mm|kgs?|deg|°|days?|mag|bft)$", re.IGNORECASE)
_AMOUNT = re.compile(
    r"(?P<before>[£$€¥]?)\s*(?P<bare>.*\d[.,]?)\s*(?P<behind>[£$€¥]|[a-z]{3})?$", re.IGNORECASE
)
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?$")
_GERMAN_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:\.\d{3})+,\d+$")
_WRITTEN_WITH: Mapping[str, frozenset[str]] = {
    sign: frozenset(codes.split())
    for sign, codes in {
        "€": "EUR",
        "£": "GBP GIP FKP SHP EGP LBP SDG SSP SYP",
        "¥": "JPY CNY",
        "$": "USD AUD CAD NZD SGD HKD TWD BBD BMD BND BSD BZD FJD GYD JMD KYD LRD NAD SBD SRD TTD XCD ARS CLP COP CUP "
        "DOP MXN UYU",
    }.items()
}
"""The currencies, by ISO 4217, that are written with each sign."""


def read_number(column: Column, cell: Cell, reading: CellReading) -> float:
    """The number in a cell. Raises BadCell, OutOfRange."""
    field = column.holds
    assert isinstance(field, NumberField)
    if isinstance(cell, bool | date):
        raise BadCell(f"{cell_text(cell)!r} is not a number.", f"Write it like {column.example or '25'}.")
    number = cell if isinstance(cell, float) else _read(str(cell), column, reading)
    field.check(number, cell)
    if field.whole and not float(number).is_integer():
        raise BadCell(f"{cell!r} is not a whole number.", "Write it without decimals.")
    return int(number) if field.whole else float(number)


def _read(text: str, column: Column, reading: CellReading) -> float:
    bare = _amount(text, reading) if column.holds in _MONEY else _UNIT.sub("", text.strip())
    if _GERMAN_THOUSANDS.match(bare):
        bare = bare.replace(".", "").replace(",", ".")
    elif _THOUSANDS.match(bare):
        bare = bare.replace(",", "")
    else:
        bare = bare.replace(",", ".")
    try:
        if "_" in bare:
            raise ValueError(bare)
        return float(bare)
    except ValueError as error:
        raise BadCell(
            f"{text[:40]!r} is not a number.", f"Write it like {column.example or '25'}."
        ) from error


def _amount(text: str, reading: CellReading) -> str:
    """The amount without its sign or code. Raises BadCell where that is of another currency than the club's."""
    found, ours = _AMOUNT.match(text.strip()), reading.currency
    if found is None:
        return text
    for told in filter(None, (found["before"], found["behind"])):
        if ours is not None and ours not in _WRITTEN_WITH.get(told, {told.upper()}):
            raise BadCell(
                f"{text[:40]!r} is not in {ours}, the club's currency.",
                f"Write the amount in {ours}, without a sign.",
            )
    return found["bare"]
