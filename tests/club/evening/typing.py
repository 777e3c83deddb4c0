"""Lines typed into a club's evening, and what is on record afterwards."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import text

from obslog.club.evening.acts import take_line
from obslog.club.evening.asked import Answer, PromptSettings
from obslog.records.database import Database

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
BEGUN = ("night start mill with ines", "20:10 setup start heron, long tube, wide 25, ines")


class Typing:
    """Types lines one after the other, with what the lines before have set."""

    def __init__(self, database: Database, now: datetime = NOW) -> None:
        self.database, self.now, self.settings = database, now, PromptSettings()

    def __call__(self, typed: str, **how: Any) -> Answer:
        answer = take_line(self.database, typed, self.settings, self.now, **how)
        self.settings = answer.settings
        return answer

    def begun(self) -> "Typing":
        for line in BEGUN:
            self(line)
        return self

    def rows(self, query: str) -> list[tuple[Any, ...]]:
        with self.database.read() as session:
            return [tuple(row) for row in session.execute(text(query))]

    def arrivals(self) -> list[tuple[Any, ...]]:
        """Role, target, offsets, landing, side of the pier and field of all arrivals, in the order of typing."""
        return self.rows(
            "SELECT role, target, offset_east_arcmin, offset_north_arcmin, landing, pier_side FROM arrivals ORDER BY id"
        )
