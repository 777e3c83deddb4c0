"""What every command is handed: the screen, the clock, and the way to the database."""

import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen
from obslog.settings import (
    Person,
    UnreadableSettings,
    database_target,
    default_database_path,
    origin_here,
    person_here,
)

if TYPE_CHECKING:
    import typer

    from obslog.records.database import Database
    from obslog.records.history.author import Author

LONGEST_WHO = 200  # characters, as the column has it
Clock = Callable[[], datetime]


@dataclass(slots=True, kw_only=True)
class State:
    """Handed from the program's entry to each command; tests hand in their own clock and environment."""

    clock: Clock
    environment: Mapping[str, str]
    screen: Screen
    database_option: str | None = None
    pause: Callable[[float], None] = time.sleep
    taken: list[str] = field(default_factory=list)
    """What was taken though nobody named it, to be said back when the command has done its work."""

    @property
    def target(self) -> str:
        return database_target(self.database_option, self.environment)

    @property
    def own_place(self) -> bool:
        """Whether the database is the one in the person's own data folder, which is made when it is needed."""
        return self.target == str(default_database_path())

    def now(self) -> datetime:
        """The time now, to the second: nobody in the dark knows it better."""
        return self.clock().replace(microsecond=0)

    def say_what_was_taken(self) -> None:
        """Say it on standard error; what went wrong before is told alone, in its two lines."""
        for words in self.taken:
            self.screen.note(words)
        self.taken.clear()

    def me(self) -> Person | None:
        """Who types here; None where nobody has said. Raises UnreadableSettings."""
        return person_here(self.environment)

    def author(self) -> "Author":
        """Who writes; settings that cannot be read hinder nobody from writing."""
        from obslog.records.history.author import Author

        try:
            me = self.me()
        except UnreadableSettings:
            me = None
        return Author(me.name[:LONGEST_WHO] if me else None, origin_here(self.environment))

    @contextmanager
    def database(self) -> "Iterator[Database]":
        """The database of this command, opened and closed again; made on first use."""
        from obslog.records.opening import open_database

        shared = bool(self.environment.get("OBSLOG_SHARED", "").strip())
        database = open_database(
            self.target,
            self.now(),
            self.screen.note,
            make_folder=self.own_place,
            shared=shared,
            author=self.author,
        )
        try:
            yield database
        finally:
            database.close()


def state_of(context: "typer.Context") -> State:
    state = context.obj
    assert isinstance(state, State)
    return state
