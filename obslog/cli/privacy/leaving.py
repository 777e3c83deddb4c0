"""A member who leaves: asked first, for it cannot be undone, and told what is left to see to."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING, Annotated

import typer

from obslog.cli.terminal.command import command
from obslog.cli.terminal.options import Name, Yes
from obslog.cli.terminal.questions import ask_first
from obslog.cli.terminal.screen import Screen
from obslog.cli.terminal.state import State
from obslog.english import counted
from obslog.errors import quoted
from obslog.records.nameless import NAMES

if TYPE_CHECKING:
    from obslog.club.privacy.leaving_members import Leaving
    from obslog.records.database import Database

MOST_MENTIONS = 20
OnlyLook = Annotated[
    bool, typer.Option("--look", help="Only say what would be done, and where the name stands.")
]
AlsoTexts = Annotated[
    bool, typer.Option("--also-texts", help="Done anyhow: notes and other free texts lose the name too.")
]


def show_leaving(screen: Screen, left: "Leaving") -> None:
    if left.done:
        screen.line(f"Their name is {left.name} now; records are kept under it.", style="bold")
    else:
        screen.line(f"Nothing was changed. Their name would be {left.name}.", style="bold")
    for line in _consequences(left):
        screen.line(line)
    _show_mentions(screen, left)
    for copy in left.copies:
        screen.line(f"This copy still holds the old name; delete it when it is not needed: {copy}")
    if left.done:
        for line in _remains(left):
            screen.line(line)


def leave_member(app: typer.Typer) -> None:
    """Put the command among those of members."""
    command(app, "leave", show=show_leaving)(leave)


def leave(
    database: "Database",
    now: datetime,
    state: State,
    name: Name,
    only_look: OnlyLook = False,
    also_texts: AlsoTexts = False,
    yes: Yes = False,
) -> "Leaving":
    """Remove a member's name and contact for good.

    A neutral name takes the place of theirs, in notes and other free texts too; all records are kept under it.
    There is no undo, so it asks first.

    obslog member leave "Ines Okafor" --look
    """
    from obslog.club.privacy.leaving_members import leave
    from obslog.club.privacy.member_words import known_by

    if not only_look and not yes:
        ahead = leave(database, name, now, only_look=True)
        _say_ahead(state.screen, name, ahead)
        _say_copies(state.screen, ahead)
        ask_first(state.screen, "Removing a member", "Go ahead? It cannot be undone.")
    known = known_by(database, name)
    left = leave(database, name, now, only_look=only_look)
    if left.done:
        forget_here(state, known)
    return left


def forget_here(state: State, known: list[str]) -> None:
    """Take a leaver out of what this machine keeps beside the records: who types here, and the lines of the prompt."""
    from obslog.cli.prompt.kept import KeptLines, beside_database
    from obslog.records.driver_errors import files_in_sentences
    from obslog.records.redaction.words import Words
    from obslog.settings import keep_person, person_here, settings_path

    words = Words(dict.fromkeys(known, ""))
    me = person_here(state.environment)
    if me is not None and not me.from_environment and words.stand_in(me.name):
        with files_in_sentences(str(settings_path(state.environment))):
            keep_person(state.environment, None)
        state.screen.note("This machine does not take you for them any more.")
    lines = beside_database(state.target, "prompt-lines")
    with files_in_sentences(str(lines)):
        dropped = KeptLines(lines).drop(words.stand_in)
    if dropped:
        state.screen.note(
            f"Dropped what named them of the lines typed at the prompt: {counted(dropped, 'line')}."
        )


def _say_ahead(screen: Screen, name: str, ahead: "Leaving") -> None:
    """What is about to happen, on standard error: the answer is no result."""
    screen.note(f"The name {name} will be replaced by {ahead.name} in all records.")
    for line in _consequences(replace(ahead, done=False)):
        screen.note(line)
    if texts := sum(mention.replaced for mention in ahead.mentions):
        screen.note(
            f"The name goes from {counted(texts, 'text')} too. See them: obslog member leave {quoted(name)} --look"
        )


def _say_copies(screen: Screen, ahead: "Leaving") -> None:
    for copy in ahead.copies:
        screen.note(f"This copy will still hold the old name: {copy}")


def _consequences(left: "Leaving") -> Iterator[str]:
    was = "was" if left.done else "would be"
    if left.contact_deleted:
        yield f"Their contact {was} deleted."
    for what in left.no_longer_waits_for:
        yield f"Their place in the waiting list for {what} {was} given up."


def _remains(left: "Leaving") -> Iterator[str]:
    if any(m.whole_name and m.field.replace(" ", "_") in NAMES for m in left.mentions):
        yield "In the history the old name stands only where something above is called by it. There is no undo."
    else:
        yield "The history holds neither the old name nor the contact, so this cannot be undone."
    if left.wiped is False:
        yield "Another program has the file open: remnants stay in its unused pages for a while."
    if left.wiped is None:
        yield "The server keeps old versions of rows until it has vacuumed; its own backups stay."
    yield "Backups, exported sheets, calendars and printed forms made before still hold the old name."


def _show_mentions(screen: Screen, left: "Leaving") -> None:
    if not left.mentions:
        return
    not_replaced = "were not" if left.done else "would not be"
    screen.line(f"Texts that name them; correct by hand those that {not_replaced} replaced:")
    screen.table(
        ["where", "reference", "field", "names", "replaced", "text"],
        [
            [
                m.kind.replace("_", " "),
                m.reference,
                m.field,
                "all" if m.whole_name else "a part",
                m.replaced,
                m.text,
            ]
            for m in left.mentions[:MOST_MENTIONS]
        ],
    )
    if len(left.mentions) > MOST_MENTIONS:
        screen.line(f"and {len(left.mentions) - MOST_MENTIONS} more (--json has all)")
