"""What a page rests on: the rows that were used, and those left out with the reason, for its foot."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

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
