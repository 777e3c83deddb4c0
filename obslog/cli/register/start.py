"""The first five minutes of a new club: its first things asked for one by one, each answer on record at once."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from functools import partial
from typing import TYPE_CHECKING

import typer

from obslog.cli.register.start_page import StartPage, as_document, show_start
from obslog.cli.terminal.command import command
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.errors import WrongInput

if TYPE_CHECKING:
    from obslog.cli.register.start_questions import StartQuestion, Topic
    from obslog.club.register.first_things import FirstThing
    from obslog.records.database import Database
    from obslog.settings import Person

GO_ON = "Go on where you were: obslog start"
HOW = (
    'Each answer is on record as soon as you press Enter. Enter alone leaves a question for later, "back" goes to the '
    'answer before, and "stop" leaves; obslog start then goes on from there.'
)


class AnswerRefused(WrongInput):
    """An answer out of a pipe that cannot be taken; nobody is there to be asked again."""

    def __init__(self, topic: str, question: str, error: WrongInput, on_record: int) -> None:
        kept = "The answers before it are on record. " if on_record else "Nothing was put on record. "
        super().__init__(f"{topic}, {question.lower()}: {error.message}", f"{_hint(error)} {kept}{GO_ON}")


class InsteadOfAnswer(Enum):
    """What may be said in place of an answer."""

    LATER = "later"
    BACK = "back"
    STOP = "stop"
    HELP = "help"


# Also what people type who want to get out of a program, or to know where they are: nobody's site is called that.
SAID = {
    "": InsteadOfAnswer.LATER,
    "back": InsteadOfAnswer.BACK,
    **dict.fromkeys(("stop", "quit", "exit"), InsteadOfAnswer.STOP),
    **dict.fromkeys(("?", "help"), InsteadOfAnswer.HELP),
}


def add_to(app: typer.Typer) -> None:
    """Put the command among the program's own."""
    command(app, "start", show=show_start, document=as_document)(start)


def start(database: "Database", now: datetime, state: State) -> StartPage:
    """Put on record what a new club begins with, step by step.

    It asks for a site, a mount, a tube, an eyepiece and a member, and says what each question is for. Each answer is
    on record at once. Leave at any question with stop, Ctrl-C or Ctrl-D: the next time it asks for what is missing
    only. Where nothing is missing it shows what is on record, and what to do next. Through a pipe it takes an answer
    a line, and a blank line is for later.

    obslog start
    """
    from obslog.club.register.first_things import first_things

    at_terminal = sys.stdin.isatty()
    walk = Walk(
        database=database,
        screen=state.screen,
        now=state.now,
        read=state.screen.answer if at_terminal else _next_line,
        at_terminal=at_terminal,
        keep_me=partial(_keep_me, state, database),
    )
    walk.through(first_things(database))
    if walk.on_record and at_terminal:
        state.screen.note("")
    return _page(database, first_things(database), now, state.me())


def _keep_me(state: State, database: "Database", name: str) -> bool:
    """Keep the member who was put on record as who types here, unless somebody has said who they are.

    Who was said to type in another database, such as one to try things in, is nobody here.
    """
    from obslog.records.driver_errors import files_in_sentences
    from obslog.settings import keep_person, settings_path

    if _known_here(database, state.me()):
        return False
    with files_in_sentences(str(settings_path(state.environment))):
        keep_person(state.environment, name)
    return True


def _known_here(database: "Database", me: "Person | None") -> bool:
    """Whether who types here is told by OBSLOG_ME, or has a name that fits somebody on record."""
    from obslog.club.register.usual_choices import who_is_here
    from obslog.grammar.name_choice import SeveralNamesFit

    if me is None or me.from_environment:
        return me is not None
    try:
        return who_is_here(database, lambda: me).on_record
    except SeveralNamesFit:
        return True


@dataclass(kw_only=True)
class Walk:
    """Asks question after question; at a terminal again after a bad answer, through a pipe it then ends.

    `keep_me` is told the name of a member put on record, and answers whether that is now who types here.
    """

    database: "Database"
    screen: Screen
    now: Callable[[], datetime]
    read: Callable[[str], str]
    at_terminal: bool
    keep_me: Callable[[str], bool]
    on_record: int = 0

    def through(self, things: "list[FirstThing]") -> None:
        """Ask for what is missing, until all is asked or the person leaves."""
        from obslog.cli.register.start_questions import TOPICS

        if not any(thing.missing for thing in things):
            return
        open_things = [
            thing
            for thing in things
            if not all(question.answered(thing.known) for question in TOPICS[thing.kind].questions)
        ]
        self._explain(open_things)
        number, from_behind = 0, False
        while number < len(open_things):
            thing = open_things[number]
            topic = TOPICS[thing.kind]
            self._head(
                f"{topic.title} {thing.name}" if thing.name else topic.title, topic, number, len(open_things)
            )
            open_things[number], word = self._ask_about(thing, topic, from_behind=from_behind)
            if word is InsteadOfAnswer.STOP:
                return
            from_behind = word is InsteadOfAnswer.BACK
            if from_behind and number == 0:
                self.screen.note("This is the first question.")
            number = max(number - 1, 0) if from_behind else number + 1

    def _head(self, title: str, topic: "Topic", number: int, count: int) -> None:
        if self.at_terminal:
            self.screen.note("")
            self.screen.note(f"{title} ({number + 1} of {count})", style="bold")
            self.screen.note(topic.purpose)

    def _explain(self, things: "list[FirstThing]") -> None:
        if self.at_terminal:
            self.screen.note(f"To put on record: {', '.join(thing.kind for thing in things)}.")
            self.screen.note(HOW)

    def _ask_about(
        self, thing: "FirstThing", topic: "Topic", *, from_behind: bool
    ) -> "tuple[FirstThing, InsteadOfAnswer | None]":
        """All questions about one thing that are not answered yet, and those gone back to.

        Gone back to from the thing behind it, it begins with the last that was asked. Gives the thing as it is then,
        and back or stop where the person leaves it so.
        """
        questions = topic.questions if thing.name is not None else topic.questions[:1]
        place, gone_back = (len(questions) - 1, True) if from_behind else (0, False)
        while place < len(topic.questions):
            question = topic.questions[place]
            if question.answered(thing.known) and not gone_back:
                place += 1
                continue
            reply = self._ask(thing, topic, question)
            gone_back = reply is InsteadOfAnswer.BACK
            if reply is InsteadOfAnswer.STOP or (reply is InsteadOfAnswer.BACK and place == 0):
                return thing, reply
            if reply is InsteadOfAnswer.BACK:
                place -= 1
                continue
            if not isinstance(reply, InsteadOfAnswer):
                thing = reply
            elif thing.name is None:  # for later, and nothing can be on record of what has no name
                return thing, None
            place += 1
        return thing, None

    def _ask(
        self, thing: "FirstThing", topic: "Topic", question: "StartQuestion"
    ) -> "FirstThing | InsteadOfAnswer":
        """The thing with the answer on record, or the word that was said in its place."""
        if self.at_terminal:
            self._tell_about(thing, question)
        while True:
            text = self._answer(f"{question.label}: ")
            if text is InsteadOfAnswer.HELP:
                self._tell_about(thing, question)
                self.screen.note(HOW)
                continue
            if text is InsteadOfAnswer.LATER and self.at_terminal and not question.answered(thing.known):
                self.screen.note("Left for later.", indent=2)
            if isinstance(text, InsteadOfAnswer):
                return text
            try:
                return self._record(thing, topic, question, text)
            except WrongInput as error:
                if not self.at_terminal:
                    raise AnswerRefused(topic.title, question.label, error, self.on_record) from error
                self.screen.note(f"{error.message} {_hint(error)}")

    def _tell_about(self, thing: "FirstThing", question: "StartQuestion") -> None:
        """What the question is for, what there is to choose from, and what was answered before."""
        self.screen.note(question.purpose)
        for number, (answer, meaning) in enumerate(question.listed(thing.known), 1):
            self.screen.note(f"{number}  {answer}: {meaning}", indent=2, hang=3)
        if question.answered(thing.known):
            self.screen.note(f"On record: {question.said(thing.known)}. Enter alone keeps it.")

    def _record(
        self, thing: "FirstThing", topic: "Topic", question: "StartQuestion", text: str
    ) -> "FirstThing":
        from obslog.club.register.first_things import put_on_record

        sure = question.may_insist and text.endswith("!")
        answer = question.read(text.rstrip("!") if sure else text, thing.known)
        thing = put_on_record(self.database, thing, answer, self.now(), sure=sure)
        self.on_record += 1
        said = question.said(thing.known)
        if thing.kind == "member" and thing.name is not None and self.keep_me(thing.name):
            said += ", and that is you"
        if self.at_terminal:
            self.screen.note(f"On record: {said}", indent=2, hang=2)
        else:
            self.screen.note(f"{topic.title}: {said}")
        return thing

    def _answer(self, question: str) -> str | InsteadOfAnswer:
        try:
            text = self.read(question).strip()
        except (EOFError, KeyboardInterrupt):
            if self.at_terminal:
                self.screen.note("")  # the question's line is not ended yet
            return InsteadOfAnswer.STOP
        return SAID.get(text.casefold(), text)


def _hint(error: WrongInput) -> str:
    """What to do, in the walk: no options are at hand there."""
    instead = (
        'If the place is wrong, type "back"; if both are right, end the answer with an exclamation mark.'
    )
    return error.hint.replace("If both are right, add --sure.", instead)


def _next_line(_question: str) -> str:
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line


def _page(database: "Database", things: "list[FirstThing]", now: datetime, me: "Person | None") -> StartPage:
    """What is on record, with tonight at the site where its place and zone are known."""
    from obslog.club.register.observing_site import instant_at, observing_site
    from obslog.club.sky.sun_and_moon import sun_and_moon

    site = next(thing for thing in things if thing.kind == "site")
    known = _known_here(database, me)
    if site.missing or site.name is None:
        return StartPage(things=things, me=me, me_known=known)
    view = observing_site(database, site.name)
    tonight = sun_and_moon(view, instant_at(view, None, now, planning=True))
    return StartPage(things=things, tonight=tonight, zone=view.zone, now=now, me=me, me_known=known)
