"""A reminder made by hand: Ines has a kit ten days over and an eyepiece due today; a mount is there for her."""

from dataclasses import replace
from datetime import UTC, date, datetime
from uuid import UUID

from obslog.club.reminding.next_waiting import NextWaiting
from obslog.club.reminding.reminders import LoanToTell, MemberReminder, ReminderCounts, RemindersDue
from obslog.club.reminding.stages import Stage

NOW = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
MEMBER = UUID("0195574a-0000-7000-8000-00000000abcd")
KIT = LoanToTell(
    key=UUID("0195574a-0000-7000-8000-000000000001"),
    reference="000001",
    what="Evening kit",
    parts=["Heron", "Long tube", "dust cap"],
    out_on=date(2026, 1, 20),
    due_on=date(2026, 2, 20),
    days_left=-10,
    days_over=10,
    stage=Stage.OVERDUE,
    waiting=1,
    reminded_on=None,
    written_before=None,
    times_reminded=0,
    already_told=False,
    called_on=None,
    times_called=0,
    call_note=None,
)
EYEPIECE = replace(
    KIT,
    key=UUID("0195574a-0000-7000-8000-000000000002"),
    reference="000002",
    what="Wide 25",
    parts=[],
    out_on=date(2026, 2, 2),
    due_on=date(2026, 3, 2),
    days_left=0,
    days_over=0,
    stage=Stage.DUE,
    waiting=0,
)
MOUNT = NextWaiting(
    key=UUID("0195574a-0000-7000-8000-000000000003"),
    what="Bracken",
    kind="mount",
    member="Ines",
    asked_on=date(2026, 2, 3),
    waiting=2,
    there=True,
    for_service=False,
    due_on=None,
    reminded_on=None,
    times_reminded=0,
)
INES = MemberReminder(
    key=MEMBER,
    member="Ines",
    email="ines@example.org",
    stage=Stage.OVERDUE,
    loans=[KIT, EYEPIECE],
    not_yet=[],
    ready=[MOUNT],
)
DUE = RemindersDue(
    on=NOW.date(),
    counts=ReminderCounts(due_soon=0, due=1, overdue=1, second_reminder=0, to_the_officer=0, ready=1),
    reminders=[INES],
    waiting=[MOUNT],
)
