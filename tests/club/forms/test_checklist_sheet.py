"""The checklist as a sheet: the steps of the mount, tonight's values, what went wrong before, room for snags."""

from datetime import UTC, date, datetime, timedelta

import pytest

from obslog.club.checklist.step_ticks import tick_step
from obslog.club.forms.blocks import Block, Boxes, Caution, Explanation, Form, Heading, Table, Task, Ticks
from obslog.club.forms.checklist_sheet import HEADS, SNAG_COLUMNS, checklist_sheet
from obslog.club.night.snags import add_snag
from obslog.club.routine.step_guides import EQUATORIAL
from obslog.records.database import Database
from obslog.vocabulary.cautions import SUN_CAUTION, Danger
from obslog.vocabulary.steps import Step
from tests.club.checklist.test_look_first import Logbook


def ticks(form: Form) -> Ticks:
    (found,) = [block for block in form.blocks if isinstance(block, Ticks)]
    return found


def task_of(form: Form, step: Step) -> Task:
    (found,) = [task for task in ticks(form).tasks if task.title.endswith(f"[{step}]")]
    return found


def first_place(form: Form, kind: type[Block]) -> int:
    return next(place for place, block in enumerate(form.blocks) if isinstance(block, kind))


@pytest.fixture
def form(club: Database, now: datetime) -> Form:
    return checklist_sheet(club, "heron", "mill", now, member="ines")


def test_every_step_has_its_boxes_in_the_order_of_the_work(form: Form) -> None:
    assert ticks(form).heads == HEADS
    assert [task.title for task in ticks(form).tasks] == [
        f"{order}. {guide.title} [{guide.step}]" for order, guide in enumerate(EQUATORIAL, start=1)
    ]


def test_each_step_says_what_to_do_how_well_and_has_room_for_what_was_read(form: Form) -> None:
    for guide, task in zip(EQUATORIAL, ticks(form).tasks, strict=True):
        assert task.told == (f"{guide.do} Aim: {guide.tolerance}.",)
        assert task.write is not None


def test_what_is_to_be_keyed_in_tonight_is_printed(form: Form) -> None:
    # Mill Field: 52.2 north is 52 degrees 12 minutes; 0.12 east is 7 minutes; London keeps universal time in March.
    values = " ".join(task_of(form, Step.KEY_IN).values)
    for told in ("52° 12' N", "0° 07' E", "2026-03-02", "21:40", "zone +0 h", "summer time NO"):
        assert told in values


def test_who_sets_up_is_named_and_the_sun_comes_first(form: Form) -> None:
    row = form.blocks[first_place(form, Boxes)]
    assert isinstance(row, Boxes)
    assert [(box.label, box.filled) for box in row.boxes] == [("Observer", "Ines"), ("Set up at", None)]
    assert SUN_CAUTION in str(form.blocks[0])


def test_what_went_wrong_before_stands_at_its_step(club: Database, now: datetime) -> None:
    add_snag(club, Step.LEVEL, "a leg sank", now - timedelta(days=1), mount="Heron", site="Mill Field")
    form = checklist_sheet(club, "Heron", "Mill Field", now)
    assert [words for words in task_of(form, Step.LEVEL).warnings if "a leg sank" in words]
    assert task_of(form, Step.HOME).warnings == ()


def test_what_is_ticked_already_is_said(club: Database, now: datetime) -> None:
    tick_step(club, Step.POWER, "Heron", "Mill Field", now, now, went_well=True, value="12.6 12.1")
    form = checklist_sheet(club, "Heron", "Mill Field", now)
    assert "ticked already: done, 12.6 12.1" in task_of(form, Step.POWER).values


def test_where_to_look_first_stands_before_the_steps(sqlite_club: Database, now: datetime) -> None:
    # Five nights in a row with the clock an hour out: nobody needs statistics to look there first.
    days = [date(2026, 2, 1) + timedelta(days=n) for n in range(5)]
    with sqlite_club.write(now) as session:
        log = Logbook(session)
        for day in days:
            log.snag(log.setup(day), day, "summer time was on")
    form = checklist_sheet(sqlite_club, "Heron", "Mill Field", now)
    headings = [block.words for block in form.blocks if isinstance(block, Heading)]
    assert headings == ["Look first", "Steps", "Snags"]
    strong = [block.words for block in form.blocks if isinstance(block, Explanation) and block.strong]
    assert len(strong) == 1
    assert strong[0].startswith("Key in place and time: summer time wrong on 5 of the last 5 nights")


def test_there_is_room_for_snags_and_how_they_are_typed(form: Form) -> None:
    (table,) = [block for block in form.blocks if isinstance(block, Table)]
    assert (table.columns, table.writing, table.fills_page) == (SNAG_COLUMNS, True, True)
    assert any("TIME snag STEP" in block.words for block in form.blocks if isinstance(block, Explanation))


def test_by_day_the_sun_that_is_up_is_told_first(club: Database) -> None:
    by_day = checklist_sheet(club, "Heron", "Mill Field", datetime(2026, 7, 10, 14, tzinfo=UTC))
    caution = by_day.blocks[0]
    assert isinstance(caution, Caution)
    assert caution.sentences[0] == Danger.DAYTIME
