"""What fills the officer's year: values, receipts, a stocktake, and asking again and again for what nobody brings back.

Not everything is valued, and not everything was found at once, as in any store-room.
"""

from collections.abc import Iterator
from datetime import date, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from obslog.club.reminding.calls import note_call
from obslog.club.reminding.escalation import to_see_to
from obslog.club.reminding.history import note_told, note_written
from obslog.club.reminding.reminders import reminders_due, written
from obslog.club.shelves.counting import saw, start
from obslog.club.shelves.finishing import finish
from obslog.club.storeroom.inventory_details import write_paper
from obslog.club.storeroom.missing import be_found
from obslog.club.storeroom.proof_files import add_receipt
from obslog.club.storeroom.store_list import store_list
from obslog.records.database import Database

from .load_storeroom import OFFICER, OVERDUE_TUBE, Dated, noons

VALUED_LATER = 210
VALUES: tuple[tuple[str, float], ...] = (
    ("Thistledown", 380), ("Marigold", 520), ("Nightjar", 340), ("Long Paddock", 870), ("Kelp", 290),
    ("Short six", 420), ("Big ten", 760), ("Feather", 260), ("Fork nine", 980), ("School five", 240),
    ("Pepper five", 150), ("Rucksack four", 190), ("Paddock eight", 310), ("Kelp six", 210),
    ("Workaday 26", 55), ("Wide 23", 180), ("Lantern 21", 70), ("Eighteen", 90), ("Crosshair 13", 65),
    ("Far south 29", 95), ("Lending 16", 40),
    ("Red-dot finder A", 35), ("Fifty-millimetre finder", 70), ("Right-angle finder", 85), ("Nebula filter", 110),
    ("Dew belt pair", 60),
)  # fmt: skip
"""What the officer valued in one evening; of the rest nobody knows yet."""

COUNTED_DAYS, FOUND_DAYS = 420, 408
NOT_FOUND = "Right-angle finder"

RECEIPTS: tuple[tuple[str, str, int, str], ...] = (
    ("Harbour Light", "legacy-auction.txt", 1400, "One mount, second hand: 1600.00. Paid in cash.\n"),
    ("Battery grey", "battery.txt", 90, "1 battery 85.00\n"),
    ("Nebula filter", "filter.txt", 900, "Filter, nebula, 110.00, with thanks.\n"),
)
ASKED = (50, 35, 22)
CALLED = (30, "will bring it to the next meeting")
ESCALATED = 25


def office_acts(database: Database, last_night: date) -> Iterator[Dated]:
    """The officer's acts beside lending and papers, with their times."""
    noon = noons(last_night)
    for name, value in VALUES:
        valued = {"value": value, "valued_on": noon(VALUED_LATER).date(), "valued_by": OFFICER}
        yield noon(VALUED_LATER), partial(write_paper, database, name, valued)
    for name, file, days, text in RECEIPTS:
        yield noon(58), partial(_file_receipt, database, name, file, text, noon(days).date())
    yield noon(COUNTED_DAYS), partial(_count_the_shelves, database)
    yield noon(FOUND_DAYS), partial(be_found, database, NOT_FOUND)
    for days in ASKED:
        yield noon(days), partial(_ask_for_it_back, database)
    days, said = CALLED
    yield noon(days), partial(note_call, database, OVERDUE_TUBE, said=said)
    yield noon(ESCALATED), partial(_tell_the_officer, database)


def _file_receipt(database: Database, name: str, file: str, text: str, dated_on: date, at: datetime) -> None:
    """The files themselves stay with the club, as everybody's do: what is kept of them is their name and SHA-256."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / file
        path.write_text(text, encoding="utf-8", newline="\n")
        add_receipt(database, name, path, at, dated_on=dated_on)


def _count_the_shelves(database: Database, at: datetime) -> None:
    """All is seen but one; that comes to light twelve days later."""
    start(database, at, OFFICER)
    for line in store_list(database):
        if line.kind != "kit" and line.name != NOT_FOUND:
            saw(database, line.name, at, kind=line.kind)
    finish(database, at)


def _ask_for_it_back(database: Database, at: datetime) -> None:
    """A reminder to whoever has the refractor, and to nobody else."""
    from obslog.report.reminding.letters import read_template

    due = reminders_due(database, at)
    letters = [
        written(reminder, read_template(None).letter(reminder, due).text)
        for reminder in due.reminders
        if any(loan.what == OVERDUE_TUBE for loan in reminder.loans)
    ]
    note_written(database, letters, at, lambda: None)


def _tell_the_officer(database: Database, at: datetime) -> None:
    from obslog.report.reminding.escalation_letter import read_template

    found = to_see_to(database, at)
    text = read_template(None).letter(found).text
    keys = [one.loan.key for one in found.loans]
    note_told(database, keys, (f"{at.date()}-for-the-officer.eml", text), at, lambda: None)
