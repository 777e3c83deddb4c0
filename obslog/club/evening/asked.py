"""What a line is read against, and what comes of it."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from obslog.club.evening.standing import EveningStanding
from obslog.club.night.open_night import NightChoice, NoOpenSetup, SetupChoice
from obslog.club.night.plausibility import Doubtful
from obslog.club.register.usual_choices import Me
from obslog.errors import WrongInput
from obslog.grammar.lines import Line
from obslog.records.database import Database


class NoTimeHere(WrongInput):
    def __init__(self, verb: str) -> None:
        super().__init__(f"A line of {verb} takes no time.", "Leave the time out.")


class NothingMore(WrongInput):
    def __init__(self, verb: str, words: tuple[str, ...], written: str) -> None:
        super().__init__(f"Not expected behind {verb}: {' '.join(words)}", f"Write: {written}")


class SetupEnded(WrongInput):
    """The set-up that lines were about was ended elsewhere, and others are open."""

    def __init__(self, mount: str, others: tuple[str, ...]) -> None:
        super().__init__(
            f"No set-up of {mount} is open any more; open: {', '.join(others)}.",
            f"To go on with {'it' if len(others) == 1 else 'one'}: setup {others[0]}",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PromptSettings:
    """What the one at this prompt has said for the lines that follow; the records know nothing of it.

    `site` and `mount` tell which night and set-up are meant where several are open. While `counting` each line is a
    tag or a name that was seen in the stocktake, at `place`.
    """

    site: str | None = None
    mount: str | None = None
    quiet: bool = False
    counting: bool = False
    place: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A line, when it was typed, and what it is read against.

    `target` stands for the one that was written, `me` is who types here, `agreed_to` is the question that was answered
    with yes, and `taken` says what was taken though nobody named it.
    """

    database: Database
    line: Line
    now: datetime
    settings: PromptSettings
    standing: EveningStanding
    me: Me
    target: str | None = None
    sure: bool = False
    agreed_to: Doubtful | None = None
    taken: list[str] = field(default_factory=list)

    @property
    def keeps_names(self) -> bool:
        """Whether a name that is not known is kept as written: where it is sure, and none was chosen instead."""
        return self.sure and self.target is None

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
    """What came of a line: plain values, beside them what a screen needs to show them, and what was taken unnamed."""

    verb: str
    value: Any
    settings: PromptSettings
    beside: Any = None
    taken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SaidWords:
    """An answer in sentences."""

    words: tuple[str, ...] = field(default=())
