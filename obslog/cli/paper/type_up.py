"""Typing up a night: questions in the order of the paper, a line for each act, read back before it is saved."""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from obslog.cli.paper.answers import SETUP, Answers
from obslog.cli.paper.dialogue import BuiltAnew, Dialogue, PageRefused, Question
from obslog.cli.paper.read_back import show_read_back
from obslog.cli.terminal.keeping import compute_ahead
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.club.paper import questions
from obslog.english import counted
from obslog.errors import ObslogError
from obslog.grammar.typed_times import lasting_date, read_date

if TYPE_CHECKING:
    from obslog.club.paper.page import NightHeading, PaperPage, SetupHead
    from obslog.club.paper.trials import ReadBack
    from obslog.records.database import Database

YES, NO = ("y", "yes"), ("n", "no")
GO_ON = "Go on where you were: obslog night type-up"


def _question(asked: questions.PageQuestion) -> Question:
    return Question(asked.name, asked.words, asked.kind)


SITE, _, *HEADING = map(_question, questions.OF_NIGHT)
NIGHT = _question(replace(questions.NIGHT, hint=f"{questions.NIGHT.hint}, or yesterday"))
MOUNT, *OF_SETUP = map(_question, questions.OF_SETUP)
OF_NO_MOUNT = ("observer",)
ONE_LINE = _question(questions.ONE_LINE)
HOW_QUESTIONS_GO = (
    'A blank answer is "not known". "back" goes to the answer before, "?" says what else one can type; Ctrl-C stops, '
    "and the next time it goes on from there."
)
HOW_LINES_GO = (
    'Now a line for each act, like 21:05 saw M 81; oval glow. "setup" begins another set-up, and a blank line '
    "ends the page. A line that is refused stands there to be mended; Ctrl-U wipes it out."
)
SEVERAL = ("present", "sky")


class Interrupted(ObslogError):
    def __init__(self, draft: Path) -> None:
        super().__init__(f"The night is not saved yet; the answers so far are in {draft}.", GO_ON)


class NotSaved(ObslogError):
    def __init__(self) -> None:
        super().__init__("Nothing was saved, and the draft is dropped.", "Begin anew: obslog night type-up")


def show_saved(screen: Screen, saved: "ReadBack") -> None:
    screen.line(f"Saved. One obslog undo takes the whole night of {saved.night.night} back.")


def type_up(database: "Database", now: datetime, state: State) -> "ReadBack":
    """Type up a night from paper.

    It asks in the order of the paper, and reads the night back before it is saved. A blank answer is "not known".
    After an interruption it goes on where it was. "page" shows what is typed so far, "back" goes to the answer
    before, "change 3" changes the third. A line that is questioned is taken as it is where it ends in !.
    """
    from obslog.cli.paper.reading import reader_for

    answers = Answers(_draft_beside(state.target))
    dialogue = Dialogue(
        answers=answers,
        screen=state.screen,
        reader=reader_for(state, database),
        names=partial(_names, database),
    )
    try:
        return _from_first_answer_to_saving(dialogue, database, now, state)
    except EOFError as error:
        raise Interrupted(answers.draft) from error
    except PageRefused:
        answers.drop_draft()
        raise
    except KeyboardInterrupt:
        if answers.draft.exists():
            state.screen.note(f"\nThe answers so far are kept. {GO_ON}")
        raise


def _names(database: "Database", kind: str) -> list[str]:
    from obslog.club.paper.offered import offered_for

    return [name for name, _ in offered_for(database, kind, "")]


def _from_first_answer_to_saving(
    dialogue: Dialogue, database: "Database", now: datetime, state: State
) -> "ReadBack":
    from obslog.club.paper.trials import read_back, save

    _resume(dialogue)
    dialogue.say_once(HOW_QUESTIONS_GO)
    while True:
        page = _page(dialogue, database, now)
        show_read_back(state.screen, read_back(database, page, now))
        answer = _whether_to_save(dialogue)
        if answer in NO:
            dialogue.answers.drop_draft()
            raise NotSaved
        if answer in YES:
            break
        if answer != "back":
            raise Interrupted(dialogue.answers.draft)
        dialogue.answers.without_last()
    saved = save(database, page, state.now())
    dialogue.answers.drop_draft()
    compute_ahead(database, state.screen)
    return saved


def _whether_to_save(dialogue: Dialogue) -> str:
    """What is answered; whoever is there is asked again for what is no answer, such as one more line of the page."""
    while True:
        answer = dialogue.confirm("Save it? (yes; no to drop it; back to go on typing; blank for later) ")
        if answer in ("", "back", *YES, *NO) or not dialogue.reader.interactive:
            return answer
        dialogue.screen.note(f"{answer!r} is no answer. One more line for the page? Then back first.")


def _resume(dialogue: Dialogue) -> None:
    """Take the answers of an earlier, interrupted time first, if there are any and they are wanted."""
    found = dialogue.answers.in_draft()
    if not found:
        return
    begins = ", ".join(answer.text for answer in found[:2])
    dialogue.screen.note(
        f"An unfinished night with {counted(len(found), 'answer')} is here: {begins}. "
        f"The last answer was {repr(found[-1].text) if found[-1].text else 'blank'}."
    )
    while True:
        answer = dialogue.confirm("Go on with it? (yes, or no to drop it) ")
        if answer in YES:
            dialogue.answers.begin_again(found)
            return
        if answer in NO:
            dialogue.answers.drop_draft()
            return


def _page(dialogue: Dialogue, database: "Database", now: datetime) -> "PaperPage":
    """The page, built from its answers as often as these are changed."""
    while True:
        try:
            return _built(dialogue, database, now)
        except BuiltAnew:
            continue


def _built(dialogue: Dialogue, database: "Database", now: datetime) -> "PaperPage":
    from obslog.club.paper.page import PaperPage, order_remark

    page = PaperPage(heading=_heading(dialogue, database, now))
    page = page.with_part(_setup(dialogue, database, page, now))
    dialogue.say_once(HOW_LINES_GO)
    while True:
        replayed = dialogue.is_replaying()
        grown = dialogue.ask(ONE_LINE, lambda text: _line(database, page, text, now))  # noqa: B023
        if grown is None:
            if dialogue.faults:
                raise PageRefused(dialogue.faults)
            return page
        if grown is page:
            page = page.with_part(_setup(dialogue, database, page, now))
            continue
        page = grown
        remark = order_remark(page)
        if remark and not replayed:
            dialogue.screen.note(remark)


def _heading(dialogue: Dialogue, database: "Database", now: datetime) -> "NightHeading":
    """What is said of the night, each part tried on the records as soon as it is answered."""
    from obslog.club.paper.page import NightHeading
    from obslog.club.paper.trials import site_named, try_heading, zone_at
    from obslog.club.register.usual_choices import site_meant

    site = dialogue.ask(
        replace(SITE, lasting=lambda text: text or _usual_site(database, dialogue.screen.note)),
        lambda text: site_named(
            database, site_meant(database, text or None, dialogue.screen.note, "its name")
        ),
    )
    zone = zone_at(database, site)
    heading = dialogue.ask(
        replace(NIGHT, lasting=lambda text: lasting_date(text, now, zone)),
        lambda text: try_heading(database, NightHeading(site=site, night=read_date(text)), now),
    )
    for question in HEADING:
        understand = _completed(question.name, heading, lambda whole: try_heading(database, whole, now))
        heading = dialogue.ask(question, understand)
    return heading


def _usual_site(database: "Database", say: Callable[[str], None]) -> str:
    """The site that other commands take where none is named; blank where there is none."""
    from obslog.club.register.usual_choices import NoneNamed, site_meant

    try:
        return site_meant(database, None, say)
    except NoneNamed:
        return ""


def _setup(dialogue: Dialogue, database: "Database", page: "PaperPage", now: datetime) -> "SetupHead":
    from obslog.club.paper.page import SetupHead
    from obslog.club.paper.trials import try_setup

    head = SetupHead()
    for question in (MOUNT, *OF_SETUP):
        if question is not MOUNT and head.mount is None and question.name not in OF_NO_MOUNT:
            continue
        understand = _completed(question.name, head, lambda whole: try_setup(database, page, whole, now))
        head = dialogue.ask(question, understand)
    return head


def _completed(name: str, whole: Any, tried: Callable[[Any], Any]) -> Callable[[str], Any]:
    """Understands an answer as a part of the whole, and tries the whole with it."""

    def understand(text: str) -> Any:
        parts = tuple(part.strip() for part in text.split(",") if part.strip())
        return tried(replace(whole, **{name: parts if name in SEVERAL else text or None}))

    return understand


def _line(database: "Database", page: "PaperPage", text: str, now: datetime) -> "PaperPage | None":
    """The page with that line; the page itself where another set-up begins, None at the end."""
    from obslog.club.paper.page import NothingOnPage, read_page_line
    from obslog.club.paper.trials import try_line

    if text.casefold() == SETUP:
        return page
    if text:
        return try_line(database, page, read_page_line(text), now)
    if page.is_blank:
        raise NothingOnPage
    return None


def _draft_beside(target: str) -> Path:
    """Beside the database's file; for a server, in the folder of one's own database."""
    from obslog.settings import default_database_path

    path = default_database_path() if "://" in target else Path(target)
    return path.with_name(f"{path.name}.type-up.json")
