"""Questions at the prompt: what takes a line, what drops it, and what is a line of its own."""

import io
from datetime import UTC, datetime

import pytest

from obslog.cli.prompt.conversation import COUNTING, PROMPT, SURE, WHICH, Conversation
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.asked import PromptSettings
from obslog.club.shelves.counting import saw
from obslog.club.shelves.standing import standing
from obslog.records.database import Database
from obslog.records.tables.schema import metadata
from tests.written_once import Rows, put_rows

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
LATER = datetime(2026, 3, 2, 21, 45, tzinfo=UTC)


class Talk:
    def __init__(self, database: Database) -> None:
        self.out, self.err = io.StringIO(), io.StringIO()
        self.kept: list[PromptSettings] = []
        self.talk = Conversation(
            database=database,
            screen=Screen(self.out, self.err),
            settings=PromptSettings(),
            keep=self.kept.append,
        )
        for line in ("night start mill", "20:10 setup start heron"):
            self.says(line)

    def says(self, typed: str, now: datetime = NOW) -> str:
        self.out.truncate(0)
        self.err.truncate(0)
        assert self.talk.hear(typed, now)
        return self.out.getvalue() + self.err.getvalue()

    def targets(self) -> list[tuple[str, str]]:
        arrivals = metadata.tables["arrivals"]
        with self.talk.database.engine.connect() as connection:
            rows = connection.execute(arrivals.select().order_by(arrivals.c.id)).all()
        return [(row.target, f"{row.at_utc:%H:%M}") for row in rows]


@pytest.fixture
def talk(sqlite_database: Database, club_rows: Rows) -> Talk:
    put_rows(sqlite_database.engine, club_rows)
    return Talk(sqlite_database)


@pytest.mark.parametrize("yes", ["yes", "y", "!", " YES "])
def test_yes_takes_what_was_doubtful_at_the_time_when_it_was_typed(talk: Talk, yes: str) -> None:
    assert "below the horizon" in talk.says("g canopus edge")
    assert talk.talk.prompt == SURE
    assert talk.targets() == []
    talk.says(yes, LATER)
    assert talk.targets() == [("Canopus", "21:40")]
    assert talk.talk.prompt == PROMPT


@pytest.mark.parametrize("no", ["", "  ", "no"])
def test_blank_drops_it(talk: Talk, no: str) -> None:
    talk.says("g canopus edge")
    assert "Nothing was kept" in talk.says(no)
    assert talk.targets() == []
    assert talk.talk.prompt == PROMPT


def test_a_name_is_chosen_by_its_number(talk: Talk) -> None:
    assert "1  Regulus" in talk.says("sy reguls 3E")
    assert talk.talk.prompt == WHICH
    talk.says("1", LATER)
    assert talk.targets() == [("Regulus", "21:40")]


@pytest.mark.parametrize("words", ["as written", "as", "!"])
def test_a_name_is_kept_as_written(talk: Talk, words: str) -> None:
    talk.says("g grandpa's lamp edge")
    talk.says(words)
    assert talk.targets() == [("grandpa's lamp", "21:40")]


def test_another_line_in_answer_is_done_and_the_first_dropped(talk: Talk) -> None:
    talk.says("sy reguls 3E")
    assert "Not kept: sy reguls 3E" in talk.says("sy regulus 4E", LATER)
    assert talk.targets() == [("Regulus", "21:45")]
    assert talk.talk.prompt == PROMPT
    talk.says("goto antares")  # below the horizon
    assert "Not kept: goto antares" in talk.says("note nearly all frozen")
    assert "No line begins with '7'" in (talk.says("sy reguls") and talk.says("7"))


def test_a_chosen_star_that_is_doubtful_is_asked_about_next(talk: Talk) -> None:
    talk.says("sy canopuss")
    assert "below the horizon" in talk.says("1")
    talk.says("yes")
    assert talk.targets() == [("Canopus", "21:40")]


def test_what_is_looked_for_in_the_sky_cannot_be_kept_as_written(talk: Talk) -> None:
    told = talk.says("where reguls")
    assert "1  Regulus" in told
    assert "as written" not in told
    assert "Regulus at 21:40: " in talk.says("1")


def test_an_unexpected_fault_ends_no_evening(talk: Talk, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("division by zero")

    with monkeypatch.context() as patched:
        patched.setattr("obslog.cli.prompt.conversation.take_line", broken)
        assert "Something unexpected happened: ZeroDivisionError" in talk.says("sy regulus")
    talk.says("sy regulus")
    assert talk.targets() == [("Regulus", "21:40")]


def test_settings_are_kept_before_an_answer_is_shown(talk: Talk) -> None:
    talk.says("quiet on")
    assert talk.kept[-1].quiet


def test_quit_ends_it(talk: Talk) -> None:
    assert not talk.talk.hear("quit", NOW)


def test_finishing_a_stocktake_is_asked_about_and_the_prompt_says_that_tags_are_typed(talk: Talk) -> None:
    talk.says("stocktake start")
    assert talk.talk.prompt == COUNTING
    talk.says("wide 25")
    asked = talk.says("stocktake finish")
    assert "To finish: 1 of 7 items seen." in asked
    assert talk.talk.prompt == SURE
    assert "Nothing was kept" in talk.says("no")
    talk.says("stocktake finish")
    assert "Finished: stocktake from 2026-03-02, 1 of 7 items seen." in talk.says("yes")
    assert talk.talk.prompt == PROMPT


def test_yes_finishes_a_stocktake_only_as_it_was_asked_about(talk: Talk) -> None:
    for line in ("stocktake start", "wide 25", "stocktake finish"):
        talk.says(line)
    saw(talk.talk.database, "Heron", NOW)  # by somebody else who counts
    refused = talk.says("yes")
    assert "Something was recorded while you looked" in refused
    assert "Nothing was changed. Look again: stocktake finish" in refused
    assert standing(talk.talk.database).finished_on is None
    assert "To finish: 2 of 7 items seen." in talk.says("stocktake finish")
    assert "2 of 7 items seen." in talk.says("yes")
    assert standing(talk.talk.database, NOW.date()).finished_on == NOW.date()
