"""Lines that come from a file or from another program: each is done and answered as at a terminal.

A line stands or falls alone. One transaction for all of them would hold every other writer up until the last line,
which from another program comes in the morning, and would lose the night with the power; so the lines that are good
are kept, each on disk before its answer is shown, and those that were refused are told with their numbers.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from obslog.cli.prompt.conversation import after_answer, explain, keep_settings
from obslog.cli.prompt.shown import document, show_answer, show_said
from obslog.cli.terminal.screen import Screen
from obslog.club.evening.acts import nobody, take_line
from obslog.club.evening.asked import Answer, PromptSettings
from obslog.club.evening.hints import at_the_prompt
from obslog.club.evening.said_at_once import SaidAtOnce
from obslog.club.register.usual_choices import Me
from obslog.english import counted
from obslog.errors import ObslogError, WrongInput
from obslog.records.database import Database

if TYPE_CHECKING:
    from obslog.club.live.answers import LiveAnswer


class LinesRefused(ObslogError):
    def __init__(self, refused: list[int], done: int) -> None:
        numbers = ", ".join(map(str, refused))
        kept = f"the {'other is' if done == 1 else f'{done} others are'} kept" if done else "nothing was kept"
        super().__init__(
            f"{counted(len(refused), 'line')} refused, {kept}.",
            f"Mend and send only {'that one: line' if len(refused) == 1 else 'those: lines'} {numbers}.",
        )


class Undecoded(WrongInput):
    def __init__(self) -> None:
        super().__init__("The line contains characters that cannot be decoded.", "Send it in UTF-8.")


def refuse_undecoded(typed: str) -> None:
    """Raise Undecoded where bytes stand in the line that are no text."""
    if any("\udc80" <= sign <= "\udcff" for sign in typed):
        raise Undecoded


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a line was refused, and what to do."""

    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LineAnswer:
    """A line by its number, and what came of it: an answer, or why it was refused."""

    line: int
    typed: str
    verb: str | None = None
    answer: object = None
    said: "Sequence[LiveAnswer]" = ()
    refused: Refusal | None = None


@dataclass(slots=True, kw_only=True)
class PipedLines:
    """Does lines and shows each answer at once, or, where `silent`, only gathers them."""

    database: Database
    screen: Screen
    settings: PromptSettings
    keep: Callable[[PromptSettings], None]
    clock: Callable[[], datetime]
    silent: bool = False
    me: Me = nobody
    said: SaidAtOnce = field(default_factory=SaidAtOnce)

    def run(self, lines: Iterable[str]) -> list[LineAnswer]:
        """Do all lines up to quit; blank ones, and those that begin with #, are passed over."""
        answers: list[LineAnswer] = []
        for number, line in enumerate(lines, 1):
            typed = line.strip().removeprefix("\ufeff")
            if not typed or typed.startswith("#"):
                continue
            answers.append(self._do(number, typed))
            if answers[-1].verb == "quit":
                break
        return answers

    def _do(self, number: int, typed: str) -> LineAnswer:
        now = self.clock()
        try:
            refuse_undecoded(typed)
            answer = take_line(self.database, typed, self.settings, now, me=self.me)
        except ObslogError as error:
            if not self.silent:
                explain(self.screen, error, where=f"line {number}: ")
                self.screen.flush()
            refusal = Refusal(message=error.message, hint=at_the_prompt(error.hint))
            return LineAnswer(line=number, typed=typed, refused=refusal)
        self.settings = answer.settings
        keep_settings(self.screen, self.keep, answer.settings)
        said = self._show(answer, now)
        return LineAnswer(line=number, typed=typed, verb=answer.verb, answer=document(answer), said=said)

    def _show(self, answer: Answer, now: datetime) -> "Sequence[LiveAnswer]":
        if not self.silent:
            show_answer(self.screen, answer)
            self.screen.flush()
        said = self.said.after(self.database, answer, now)
        if not self.silent:
            show_said(self.screen, said)
            self.screen.flush()
        after_answer(self.database, self.screen, answer)
        return said


def complain(answers: list[LineAnswer]) -> None:
    """Raise SomeRefused where a line was."""
    refused = [answer.line for answer in answers if answer.refused is not None]
    if refused:
        raise LinesRefused(refused, len(answers) - len(refused))
