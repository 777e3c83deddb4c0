"""The checklist of a mount as a sheet: where to look first, tonight's values, a box for each step, room for snags."""

from collections.abc import Iterator
from datetime import datetime

from obslog.club.checklist.checklist import Checklist, ChecklistStep, checklist
from obslog.club.checklist.look_first import look_first_words
from obslog.club.checklist.past_snags import past_snag_words
from obslog.club.forms.blocks import Block, Box, Boxes, Column, Explanation, Form, Heading, Table, Task, Ticks
from obslog.club.forms.cautions import setting_up
from obslog.club.paper.questions import OBSERVER, STARTED_AT
from obslog.errors import quoted
from obslog.records.database import Database

TITLE = "Checklist"
HEADS = ("done", "wrong")
SNAG_ROWS = 6
SNAG_COLUMNS = (
    Column(title="time", share=10),
    Column(title="snag at step", share=20),
    Column(title="what happened", share=40),
    Column(title="remedy", share=30),
)


def checklist_sheet(
    database: Database, mount: str, site: str, at_utc: datetime, *, member: str | None = None
) -> Form:
    """The sheet of one mount at one site for one evening. Raises UnknownName."""
    made = checklist(database, mount, site, at_utc, member_name=member)
    return Form(
        title=f"{TITLE}: {made.mount}",
        about=f"{made.site}, {made.local}",
        dated=datetime.fromisoformat(made.local).date(),
        blocks=tuple(_blocks(made)),
    )


def _blocks(made: Checklist) -> Iterator[Block]:
    yield setting_up(made.by_day)
    yield Boxes(
        (
            Box(label=OBSERVER.label, filled=made.member, share=2.0),
            Box(label=STARTED_AT.label, hint=STARTED_AT.hint),
        )
    )
    for notice in made.notices:
        yield Explanation(f"! {notice.words}")
    if made.look_first:
        yield Heading("Look first")
        for one in made.look_first:
            yield Explanation(look_first_words(one), strong=True)
    yield Heading("Steps")
    typed = f"obslog checklist {quoted(made.mount)} --site {quoted(made.site)} --at TIME --tick STEP"
    yield Explanation(
        f'Typed up as: {typed}, with --value "what was read" and with --wrong where it did not go well. STEP is the '
        "word in brackets."
    )
    yield Ticks(HEADS, tuple(_task(step) for step in made.steps))
    yield Heading("Snags")
    yield Explanation(
        "Typed up as a line: TIME snag STEP what happened. A remedy that helped is worth a line too."
    )
    yield Table(columns=SNAG_COLUMNS, blank_rows=SNAG_ROWS, writing=True, fills_page=True)


def _task(step: ChecklistStep) -> Task:
    told = set()
    warnings = []
    for snag in step.snags:
        last = (snag.last, snag.last_text)
        warnings.append(past_snag_words(snag, told_already=last in told))
        told.add(last)
    return Task(
        title=f"{step.order}. {step.title} [{step.step}]",
        told=(f"{step.do} Aim: {step.tolerance}." if step.tolerance else step.do,),
        values=(*step.values, *_ticked(step)),
        warnings=tuple(warnings),
        write="read or set",
    )


def _ticked(step: ChecklistStep) -> Iterator[str]:
    """What was ticked already tonight."""
    if step.tick is not None:
        how = "went WRONG" if step.tick.went_well is False else "done"
        yield f"ticked already: {how}{f', {step.tick.value}' if step.tick.value else ''}"
