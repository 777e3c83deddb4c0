"""What is said at the prompt: a line is done and answered; what is doubtful is asked about, and waits for its answer.

Anything else that is typed in answer to a question is a line of its own, and the one that was asked about is dropped.
"""

import os
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime

from obslog.cli.look.reader_gone import nobody_reads
from obslog.cli.prompt.shown import show_answer, show_said
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.acts import nobody, take_line
from obslog.club.evening.asked import Answer, PromptSettings
from obslog.club.evening.hints import at_the_prompt
from obslog.club.evening.looking_lines import NotInTheSky
from obslog.club.evening.said_at_once import SaidAtOnce
from obslog.club.night.plausibility import Doubtful
from obslog.club.register.usual_choices import Me
from obslog.errors import ObslogError
from obslog.grammar.target_names import UnknownTarget
from obslog.records.database import Database

YES = ("yes", "y", "!")
NO = ("", "no", "n")
AS_WRITTEN = "as written"
PROMPT, SURE, WHICH, COUNTING = "> ", "yes? ", "which? ", "tag> "


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """A line that was asked about: what was typed, when, the name chosen for its target, and which can be chosen.

    `question` is what yes would agree to.
    """

    typed: str
    now: datetime
    names: tuple[str, ...] = ()
    keeps: bool = False
    target: str | None = None
    question: Doubtful | None = None


@dataclass(slots=True, kw_only=True)
class Conversation:
    """Lines done one after another. `keep` puts the settings on disk, before an answer is shown."""

    database: Database
    screen: Screen
    settings: PromptSettings
    keep: Callable[[PromptSettings], None]
    me: Me = nobody
    said: SaidAtOnce = field(default_factory=SaidAtOnce)
    waiting: Waiting | None = field(default=None)

    @property
    def prompt(self) -> str:
        if self.waiting is None:
            return COUNTING if self.settings.counting else PROMPT
        return WHICH if self.waiting.names or self.waiting.keeps else SURE

    def hear(self, typed: str, now: datetime) -> bool:
        """Do what was typed; whether the evening goes on."""
        asked, self.waiting = self.waiting, None
        if asked is not None and (goes_on := self._hear_answer(asked, typed)) is not None:
            return goes_on
        return self._do(typed, now) if typed.strip() else True

    def _hear_answer(self, asked: Waiting, typed: str) -> bool | None:
        """As `hear`, where what was typed answers what was asked; None where it is a line like any other."""
        meant = typed.strip().casefold()
        if meant in NO:
            self.screen.note("Nothing was kept of that line.")
            return True
        if not asked.names and not asked.keeps:
            if meant not in YES:
                return self._say_not_kept(asked)
            return self._do(asked.typed, asked.now, target=asked.target, agreed_to=asked.question)
        if asked.keeps and (meant == "!" or (len(meant) > 1 and AS_WRITTEN.startswith(meant))):
            return self._do(asked.typed, asked.now, sure=True)
        if meant.isdecimal() and 1 <= int(meant) <= len(asked.names):
            return self._do(asked.typed, asked.now, target=asked.names[int(meant) - 1])
        return self._say_not_kept(asked)

    def _say_not_kept(self, asked: Waiting) -> bool | None:
        """None, for what was typed is another line; whoever types on thinks that the one asked about is on record."""
        self.screen.note(f"Not kept: {asked.typed.strip()}")
        return None

    def drop(self) -> None:
        """Drop what was asked about: Ctrl-C."""
        self.waiting = None

    def _do(
        self,
        typed: str,
        now: datetime,
        *,
        target: str | None = None,
        sure: bool = False,
        agreed_to: Doubtful | None = None,
    ) -> bool:
        try:
            answer = take_line(
                self.database,
                typed,
                self.settings,
                now,
                sure=sure,
                agreed_to=agreed_to,
                target=target,
                me=self.me,
            )
        except UnknownTarget as error:
            self._ask_which(error, typed, now)
            return True
        except Doubtful as error:
            explain(self.screen, error)
            self.screen.note("Or answer yes to take it as it is; blank drops it.")
            self.waiting = Waiting(typed=typed, now=now, target=target, question=error)
            return True
        except ObslogError as error:
            explain(self.screen, error)
            return True
        except KeyboardInterrupt:
            self.screen.note("Stopped. Nothing of this line was kept.")
            return True
        except Exception as error:
            if nobody_reads(error) or os.environ.get("OBSLOG_DEBUG"):
                raise
            self.screen.note(f"Something unexpected happened: {type(error).__name__}: {error}", style="bold")
            self.screen.note("Nothing of this line was kept; please report it.")
            return True
        return self._answered(answer, now)

    def _answered(self, answer: Answer, now: datetime) -> bool:
        self.settings = answer.settings
        keep_settings(self.screen, self.keep, answer.settings)
        try:
            show_answer(self.screen, answer)
            show_said(self.screen, self.said.after(self.database, answer, now))
            after_answer(self.database, self.screen, answer)
        except KeyboardInterrupt:
            self.screen.note("Stopped. What the line did is on record.")
        return answer.verb != "quit"

    def _ask_which(self, error: UnknownTarget, typed: str, now: datetime) -> None:
        self.screen.note(error.message, style="bold")
        keeps = not isinstance(error, NotInTheSky)
        for number, name in enumerate(error.nearest, 1):
            self.screen.note(f"{number}  {name}", indent=2)
        if not error.nearest and not keeps:
            self.screen.note(at_the_prompt(error.hint))
            return
        ways = (["its number"] if error.nearest else []) + ([f'"{AS_WRITTEN}"'] if keeps else [])
        self.screen.note(f"Type {' or '.join(ways)}; blank drops the line.")
        self.waiting = Waiting(typed=typed, now=now, names=error.nearest, keeps=keeps)


def keep_settings(screen: Screen, keep: Callable[[PromptSettings], None], settings: PromptSettings) -> None:
    """Keep what was set; where that fails it is said, for what goes on record does not depend on it."""
    try:
        keep(settings)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        screen.note(f"What was set cannot be kept for the next start of the prompt: {why}.")


def after_answer(database: Database, screen: Screen, answer: Answer) -> None:
    """What is computed ahead when a night was ended, as after `obslog night end`."""
    if answer.verb == "night" and getattr(answer.value, "open", True) is False:
        from obslog.cli.terminal.keeping import compute_ahead

        compute_ahead(database, screen)


def explain(screen: Screen, error: ObslogError, *, where: str = "") -> None:
    """What is wrong, and what to do about it at the prompt."""
    screen.note(f"{where}{error.message}", style="bold")
    for detail in getattr(error, "details", ()):
        screen.note(detail, indent=2)
    screen.note(at_the_prompt(error.hint))
