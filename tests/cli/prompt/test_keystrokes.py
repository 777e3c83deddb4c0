"""How few keys a line takes, Enter counted: each line is as short as was promised, and does what it is for."""

import io
from datetime import UTC, datetime

import pytest

from obslog.cli.prompt.conversation import PROMPT, Conversation
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.asked import PromptSettings
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from tests.written_once import Rows, put_rows

# Capella stands west of the meridian then, so that a German mount's tube is on the east side of the pier.
NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
BEGUN = ("night start mill with ines", "20:10 setup start heron, long tube, wide 25, ines")
ENTER = 1


class Talk:
    """The prompt of the small club, where a night and a set-up are open."""

    def __init__(self, database: Database) -> None:
        self.told = io.StringIO()
        self.talk = Conversation(
            database=database,
            screen=Screen(self.told, self.told),
            settings=PromptSettings(),
            keep=lambda _: None,
        )

    def says(self, line: str) -> str:
        """What is said to a line that is neither refused nor asked about."""
        self.told.seek(0)
        self.told.truncate()
        assert self.talk.hear(line, NOW)
        assert self.talk.prompt == PROMPT
        return self.told.getvalue()

    def newest(self, table: str) -> dict[str, object]:
        with self.talk.database.engine.connect() as connection:
            found = metadata.tables[table]
            rows = connection.execute(found.select().order_by(found.c.id.desc())).mappings().all()
        return dict(rows[0]) if rows else {}


@pytest.fixture
def talk(sqlite_database: Database, club_rows: Rows) -> Talk:
    put_rows(sqlite_database.engine, club_rows)
    talk = Talk(sqlite_database)
    for line in BEGUN:
        talk.says(line)
    return talk


@pytest.mark.parametrize(
    ("line", "most", "table", "record"),
    [
        (
            "sy vega 3E2Npe", 15, "arrivals",
            {
                "role": "sync", "target": "Vega", "offset_east_arcmin": 3.0, "offset_north_arcmin": 2.0,
                "pier_side": "east",
            },
        ),
        (
            "ch spica 3W", 12, "arrivals",
            {"role": "check", "target": "Spica", "offset_east_arcmin": -3.0, "offset_north_arcmin": 0.0},
        ),
        ("g m81 in", 10, "arrivals", {"role": "goto", "target": "M 81", "landing": "in"}),
        ("g m81 3E", 10, "arrivals", {"role": "goto", "target": "M 81", "offset_east_arcmin": 3.0}),
        ("sa m81; oval glow", 18, "observations", {"target": "M 81", "sighting": "seen", "description": "oval glow"}),
        ("ti power 12.6 12.1", 25, "ticks", {"step": "power", "value": "12.6 12.1"}),
    ],
)  # fmt: skip
def test_a_line_as_short_as_promised_records_all_that_it_says(
    talk: Talk, line: str, most: int, table: str, record: dict[str, object]
) -> None:
    assert len(line) + ENTER <= most
    talk.says(line)
    newest = talk.newest(table)
    assert {column: newest[column] for column in record} == record


def test_undo_takes_two_keys(talk: Talk) -> None:
    talk.says("g m81 edge")
    assert len("u") + ENTER <= 4
    assert "Undone: goto M 81" in talk.says("u")
    assert talk.newest("arrivals") == {}


@pytest.mark.parametrize(("line", "most", "told"), [("pole", 10, "Polaris at"), ("br", 10, "Mill Field")])
def test_what_only_shows_is_as_short(talk: Talk, line: str, most: int, told: str) -> None:
    assert len(line) + ENTER <= most
    assert talk.says(line).count(told) >= 1
