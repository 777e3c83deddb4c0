"""A night as it stands on paper: what is said of the night, then set-ups and lines in the order of the paper."""

from dataclasses import dataclass, replace
from datetime import date, datetime

from obslog.errors import WrongInput
from obslog.grammar.lines import SURE, Line, read_line
from obslog.vocabulary.arrivals import Role
from obslog.vocabulary.observations import Sighting

SIGHTINGS = {"saw": Sighting.SEEN, "suspected": Sighting.SUSPECTED, "not-seen": Sighting.NOT_SEEN}
SNAG, FLIP = "snag", "flip"
ROLES = tuple(role.value for role in Role)
VERBS = (*ROLES, *SIGHTINGS, SNAG, FLIP)


class LineWithoutTime(WrongInput):
    def __init__(self, text: str) -> None:
        super().__init__(
            f"{text!r} has no time.",
            "Write: TIME VERB NAME, then where it stood, or ; and words: 21:05 saw M 81; oval glow",
        )


class LineWithoutWords(WrongInput):
    def __init__(self, verb: str) -> None:
        what = {SNAG: "the step and what happened", FLIP: "the side of the pier that the tube went to"}.get(
            verb, "the name of the star or object"
        )
        super().__init__(f"Behind {verb} comes {what}.", "Write the line with it.")


class TwiceOnPage(WrongInput):
    def __init__(self, line: Line, target: str) -> None:
        super().__init__(
            f"The {line.verb} of {target} at {line.at} is on the page already.",
            "Give the line another time, or leave it out.",
        )


class NothingOnPage(WrongInput):
    def __init__(self) -> None:
        super().__init__(
            "Nothing is on the page: nobody, no sky, no note, no set-up and no line.",
            "Type a line, or Ctrl-D to go on another time.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class NightHeading:
    """What is said of the night itself."""

    site: str
    night: date
    present: tuple[str, ...] = ()
    sky: tuple[str, ...] = ()
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupHead:
    """What is said of a set-up; without a mount the lines below it were seen by eye, or with what is not on record.

    A time that ends in `!` is sure.
    """

    mount: str | None = None
    tube: str | None = None
    eyepiece: str | None = None
    observer: str | None = None
    started_at: str | None = None

    @property
    def start(self) -> str | None:
        """The time at which it was set up, as typed."""
        return self.started_at.removesuffix(SURE).strip() if self.started_at else None

    @property
    def is_sure(self) -> bool:
        return bool(self.started_at and self.started_at.endswith(SURE))

    @property
    def is_blank(self) -> bool:
        return self == SetupHead()


@dataclass(frozen=True, slots=True, kw_only=True)
class TriedLine:
    """A line that can go on record: as it was typed, at what instant, and of which target or step."""

    line: Line
    at_utc: datetime
    target: str

    def says_the_same_arrival(self, other: "TriedLine") -> bool:
        if self.line.verb not in ROLES:
            return False
        return (self.at_utc, self.line.verb, self.target) == (other.at_utc, other.line.verb, other.target)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperPage:
    """A page: its heading, then set-ups and lines as they follow one another."""

    heading: NightHeading
    parts: tuple[SetupHead | TriedLine, ...] = ()

    @property
    def setup(self) -> SetupHead:
        """The set-up to which the next line belongs."""
        heads = [part for part in self.parts if isinstance(part, SetupHead)]
        return heads[-1] if heads else SetupHead()

    @property
    def lines_of_setup(self) -> tuple[TriedLine, ...]:
        """The lines below the last set-up."""
        below: tuple[TriedLine, ...] = ()
        for part in self.parts:
            below = () if isinstance(part, SetupHead) else (*below, part)
        return below

    @property
    def is_blank(self) -> bool:
        heading = self.heading
        said = (heading.present, heading.sky, heading.note)
        return not any(said) and all(isinstance(part, SetupHead) and part.is_blank for part in self.parts)

    def with_part(self, part: SetupHead | TriedLine) -> "PaperPage":
        """The page with one more part. Raises TwiceOnPage."""
        if isinstance(part, TriedLine) and any(map(part.says_the_same_arrival, self.lines_of_setup)):
            raise TwiceOnPage(part.line, part.target)
        return replace(self, parts=(*self.parts, part))


def read_page_line(text: str) -> Line:
    """A line of the page, which has its time. Raises LineWithoutTime, LineWithoutWords, what `read_line` raises."""
    line = read_line(text, VERBS)
    if line.at is None:
        raise LineWithoutTime(text.strip())
    if not line.words:
        raise LineWithoutWords(line.verb)
    return line


def order_remark(page: PaperPage) -> str | None:
    """Says so where the last line's time comes before that of the line above it."""
    lines = page.lines_of_setup
    if len(lines) < 2 or lines[-1].at_utc >= lines[-2].at_utc:
        return None
    above, last = lines[-2].line, lines[-1].line
    return f"{last.at} is before {above.at} in the line above; it is kept in the order of time."
