"""The page for a successor: what is out, due, broken, missing and waited for, the club's rules, where all lies."""

from collections.abc import Iterator, Sequence

from obslog import __version__
from obslog.club.office.handing_over import DUE_WITHIN_DAYS, HandedOver
from obslog.club.office.health import astray
from obslog.club.routine.club_routine import RoutineStanding, standing_words
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.english import counted
from obslog.report.pages.content import Bullets, Page, Paragraph, Part, Section, Table

Rows = Sequence[Sequence[str]]


def handover_page(office: HandedOver) -> Page:
    """The office as a page; a section without anything says so, for a successor asks."""
    waiting = len({line.member for line in office.waiting})
    overdue = sum(loan.overdue for loan in office.out)
    return Page(
        kind="office",
        title="Handing over the equipment office",
        lead=f"On {office.day}: {counted(len(office.out), 'loan')} out, {overdue} overdue, "
        f"{counted(len(office.missing), 'item')} missing, {counted(waiting, 'member')} waiting.",
        sections=list(_sections(office)),
        footer=[
            f"Made by obslog {__version__} on {office.day}. Borrowers are named; passwords and contacts are not here."
        ],
    )


def _sections(office: HandedOver) -> Iterator[Section]:
    yield from _where_things_are(office)
    yield from _what_is_to_be_done(office)
    yield _table(
        "Rules that the club has set itself",
        "Rules other than the defaults; all are shown by obslog rule list",
        ["rule", "value", "what it is for"],
        [[rule.name, rule.words, rule.meaning] for rule in office.rules],
        "All rules are the defaults: obslog rule list",
    )
    yield _routine(office.routine)
    yield _health(office)
    yield _where(office)


def _where_things_are(office: HandedOver) -> Iterator[Section]:
    yield _table(
        "Out",
        "Loans, the first due first",
        ["item", "who", "since", "due", "state"],
        [
            [loan.what, loan.member or "", f"{loan.out_on}", f"{loan.due_on}", loan.state or "in time"]
            for loan in office.out
        ],
        "Nothing is out.",
    )
    yield _table(
        "Missing",
        "Kits and items that are missing",
        ["item", "kind", "since", "tag"],
        [[line.name, line.kind, _day(line.missing_since), line.tag or ""] for line in office.missing],
        "Nothing is missing.",
    )
    yield _table(
        "Kits that are not complete",
        "Kits with what is not in its place",
        ["kit", "parts"],
        [
            [kit.name, ", ".join(f"{part.part}: {part.where}" for part in astray(kit))]
            for kit in office.incomplete
        ],
        "Every kit is complete.",
    )


def _what_is_to_be_done(office: HandedOver) -> Iterator[Section]:
    yield _table(
        "Broken, or to be looked at",
        "What is for service, then open snags about items, the newest first",
        ["about", "since", "text", "reference"],
        [
            *([one.name, _day(one.since), one.words, ""] for one in office.for_service),
            *([snag.about or "", f"{snag.day}", snag.text, snag.reference] for snag in office.broken),
        ],
        "No snag about an item is open, and nothing is for service.",
    )
    yield _table(
        "Services due",
        f"Due by now or within {DUE_WITHIN_DAYS} days, what was used on most nights first",
        ["item", "due", "service"],
        [[due.name, _due(due), due.words] for due in office.services],
        "No service is due.",
    )
    yield _table(
        "Who waits",
        "Waiting lists, in their order",
        ["for", "place", "who", "since"],
        [[line.what, f"{line.place}", line.member or "", f"{line.asked_on}"] for line in office.waiting],
        "Nobody waits.",
    )


def _routine(routine: RoutineStanding) -> Section:
    write = "Write it into a file, to read or to change it: obslog rule write routine.toml"
    return Section("The club's routine", [Paragraph(standing_words(routine)), Paragraph(write)])


def _health(office: HandedOver) -> Section:
    lines = [
        f"{check.heading}: {check.records} of {check.looked_at}"
        for check in office.health.checks
        if check.wanting
    ]
    lines += [f"name due to be removed since {one.due_on}: {one.name}" for one in office.leavers_due]
    parts: list[Part] = [Bullets(lines)] if lines else [Paragraph("Nothing is wanting in the records.")]
    if lines:
        parts.append(Paragraph("What each is, with the command that mends it: obslog officer health"))
    return Section("The records", parts)


def _where(office: HandedOver) -> Section:
    lines = [f"The database: {office.where}"]
    lines += [f"A copy: {copy}" for copy in office.copies]
    lines += [
        f"Beside it lies another database; whether it is a copy is not known: {path}"
        for path in office.perhaps_copies
    ]
    if not office.copies:
        known = "known copy" if office.perhaps_copies else "copy"
        lines.append(f"There is no {known} beside it; make one: obslog db backup FILE")
    lines.append("Copies on other disks are not known to the program: write down where they are.")
    lines.append("Passwords stand nowhere here: hand them over by word of mouth.")
    return Section("Where the records lie", [Bullets(lines)])


def _table(title: str, caption: str, columns: Sequence[str], rows: Rows, nothing: str) -> Section:
    if not rows:
        return Section(title, [Paragraph(nothing)])
    return Section(title, [Table(caption=caption, columns=columns, rows=rows)])


def _due(due: DueService) -> str:
    """By a condition nobody knows whether it is due until somebody looks."""
    if due.basis is DueBy.CONDITION:
        return "check it"
    return "now" if due.due_on is None else f"{due.due_on}"


def _day(day: object) -> str:
    return "" if day is None else f"{day}"
