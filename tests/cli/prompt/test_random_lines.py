"""Thousands of random lines at the prompt: none ends in a fault, and of what was refused nothing is on record.

Lines are put together of what belongs into one and of what does not; questions get answers as random as the rest.
"""

import io
import random
import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from obslog.cli.prompt.conversation import Conversation
from obslog.cli.terminal.screen import Screen
from obslog.club.evening import acts
from obslog.club.evening.asked import Answer, PromptSettings
from obslog.club.evening.said_at_once import SaidAtOnce
from obslog.club.evening.verbs import VERBS
from obslog.records.database import Database
from tests.written_once import Rows, put_rows

LINES, SEED = 2000, 20261128
BEGUN = ("night start mill with ines", "20:10 setup start heron, long tube, wide 25, ines")
DUSK, APART = datetime(2026, 3, 2, 20, 30, tzinfo=UTC), timedelta(seconds=5)
SELDOM = ("brief", "checklist", "targets", "when", "next", "pole", "night", "setup", "quit")
"""They take longest, or change what all others are about."""
TARGETS = (
    "regulus",
    "procyon",
    "m31",
    "M 81",
    "ngc 663",
    "α Leo",
    "canopus",
    "reguls",
    "sun",
    "12h30m",
    "+45",
    "heron",
)
PLACES = (
    "3E2N", "3E", "2,5W", "1°S", "E3", "0.4f", "centred", "in", "edge", "lost", "4s", "@16x", "pw", "pe", "pier",
    "west", "field", "42", "-7", "1e999", "nan", "3EE", '30"E', "30arcsec",
)  # fmt: skip
WORDS = (
    "with", "ines", "tomasz", "mill", "wide", "long", "power", "key", "level", "12.6", "sqm", "20.9", "antoniadi",
    "remove", "saw", "start", "end", "on", "off", "wrong", "averted", "suspected", "rating", "4", "40x", "not", "seen",
)  # fmt: skip
SIGNS = (
    ";", "; dim", "!", '"', '""', "'", "\\", "\x00", "\u202e", "é" * 40, "9" * 400, "%s", "{}", "#", "--sure", "\ud800",
    "٣E", "½", "", " ",
)  # fmt: skip
TIMES = ("21:05", "2105", "25:61", "0:00z", "21.05", "3")
ANSWERS = ("", "yes", "no", "1", "2", "99", "as written", "!")


def random_line(rng: random.Random) -> str:
    verb = rng.choice(SELDOM) if rng.random() < 0.01 else rng.choice([v for v in VERBS if v not in SELDOM])
    verb = verb[: rng.randint(1, len(verb))] if rng.random() < 0.4 else verb
    time = [rng.choice(TIMES)] if rng.random() < 0.15 else []
    target = [rng.choice(TARGETS)] if rng.random() < 0.7 else []
    more = rng.choices((*PLACES, *PLACES, *WORDS, *SIGNS), k=rng.choice((0, 0, 1, 1, 2, 3, 6)))
    words = [*time, verb, *target, *more]
    if rng.random() < 0.05:
        rng.shuffle(words)
    return " ".join(words)


class NowAndThen(SaidAtOnce):
    """Says something behind every twentieth line, for that is what takes longest."""

    heard = 0

    def after(self, database: Database, answer: Answer, now: datetime):  # type: ignore[no-untyped-def]
        self.heard += 1
        return [] if self.heard % 20 else SaidAtOnce.after(self, database, answer, now)


class Records:
    """All that is on record, but for results that can be computed again; read only where something was written."""

    def __init__(self, path: str) -> None:
        self.file = sqlite3.connect(path)
        self.version, self.rows = self._version(), self._all()

    def _version(self) -> int:
        return int(self.file.execute("PRAGMA data_version").fetchone()[0])

    def _all(self) -> dict[str, list[tuple[object, ...]]]:
        tables = [
            name
            for (name,) in self.file.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
            if name not in ("kept_results", "mount_changes")
        ]
        return {name: self.file.execute(f"SELECT * FROM {name}").fetchall() for name in tables}

    def changed(self) -> bool:
        """Whether anything is otherwise than when this was last asked."""
        if self._version() == self.version:
            return False
        before, self.version, self.rows = self.rows, self._version(), self._all()
        return before != self.rows


def hear_random_lines(
    database: Database, count: int, seed: int, monkeypatch: pytest.MonkeyPatch
) -> list[bool]:
    """Whether each line was done; fails where one ends in a fault, or was refused and left something on record."""
    done: list[bool] = []

    def watched(*given: object, **how: object) -> Answer:
        done.append(False)
        answer = acts.take_line(*given, **how)  # type: ignore[arg-type]
        done[-1] = True
        return answer

    monkeypatch.setattr("obslog.cli.prompt.conversation.take_line", watched)
    monkeypatch.setenv("OBSLOG_DEBUG", "1")  # a fault is raised, not told
    told = io.StringIO()
    talk = Conversation(
        database=database, screen=Screen(told, told), settings=PromptSettings(), keep=lambda _: None, said=NowAndThen()
    )  # fmt: skip
    rng, now = random.Random(seed), DUSK
    for line in BEGUN:
        talk.hear(line, now)
    records = Records(database.where)
    with closing(records.file):
        for _ in range(count):
            line = rng.choice(ANSWERS) if talk.waiting and rng.random() < 0.6 else random_line(rng)
            settings, lines = talk.settings, len(done)
            told.seek(0)
            told.truncate()
            try:
                talk.hear(line, now)
            except Exception as error:
                raise AssertionError(f"{line!r} ended in a fault") from error
            changed = records.changed()
            if not any(done[lines:]):
                assert not changed, f"{line!r} was refused, and changed something"
                assert talk.settings == settings, line
                assert line.strip() == "" or told.getvalue(), f"{line!r} was not answered"
            now += APART
    return done


def test_of_thousands_of_random_lines_none_fails_and_none_that_was_refused_is_kept(
    sqlite_database: Database, club_rows: Rows, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_rows(sqlite_database.engine, club_rows)
    done = hear_random_lines(sqlite_database, LINES, SEED, monkeypatch)
    assert LINES * 0.1 < sum(done) < LINES * 0.9, "else the lines say nothing"
