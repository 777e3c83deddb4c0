"""A letter from a template, the club's own or the one that ships: plain text, with a subject above it.

What a template may hold is told by the kind of letter, and looked at before it runs (template_rules.py).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from obslog.english import counted, enumerated, how_often
from obslog.errors import WrongInput, quoted, why_not_read
from obslog.files.atomic_file import whole_file
from obslog.files.output_files import output_in_sentences
from obslog.report.plain_text import label, seen
from obslog.report.reminding.template_rules import (
    LONGEST_TEMPLATE,
    NotAllowedInTemplate,
    TemplateFault,
    Vocabulary,
    check,
)

if TYPE_CHECKING:
    from jinja2 import Template

LONGEST_LETTER = 20_000
LONGEST_SUBJECT = 150
MOST_TURNS = 2_000
MOST_BYTES = 4 * LONGEST_TEMPLATE + 4  # a character more than a template may have, in UTF-8
SUBJECT = "Subject:"
_RENDERED = "<template>"  # what Jinja2 calls the file of a template that has none


class NoTemplate(WrongInput):
    def __init__(self, file: Path, why: str, command: str) -> None:
        super().__init__(
            f"The template {file} cannot be read: {why}.",
            f"To begin one: {command} --write-template {quoted(str(file))}",
        )


@dataclass(frozen=True, slots=True)
class Letter:
    """What is written to one member: a subject on one line, and the text."""

    subject: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LetterKind:
    """A kind of letter: the template that ships, the command that writes such letters, and what they are told.

    `longest` is how many characters such a letter may have.
    """

    shipped: str
    command: str
    may: Vocabulary
    longest: int = LONGEST_LETTER

    def source(self) -> str:
        """The template that ships with the program."""
        return (files("obslog.report") / "templates" / self.shipped).read_text(encoding="utf-8")


class ClubTemplate:
    """A template that was read, and holds nothing that it may not. Raises TemplateFault."""

    def __init__(self, kind: LetterKind, source: str, where: str) -> None:
        self._kind, self._where = kind, where
        self._template = self._compiled(source)

    def filled(self, told: Mapping[str, Any]) -> Letter:
        """The letter with what it is told. Raises TemplateFault."""
        from jinja2 import TemplateError

        turns = count(1)
        within = {
            name: _Turning(value, turns) if name in self._kind.may.lists else value
            for name, value in told.items()
        }
        try:
            text = self._bounded(self._template.generate(within))
        except (TemplateError, TypeError, ValueError, ArithmeticError, AttributeError) as error:
            raise self._fault(_line_of(error), _first_line(error)) from error
        return self._parted(seen(text))

    def _fault(self, line: int, why: str) -> TemplateFault:
        return TemplateFault(self._where, line, why, self._kind.command)

    def _compiled(self, source: str) -> "Template":
        from jinja2 import TemplateSyntaxError

        if len(source) > LONGEST_TEMPLATE:
            raise self._fault(1, f"it is longer than {LONGEST_TEMPLATE} characters")
        environment = _environment()
        try:
            tree = environment.parse(source)
            check(tree, self._kind.may)
            return cast("Template", environment.from_string(tree))
        except NotAllowedInTemplate as refused:
            raise self._fault(refused.line, refused.why) from refused
        except TemplateSyntaxError as error:
            raise self._fault(error.lineno, _first_line(error)) from error
        except (RecursionError, MemoryError, SyntaxError) as error:
            raise self._fault(1, "it is too deeply nested") from error
        except (ValueError, ArithmeticError) as error:  # a number of thousands of digits
            raise self._fault(1, _first_line(error)) from error

    def _bounded(self, pieces: Iterable[str]) -> str:
        text, length = [], 0
        for piece in pieces:
            length += len(piece)
            if length > self._kind.longest:
                raise self._fault(1, f"what it writes is longer than {self._kind.longest} characters")
            text.append(piece)
        return "".join(text)

    def _parted(self, text: str) -> Letter:
        head, _, body = text.lstrip().partition("\n")
        if not head.startswith(SUBJECT) or not head.removeprefix(SUBJECT).strip():
            raise self._fault(1, f"what it writes does not begin with a line {SUBJECT} ...")
        if not body.strip():
            raise self._fault(1, "what it writes has no text below the subject")
        return Letter(label(head.removeprefix(SUBJECT), LONGEST_SUBJECT), body.strip() + "\n")


class _Turning(list[Any]):
    """A list over which the loops of one letter may turn MOST_TURNS times, all of them together."""

    def __init__(self, items: Iterable[Any], turns: Iterator[int]) -> None:
        super().__init__(items)
        self._turns = turns

    def __iter__(self) -> Iterator[Any]:
        for item in super().__iter__():
            if next(self._turns) > MOST_TURNS:
                raise ValueError(f"the loops turn more than {MOST_TURNS} times")
            yield item


def source_of(kind: LetterKind, file: Path | None) -> tuple[str, str]:
    """The club's own template, or the one that ships, and what it is called in faults.

    Raises TemplateFault, NoTemplate.
    """
    if file is None:
        return kind.source(), "that ships with obslog"
    try:
        with file.open("rb") as stream:
            content = stream.read(MOST_BYTES)
    except OSError as error:
        raise NoTemplate(file, why_not_read(error, file), kind.command) from error
    try:
        return content.decode("utf-8-sig"), str(file)
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise TemplateFault(str(file), line, "it is not in UTF-8", kind.command) from error


def write_club_template(kind: LetterKind, file: Path) -> None:
    """Write down the template that ships, to be changed. Raises FileThere."""
    with output_in_sentences(file), whole_file(file) as draft:
        draft.write_text(kind.source(), encoding="utf-8", newline="\n")


def _environment() -> Any:
    from jinja2 import StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    environment = SandboxedEnvironment(
        undefined=StrictUndefined, autoescape=False, finalize=_written, trim_blocks=True, lstrip_blocks=True
    )
    environment.globals.clear()
    kept = {name: environment.filters[name] for name in ("length", "upper", "lower")}
    environment.filters = {**kept, "days": _days, "times": _times, "listed": _listed}
    environment.tests = {}
    return environment


def _written(value: object) -> object:
    """Texts, numbers and dates as they are; what has no words of its own for a letter is a fault of the template."""
    from jinja2 import Undefined

    if isinstance(value, str | int | float | date | Undefined):
        return value
    if value is None:
        raise TypeError("this is not known")
    raise TypeError("this cannot be written; a list is written with |listed, or with for")


def _days(number: object) -> str:
    if not isinstance(number, int):
        raise TypeError("|days is for numbers of days")
    return counted(number, "day")


def _times(number: object) -> str:
    if not isinstance(number, int):
        raise TypeError("|times is for how often something was")
    return how_often(number)


def _listed(things: object) -> str:
    """`Evening kit, Wide 25 and dust cap`: of records their names, of texts the texts."""
    if not isinstance(things, list):
        raise TypeError("|listed is for lists")
    # A copy, which is a plain list: to list things is no turn of a loop.
    names: Sequence[str] = [thing if isinstance(thing, str) else thing.what for thing in things[:]]
    return enumerated(names)


def _first_line(error: Exception) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0].rstrip(".")[:200]


def _line_of(error: Exception) -> int:
    """The line of the template at which it went wrong; Jinja2 puts it into the traceback."""
    line, trace = 1, error.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename == _RENDERED:
            line = trace.tb_lineno
        trace = trace.tb_next
    return line
