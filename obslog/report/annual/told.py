"""The shapes of an annual report in words, and what all its sections say alike."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from obslog.club.annual.report_records import AnnualReport, Money
from obslog.english import counted
from obslog.money import money_text

Cell = str | int | None
_NUMBER = re.compile(r"|(?:\S+ )?[\d,]+\.\d\d|[\d.]+ %")  # nothing, `EUR 1,250.50`, `2.6 %`


@dataclass(frozen=True, slots=True)
class ToldTable:
    """Columns and rows; a cell that is None is not known, an empty one does not apply."""

    columns: Sequence[str]
    rows: Sequence[Sequence[Cell]]

    @property
    def numeric(self) -> list[bool]:
        """Which columns hold numbers, sums of money or percentages alone, as far as they are known."""
        return [_of_numbers([row[n] for row in self.rows]) for n in range(len(self.columns))]


def _of_numbers(cells: Sequence[Cell]) -> bool:
    known = [cell for cell in cells if cell is not None]
    return bool(known) and all(isinstance(cell, int) or _NUMBER.fullmatch(cell) for cell in known)


@dataclass(frozen=True, slots=True)
class ToldSection:
    title: str
    lines: Sequence[str]
    table: ToldTable | None = None


def money_words(sum_of: Money, what: str, currency: str | None) -> str:
    """The sum with the number it comes from; `what` is that of which some are unknown."""
    unknown = f"{counted(sum_of.unknown, what)} unknown" if sum_of.unknown else ""
    if sum_of.total is None:
        return f"unknown ({unknown})"
    return money_text(sum_of.total, currency) + (f" from {sum_of.known}; {unknown}" if unknown else "")


def listed(names: Sequence[str]) -> str:
    """Names at the end of a sentence: a comma is in some of them, and some end with a full stop of their own."""
    told = "; ".join(names)
    return told if told.endswith(".") else f"{told}."


def percent(share: float | None) -> str | None:
    return None if share is None else f"{100 * share:.{0 if share >= 0.1 else 1}f} %"


def amount(value: float | None, currency: str | None) -> str | None:
    return None if value is None else money_text(value, currency)


def with_names(
    report: AnnualReport, columns: list[str], rows: list[list[Cell]], names: Sequence[str | None]
) -> ToldTable:
    """A table with a column of members more, where they are to be named."""
    if not report.with_names:
        return ToldTable(columns, rows)
    return ToldTable([*columns, "member"], [[*row, name] for row, name in zip(rows, names, strict=True)])
