"""Questions asked one after the other: a bad answer is explained and asked again, a good one can be gone back to."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol, TypeVar

from obslog.cli.paper.answers import LINE, Answers, TypedAnswer
from obslog.cli.terminal.screen import Screen
from obslog.errors import ObslogError, UnknownName, WrongInput

T = TypeVar("T")
NAMES_TOLD = 8
HELP = (
    "page shows what is typed so far, with numbers; back goes to the answer before; change NUMBER changes an "
    "answer or a line, drop NUMBER takes a line off; Ctrl-D stops here, and the next time goes on from here."
)
SHOWN_AS = {"started_at": "set up at"}
"""Answers whose names on the page are not those that one reads."""
BLANK_SAYS_ELSE = ("site", "mount")  # the usual one, and none


class Reader(Protocol):
    """Where answers come from; `interactive` where somebody is there to be asked again."""

    interactive: bool

    def read(self, question: "Question", begun: str = "") -> str:
        """The next answer; `begun` is what stands on the line already. Raises EOFError where there is none."""
        ...


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked: its name on the page, its words, and the kind of names that can complete the answer.

    `lasting` turns an answer such as `yesterday` into one that means the same when it is read again another day.
    """

    name: str
    words: str
    kind: str | None = None
    lasting: Callable[[str], str] = str


class PageRefused(WrongInput):
    """What came through a pipe and cannot be taken: all of it is told, and nothing is saved."""

    def __init__(self, details: list[str]) -> None:
        self.details = details
        super().__init__(
            f"Nothing was saved: {'an answer' if len(details) == 1 else f'{len(details)} answers'} cannot be taken.",
            "Mend what is named, and send the whole page again.",
        )


class BuiltAnew(Exception):
    """The answers were changed: the page is to be built from them anew."""


@dataclass(slots=True, kw_only=True)
class Dialogue:
    """Asks, and keeps the answers. `names` gives what is on record of a kind."""

    answers: Answers
    screen: Screen
    reader: Reader
    names: Callable[[str], list[str]] = lambda _kind: []
    questions: dict[str, Question] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    begun: str = ""
    read: int = 0
    said: set[str] = field(default_factory=set)

    def ask(self, question: Question, understand: Callable[[str], T]) -> T:
        """The answer, understood. Raises BuiltAnew where the page was changed instead, PageRefused."""
        self.questions[question.name] = question
        while True:
            waiting = self.answers.next_waiting(question.name)
            text = waiting.text if waiting else self._read(question)
            if waiting is None and self._is_about_page(text):
                continue
            try:
                meaning = understand(text)
            except ObslogError as error:
                self._explain(error, question, text)
                continue
            self.answers.take(TypedAnswer(question.name, text))
            return meaning

    def say_once(self, words: str) -> None:
        """Tell who types something, however often the page is built anew."""
        if self.reader.interactive and words not in self.said:
            self.screen.note(words)
            self.said.add(words)

    def is_replaying(self) -> bool:
        return bool(self.answers.waiting)

    def confirm(self, words: str) -> str:
        return self.reader.read(Question("confirm", words)).strip().casefold()

    def _read(self, question: Question) -> str:
        begun, self.begun = self.begun, ""
        text = question.lasting(self.reader.read(question, begun).strip())
        self.read += 1
        return text

    def _explain(self, error: ObslogError, question: Question, text: str) -> None:
        hint = _in_a_line(error.hint)
        if self.reader.interactive:
            if isinstance(error, UnknownName) and question.kind is not None and question.name != LINE:
                hint = self._instead(question.kind, question.name) or hint
            self.screen.note(f"{error.message} {hint}")
            self.begun = text if question.name == LINE else ""
            return
        self.faults.append(f"answer {self.read}, {text!r}: {error.message} {hint}")
        if question.name != LINE:  # what comes behind it hangs on it
            raise PageRefused(self.faults)

    def _instead(self, kind: str, name: str) -> str:
        """The names to choose from; nobody adds a mount in the middle of a page. Empty where there is none."""
        known = self.names(kind)
        blank = "" if name in BLANK_SAYS_ELSE else " Blank: not known."
        more = f" and {len(known) - NAMES_TOLD} more; Tab shows them" if len(known) > NAMES_TOLD else ""
        return f"On record: {', '.join(known[:NAMES_TOLD])}{more}.{blank}" if known else ""

    def _is_about_page(self, text: str) -> bool:
        """Whether the answer was a word about the page, which is done. Raises BuiltAnew where it changes the page."""
        word, _, rest = text.partition(" ")
        try:
            return self._done(word.casefold(), rest.strip())
        except ObslogError as error:
            self.screen.note(f"{error.message} {error.hint}")
            return True

    def _done(self, word: str, rest: str) -> bool:
        if word in ("page", "help", "?", "back") and rest:
            return False
        if word == "page":
            self.show_page()
        elif word in ("help", "?"):
            self.screen.note(HELP)
        elif word == "back":
            self.begun = self.answers.without_last().text
            raise BuiltAnew
        elif word == "change" and rest.isdecimal():
            self._change(self.answers.numbered(rest))
        elif word == "drop" and rest.isdecimal():
            self.answers.dropped(self.answers.numbered(rest))
            raise BuiltAnew
        else:
            return False
        return True

    def _change(self, place: int) -> None:
        old = self.answers.given[place]
        question = self.questions.get(old.name, Question(old.name, f"{old.name}: "))
        self.answers.changed(place, question.lasting(self.reader.read(question, old.text).strip()))
        raise BuiltAnew

    def show_page(self) -> None:
        """What is typed so far, an answer a line, on standard error: it is no result yet."""
        for number, answer in enumerate(self.answers.given, start=1):
            name = "" if answer.name == LINE else f"{SHOWN_AS.get(answer.name, answer.name)}: "
            self.screen.note(f"{number:>2}  {name}{answer.text or 'not known'}", hang=4)


_SAID_OTHERWISE = (
    ("add --sure", "end the line with !"),
    ("add --as-written", "end the line with !"),
    ("a remark goes with --note", "a remark stands behind a semicolon"),
    ("Give the time with --at", "Put the time in front of the line:"),
    ("Give a later time with --at", "Give a later time"),
)
_WHICH_START = re.compile(r"(?<= edit)(?: \"[^\"]*\"| \S+)? --start TIME")


def _in_a_line(hint: str) -> str:
    """A hint with what is done in a line instead of the options that the commands have."""
    for there, here in _SAID_OTHERWISE:
        hint = hint.replace(there, here)
    return _WHICH_START.sub("", hint).replace("obslog setup edit", "change NUMBER")
