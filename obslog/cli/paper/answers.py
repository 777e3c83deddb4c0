"""The answers given so far: kept in a draft as each is given, numbered, and changed at any time.

The page is built from them. Whoever goes back changes the answers, and the page is built anew.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from obslog.errors import WrongInput
from obslog.files.private_files import FILE, make_private

LINE, SETUP = "line", "setup"
OF_A_MOUNT = ("tube", "eyepiece", "started_at")  # not asked for where there is none
OF_SETUP = ("mount", "tube", "eyepiece", "observer", "started_at")


class NoSuchAnswer(WrongInput):
    def __init__(self, number: str, most: int) -> None:
        super().__init__(
            f"There is no answer {number!r} on the page.",
            f"The page has 1 to {most}; see it: page" if most else "Nothing is on it yet.",
        )


class NotDropped(WrongInput):
    def __init__(self, name: str) -> None:
        super().__init__(
            f"The {name} is asked for on every page and cannot be dropped.", "Change it: change NUMBER"
        )


class NothingBefore(WrongInput):
    def __init__(self) -> None:
        super().__init__("There is no answer before this one.", "Answer, or Ctrl-D to stop here.")


@dataclass(frozen=True, slots=True)
class TypedAnswer:
    """The name of what was asked, and the answer as it was typed."""

    name: str
    text: str


@dataclass(slots=True)
class Answers:
    """Answers that were understood, and those still to be taken again after the page was changed or resumed."""

    draft: Path
    given: list[TypedAnswer] = field(default_factory=list)
    waiting: list[TypedAnswer] = field(default_factory=list)

    def next_waiting(self, name: str) -> TypedAnswer | None:
        """The answer that waits for a question of that name; what is no longer asked for is passed over."""
        while self.waiting and _not_asked_any_more(self.waiting[0].name, name):
            self.waiting.pop(0)
        return self.waiting.pop(0) if self.waiting and self.waiting[0].name == name else None

    def take(self, answer: TypedAnswer) -> None:
        """Keep an answer that was understood, in the draft too."""
        self.given.append(answer)
        self._keep()

    def begin_again(self, answers: Sequence[TypedAnswer]) -> None:
        """Let all be asked anew, and answered with these."""
        self.given, self.waiting = [], list(answers)
        self._keep()

    def without_last(self) -> TypedAnswer:
        """Take the last answer back, and give it. Raises NothingBefore."""
        if not self.given:
            raise NothingBefore
        last = self.given[-1]
        self.begin_again(self.given[:-1])
        return last

    def numbered(self, number: str) -> int:
        """The place of the answer of that number, counted from 1. Raises NoSuchAnswer."""
        if not 1 <= int(number) <= len(self.given):
            raise NoSuchAnswer(number, len(self.given))
        return int(number) - 1

    def changed(self, place: int, text: str) -> None:
        """Put another text in an answer's place."""
        self.begin_again(
            [*self.given[:place], TypedAnswer(self.given[place].name, text), *self.given[place + 1 :]]
        )

    def dropped(self, place: int) -> None:
        """Take a line off the page; with a line that began a set-up goes what was said of it. Raises NotDropped."""
        line = self.given[place]
        if line.name != LINE:
            raise NotDropped(line.name)
        end = place + 1
        while line.text.casefold() == SETUP and end < len(self.given) and self.given[end].name in OF_SETUP:
            end += 1
        self.begin_again(self.given[:place] + self.given[end:])

    def drop_draft(self) -> None:
        self.draft.unlink(missing_ok=True)

    def in_draft(self) -> list[TypedAnswer]:
        """The answers of an earlier, interrupted time; none where there is no draft."""
        if not self.draft.exists():
            return []
        return [TypedAnswer(name, text) for name, text in json.loads(self.draft.read_text(encoding="utf-8"))]

    def _keep(self) -> None:
        whole = [[answer.name, answer.text] for answer in (*self.given, *self.waiting)]
        self.draft.touch(mode=FILE)
        make_private(self.draft)  # one begun by an earlier version too
        self.draft.write_text(json.dumps(whole, ensure_ascii=False), encoding="utf-8")


def _not_asked_any_more(waiting: str, asked: str) -> bool:
    """Whether an answer was about a mount that is not there any more: what is asked now comes behind it."""
    if waiting not in OF_A_MOUNT:
        return False
    return asked not in OF_SETUP or OF_SETUP.index(waiting) < OF_SETUP.index(asked)
