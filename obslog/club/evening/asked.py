"""What a line is read against, and what comes of it."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from obslog.club.evening.standing import Standing
from obslog.club.night.open_night import NightChoice, NoOpenSetup, SetupChoice
from obslog.errors import WrongInput
from obslog.grammar.lines import Line
from obslog.records.opening import Database
from obslog.vocabulary import PierSide


class UnknownTarget(WrongInput):
    """A name that is no star or object; `nearest` are those that come nearest. `keeps`: it can be kept as written."""

    def __init__(self, text: str, nearest: tuple[str, ...], *, keeps: bool) -> None:
        self.text, self.nearest, self.keeps = text, nearest, keeps
        near = f"Did you mean {' or '.join(nearest)}? " if nearest else ""
        as_written = "To keep it as written, end the line with !" if keeps else ""
        super().__init__(
            f"{text!r} is not a known star or object.",
            f"{near}{as_written}".strip() or "Look for it: obslog sky find PART-OF-ITS-NAME",
        )


class NoTimeHere(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(f"A line of {verb} takes no time.", "Leave the time out.")


class NothingMore(WrongInput):
    def __init__(self, verb: str, words: tuple[str, ...], written: str) -> None:
        super().__init__(f"Not expected behind {verb}: {' '.join(words)}", f"Write: {written}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What the one at this prompt has said for the lines that follow; the records know nothing of it.

    `site` and `mount` tell which night and set-up are meant where several are open; `setup` is which set-up `pier` was
    said in.
    """

    site: str | None = None
    mount: str | None = None
    setup: str | None = None
    pier: PierSide | None = None
    quiet: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A line, when it was typed, and what it is read against. `target` stands for the one that was written."""

    database: Database
    line: Line
    now: datetime
    settings: Settings
    standing: Standing
    target: str | None = None
    sure: bool = False

    @property
    def words(self) -> str:
        """All that stands behind the verb, as one text."""
        told = " ".join(self.line.words)
        if self.line.text is None:
            return told
        return f"{told}; {self.line.text}" if told else self.line.text

    @property
    def setup(self) -> SetupChoice:
        return SetupChoice(mount=self.standing.mount or self.settings.mount)

    @property
    def setup_tonight(self) -> SetupChoice:
        """The open set-up, else one of the open night: nothing typed at a prompt changes a night long past.

        Raises NoOpenSetup.
        """
        here = self.standing
        if here.mount is None and here.night is not None and not here.several:
            return SetupChoice(site=here.site, night=here.night)
        if here.setup is None and not here.several:
            raise NoOpenSetup
        return self.setup

    @property
    def night(self) -> NightChoice:
        return NightChoice(self.standing.site if self.standing.night else None, self.standing.night)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came of a line: plain values, and beside them what a screen needs to show them."""

    verb: str
    value: Any
    settings: Settings
    beside: Any = None


@dataclass(frozen=True, slots=True)
class Said:
    """An answer in sentences."""

    words: tuple[str, ...] = field(default=())
