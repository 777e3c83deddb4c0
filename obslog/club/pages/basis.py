"""What a page rests on: the rows that were used, and those left out with the reason, for its foot."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from obslog.club.annual.report_records import AnnualReport
from obslog.english import counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """So many rows of one kind (`arrival`), `kinds` what several are called, and where they were left out, why."""

    count: int
    kind: str
    why: str = ""
    kinds: str | None = None

    @property
    def words(self) -> str:
        """`3 arrivals`."""
        return counted(self.count, self.kind, self.kinds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """The day on which the records stood so, and their rows; a kind of which there is none is not named."""

    day: date
    used: tuple[Rows, ...]
    left_out: tuple[Rows, ...] = ()


def some(rows: Iterable[Rows]) -> tuple[Rows, ...]:
    """Those of which there are any."""
    return tuple(one for one in rows if one.count)


def store_rows(report: AnnualReport, loans_before: int = 0) -> list[Rows]:
    """What a report of the year rests on beside the nights; `loans_before` are those that it is compared with."""
    return [
        Rows(count=report.loans.begun + loans_before, kind="loan"),
        Rows(count=report.services.services, kind="service"),
        Rows(count=sum(held.things for held in report.holdings), kind="item"),
    ]
