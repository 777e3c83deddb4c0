"""The dialogue of typing up a night: questions in the order of the paper, read back before it is saved.

Each answer is kept in a draft beside the database as soon as it is given. Begun again, the dialogue takes the answers
of the draft first, so that it goes on where it was interrupted.
"""

import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from obslog.cli.terminal.keeping import compute_ahead
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import ObslogError
from obslog.times import read_date

if TYPE_CHECKING:
    from obslog.club.night.paper_night import PaperPage, ReadBack
    from obslog.records.opening import Database

T = TypeVar("T")
YES, NO = ("y", "yes"), ("n", "no")
GO_ON = "Go on where you were: obslog night type-up"


class Interrupted(ObslogError):
    def __init__(self, draft: Path) -> None:
        super().__init__(
            f"The night is not saved yet; the answers so far are in {draft}.",
            GO_ON,
        )


class NotSaved(ObslogError):
    def __init__(self) -> None:
        super().__init__("Nothing was saved, and the draft is dropped.", "Begin anew: obslog night type-up")


@dataclass(kw_only=True)
class Dialogue:
    """Asks, remembers every good answer in the draft, and asks again after a bad one."""

    draft: Path
    screen: Screen
    read: Callable[[str], str]
    answers: list[str] = field(default_factory=list)
    waiting: list[str] = field(default_factory=list)

    def resume(self) -> None:
        """Take the answers of an earlier, interrupted time first, if there are any and they are wanted."""
        if not self.draft.exists():
            return
        found = json.loads(self.draft.read_text(encoding="utf-8"))
        self.screen.note(
            f"An unfinished night with {len(found)} answers is here: {', '.join(found[:2])}. "
            f"The last answer was {found[-1]!r}."
        )
        while True:
            answer = self.read("Go on with it? (yes, or no to drop it) ").strip().casefold()
            if answer in YES:
                self.waiting = list(found)
                return
            if answer in NO:
                self.draft.unlink()
                return

    def ask(self, question: str, understand: Callable[[str], T]) -> T:
        """The answer, understood; what cannot be understood is explained and asked again."""
        while True:
            replayed = bool(self.waiting)
            text = self.waiting.pop(0) if replayed else self.read(question).strip()
            try:
                meaning = understand(text)
            except ObslogError as error:
                self.screen.note(f"{error.message} {_in_a_line(error.hint)}")
                continue
            self.answers.append(text)
            whole = self.answers + self.waiting
            self.draft.write_text(json.dumps(whole, ensure_ascii=False), encoding="utf-8")
            return meaning


def _in_a_line(hint: str) -> str:
    """A hint with what is done in a line instead of the options that the commands have."""
    for option in ("--sure", "--as-written"):
        hint = hint.replace(f"add {option}", "end the line with !")
    return hint


def show_saved(screen: Screen, saved: "ReadBack") -> None:
    screen.line(f"Saved. One obslog undo takes the whole night of {saved.night.night} back.")


def type_up(database: "Database", now: datetime, state: State) -> "ReadBack":
    """Type up a night from paper.

    It asks in the order of the paper, and reads the night back before it is saved. After an interruption it goes on
    where it was. A blank answer is "not known". A line that is questioned is taken as it is where it ends in an
    exclamation mark.
    """
    from obslog.club.night.paper_night import save

    draft = _draft_beside(state.target)
    dialogue = Dialogue(draft=draft, screen=state.screen, read=_reader(draft, state.screen))
    dialogue.resume()
    page, read_back = _fill(dialogue, database, now)
    show_read_back(state.screen, read_back)
    answer = dialogue.read("Save it? (yes; no to drop it; blank for later) ").strip().casefold()
    if answer in NO:
        draft.unlink(missing_ok=True)
        raise NotSaved
    if answer not in YES:
        raise Interrupted(draft)
    saved = save(database, page, state.now())
    draft.unlink(missing_ok=True)
    compute_ahead(database, state.screen)
    return saved


def _fill(dialogue: Dialogue, database: "Database", now: datetime) -> tuple["PaperPage", "ReadBack"]:
    """The page, each part tried on the records as soon as it is answered."""
    from obslog.club.night.paper_night import (
        PaperPage,
        order_remark,
        read_back,
        read_line,
        site_named,
        try_line,
        try_page,
    )

    site = dialogue.ask("Site: ", lambda text: site_named(database, text))
    page = dialogue.ask(
        "Night of (the date of its evening, like 2026-03-02): ",
        lambda text: try_page(database, PaperPage(site=site, night=read_date(text)), now),
    )
    for name, question, many in (
        ("present", "Who was there (names, commas between): ", True),
        ("sky", "Sky (scale and number, commas between, like antoniadi 2): ", True),
        ("note", "Note on the night: ", False),
        ("mount", "Mount (blank: none): ", False),
        ("tube", "Tube: ", False),
        ("eyepiece", "Eyepiece: ", False),
        ("observer", "Observer: ", False),
        ("started_at", "Set up at (like 20:10): ", False),
    ):
        if page.mount is None and name in ("tube", "eyepiece", "started_at"):
            continue
        page = dialogue.ask(question, lambda text: try_page(database, _with(page, name, text, many), now))  # noqa: B023
    while True:
        grown = dialogue.ask(
            "Line (21:05 saw M 81; oval glow), or blank to end: ",
            lambda text: try_line(database, page, read_line(text), now) if text else None,  # noqa: B023
        )
        if grown is None:
            return page, read_back(database, page, now)
        page = grown
        remark = order_remark(page)
        if remark:
            dialogue.screen.note(remark)


def _with(page: "PaperPage", name: str, text: str, many: bool) -> "PaperPage":
    parts = tuple(part.strip() for part in text.split(",") if part.strip())
    change: dict[str, Any] = {name: parts if many else text or None}
    return replace(page, **change)


def show_read_back(screen: Screen, read_back: "ReadBack") -> None:
    """The whole night, to be read over before it is saved; on standard error, for it is no result yet."""
    night = read_back.night
    screen.note(f"Night of {night.night} at {night.site}", style="bold")
    screen.note(f"present: {', '.join(night.present) or 'unknown'}")
    screen.note(f"sky: {', '.join(f'{r.scale} {r.value:g}' for r in night.sky) or 'unknown'}")
    if read_back.setup is not None:
        page = read_back.setup
        screen.note(
            f"{page.mount}, {page.tube or 'tube unknown'}, {page.eyepiece or 'eyepiece unknown'}, "
            f"{page.observer or 'observer unknown'}, from {page.started}"
        )
        for a in page.arrivals:
            screen.note(
                f"{a.at}  {a.role} {a.target}  {a.offset or a.landing or ''}".rstrip(), indent=2, hang=7
            )
    for o in read_back.observations:
        height = "" if o.alt_deg is None else f", {o.alt_deg:.0f}° high"
        screen.note(
            f"{o.at}  {o.sighting} {o.target}{height}  {o.description or ''}".rstrip(), indent=2, hang=7
        )
    for remark in read_back.remarks:
        screen.note(remark)


def completions(line: str, names: Sequence[str], verbs: Sequence[str]) -> list[str]:
    """The lines that a begun line may become: its verb, or the name of a star or object behind time and verb."""
    parts = line.split(" ", 2)
    if len(parts) == 2:
        return [f"{parts[0]} {verb} " for verb in verbs if verb.startswith(parts[1].casefold())]
    if len(parts) < 3:
        return []
    begun = parts[2].casefold()
    return [f"{parts[0]} {parts[1]} {name}" for name in names if begun and name.casefold().startswith(begun)]


def _draft_beside(target: str) -> Path:
    """Beside the database's file; for a server, in the folder of one's own database."""
    from obslog.settings import default_database_path

    path = default_database_path() if "://" in target else Path(target)
    return path.with_name(f"{path.name}.type-up.json")


def _reader(draft: Path, screen: Screen) -> Callable[[str], str]:
    """Reads a line: with completion where there is a terminal, else plainly from standard input."""
    if sys.stdin.isatty():
        _complete_names()

    def read(question: str) -> str:
        try:
            return screen.answer(question) if sys.stdin.isatty() else _next_line()
        except EOFError as error:
            raise Interrupted(draft) from error
        except KeyboardInterrupt:
            if draft.exists():
                screen.note(f"\nThe answers so far are kept. {GO_ON}")
            raise

    return read


def _next_line() -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line


def _complete_names() -> None:
    try:
        import readline
    except ImportError:  # not on every system
        return
    from obslog.club.night.paper_night import VERBS
    from obslog.sky.names.deepsky_names import common_names
    from obslog.sky.names.stars import all_stars

    names = sorted({star.name for star in all_stars()} | {name for name, _ in common_names()})

    def complete(text: str, state: int) -> str | None:
        found = completions(text, names, VERBS)
        return found[state] if state < len(found) else None

    readline.set_completer_delims("")
    readline.set_completer(complete)
    readline.parse_and_bind("tab: complete")
