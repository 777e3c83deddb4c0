"""Everything that can be wrong with a bundle, each in a sentence of its own, with what to do."""

from datetime import datetime

from obslog.errors import WrongInput

_AGAIN = "Copy it once more from where it was written, or have it written anew."
_STRANGE = "No bundle of this program's is ever so: do not trust it, and have it written anew."


class BrokenBundle(WrongInput):
    """A bundle that is not taken in, whatever the reason."""


class EmptyBundle(BrokenBundle):
    def __init__(self, called: str) -> None:
        super().__init__(f"{called} is empty.", _AGAIN)


class NoBundle(BrokenBundle):
    """A file of another kind; `looks_like` says of which, `instead` what to do with such a one."""

    def __init__(self, called: str, looks_like: str | None = None, instead: str | None = None) -> None:
        like = f": it looks like {looks_like}" if looks_like else ""
        super().__init__(
            f"{called} is not a bundle{like}.",
            instead or "Give a file that was written by: obslog bundle write FILE",
        )


class NewerBundle(BrokenBundle):
    def __init__(self, called: str, version: int, known: int) -> None:
        super().__init__(
            f"{called} is of format {version}, and none after {known} can be read here.",
            "Update this computer's obslog, then try again.",
        )


class WrongManifest(BrokenBundle):
    """A first line that can be found and cannot be meant; `what` is the end of a sentence about it."""

    def __init__(self, called: str, what: str) -> None:
        super().__init__(f"The first line of {_inside(called)} cannot be read: {what}.", _AGAIN)


class CutOff(BrokenBundle):
    def __init__(self, called: str, there: int, expected: int) -> None:
        super().__init__(
            f"{called} is cut off: {there:,} of the {expected:,} bytes of its contents are there.", _AGAIN
        )


class MoreBehind(BrokenBundle):
    def __init__(self, called: str) -> None:
        super().__init__(f"{called} does not end where its contents do: more was put behind them.", _AGAIN)


class Damaged(BrokenBundle):
    def __init__(self, called: str) -> None:
        super().__init__(
            f"{called} is damaged: its bytes are not those that were written (the hash differs).", _AGAIN
        )


class CannotUnpack(BrokenBundle):
    """Contents that were never packed as they should be, though nothing has changed since they were written."""

    def __init__(self, called: str) -> None:
        super().__init__(f"The contents of {_inside(called)} cannot be unpacked.", _STRANGE)


class TooLarge(BrokenBundle):
    """More than is taken; `what` is the end of the sentence, with the limit in it."""

    def __init__(self, called: str, what: str) -> None:
        super().__init__(
            f"{called} {what}.", "Have it written in parts: obslog bundle write --since DATE FILE"
        )


class Bomb(BrokenBundle):
    def __init__(self, called: str, most: int) -> None:
        super().__init__(
            f"{called} would unpack to more than {most} times its size, as no records do.", _STRANGE
        )


class UntrueManifest(BrokenBundle):
    """Contents that are not what the first line says of them; `found` is None where it was enough to see too many."""

    def __init__(self, called: str, one: str, said: int, found: int | None = None) -> None:
        there = "more" if found is None else f"{found:,}"
        super().__init__(
            f"{called} says that it holds {said:,} {one if said == 1 else f'{one}s'}, and it holds {there}.",
            _STRANGE,
        )


class WrongEntry(BrokenBundle):
    """A line of the contents that cannot be meant; `what` is the end of a sentence about it."""

    def __init__(self, called: str, line: int, what: str) -> None:
        self.line = line
        super().__init__(
            f"Line {line:,} of the contents of {_inside(called)} cannot be read: {what}.", _STRANGE
        )


class ClockAhead(BrokenBundle):
    """An act of a time that has not come; `what` is the subject of the sentence."""

    def __init__(self, called: str, what: str, at: datetime, now: datetime) -> None:
        super().__init__(
            f"{what} in {_inside(called)} is of {at:%Y-%m-%d %H:%M} UTC, and here it is {now:%Y-%m-%d %H:%M} UTC.",
            "One of the two clocks is wrong. If it is this one, set it and merge again. If it is the other, set that "
            "one, go back there to a copy from before (obslog db restore), and note anew what is missing.",
        )


def _inside(called: str) -> str:
    """The name of the file, or "the bundle" where that stands inside a sentence."""
    return "the bundle" if called == "The bundle" else called
