"""Sheets of text for the tests, brought in as a person would."""

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest

from obslog.club.bring_in.bring_in import TakenIn, bring_in
from obslog.club.bring_in.give_out import sheet_rows
from obslog.exchange.arrivals_rows import SheetRefused
from obslog.records.database import Database

NOW = datetime.fromisoformat("2026-03-02T21:40:00+00:00")


class Desk:
    """A database, a folder with sheets, and the clock."""

    def __init__(self, database: Database, folder: Path) -> None:
        self.database, self.folder = database, folder

    def take(self, kind: str, *lines: str, look: bool = False, now: datetime = NOW) -> TakenIn:
        path = self.folder / f"{kind}.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return bring_in(self.database, kind, path, now, look=look)

    def outcomes(self, kind: str, *lines: str, look: bool = False) -> list[tuple[int, str, str]]:
        return [(r.line, str(r.outcome), r.words) for r in self.take(kind, *lines, look=look).rows]

    def faults(self, kind: str, *lines: str) -> list[str]:
        """The faults for which the sheet is refused, each with its row and column; nothing was taken."""
        before = self.everything()
        with pytest.raises(SheetRefused) as refused:
            self.take(kind, *lines)
        assert self.everything() == before
        return [f"{fault.line} {fault.column}: {fault.reason}" for fault in refused.value.faults]

    def rows(self, kind: str) -> list[dict[str, Any]]:
        """What is on record, by the sheet's columns, without what is unknown."""
        return [
            {column: value for column, value in row.items() if value is not None}
            for row in sheet_rows(self.database, kind, officer=True)
        ]

    def row(self, kind: str, name: str) -> dict[str, Any]:
        (found,) = [row for row in self.rows(kind) if row["name"] == name]
        return found

    def everything(self) -> Sequence[Any]:
        return [self.rows(kind) for kind in ("members", "items", "kits", "loans", "services", "observations")]


def day(text: str) -> date:
    return date.fromisoformat(text)
