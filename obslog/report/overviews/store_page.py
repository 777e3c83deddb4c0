"""The page of the store-room: what needs somebody, how the fleet lands, who has what, what is due, what it is worth."""

from collections.abc import Iterator, Mapping, Sequence

from obslog.club.overviews.fleet import Fleet
from obslog.club.overviews.store_facts import DAYS_AHEAD, PlaceWorth, StoreFacts
from obslog.club.review.review import Reviewed, by_gravity
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.loan_pages import LoanLine
from obslog.club.storeroom.store_list import Worth
from obslog.club.upkeep.services_due import DueBy
from obslog.english import counted, enumerated
from obslog.money import money_text
from obslog.report.overviews.fleet_picture import fleet_picture
from obslog.report.pages.content import Bullets, Grouped, Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.report.plain_text import sentence

NEEDS_SOMEBODY = {
    Status.SERVICE: "To be serviced, the most used first",
    Status.WATCH: "To be watched",
    Status.OUT: "On loan or missing",
}
NO_NAMES = (
    "Who has something, or waits for it, is not named on this page; the officer can have it with names."
)


def store_page(facts: StoreFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    return Page(
        kind="store",
        title="The store-room",
        lead=lead_words(facts),
        sections=[
            Section("What needs somebody", list(_review(facts))),
            Section("Where the fleet lands", list(_fleet(facts))),
            Section("Who has what", list(_loans(facts))),
            Section("What is due", list(_due(facts))),
            Section("What it is worth", list(_worth(facts))),
            Section("Waiting lists", list(_waiting(facts))),
        ],
        footer=footer_lines(facts.basis),
        up=up,
    )


def lead_words(facts: StoreFacts) -> str:
    """The one sentence that matters most."""
    judged = [item.status for item in facts.review.items if item.status is not Status.RETIRED]
    if not judged:
        return "Nothing is in the store-room yet."
    service, watch, out = (sum(one is status for one in judged) for status in NEEDS_SOMEBODY)
    says = [
        f"{service} to be serviced" if service else "",
        f"{watch} to be watched" if watch else "",
        f"{out} on loan or missing" if out else "",
    ]
    told = enumerated([one for one in says if one])
    of = counted(len(judged), "kit or item", "kits and items")
    return f"Of {of} in use: {told}." if told else f"In use and ready to be lent: {of}."


def _review(facts: StoreFacts) -> Iterator[Part]:
    groups = dict(by_gravity(facts.review))
    told = _told_of_items([item for status in NEEDS_SOMEBODY for item in groups.get(status, [])])
    for status, words in NEEDS_SOMEBODY.items():
        if status in groups:
            yield Paragraph(f"{words}:")
            yield Grouped([(f"{item.name} ({item.kind})", _why(item, told)) for item in groups[status]])
    if not groups.keys() & NEEDS_SOMEBODY.keys():
        yield Paragraph("Nothing needs anybody.")
    ready = [item.name for item in groups.get(Status.READY, [])]
    if ready:
        yield Paragraph(f"Ready to be lent ({len(ready)}): {', '.join(ready)}.")


def _told_of_items(items: Sequence[Reviewed]) -> dict[str, str]:
    """The reasons that stand on the page under an item, as the kit that it is a part of has them, and the item."""
    return {
        f"{item.name}: {reason.words}": item.name
        for item in items
        if item.kind != "kit"
        for reason in item.reasons
    }


def _why(item: Reviewed, told: Mapping[str, str]) -> list[str]:
    """Its reasons; what a kit owes to a part that has its own place on the page is told there alone."""
    own = [
        sentence(reason.words) for reason in item.reasons if item.kind != "kit" or reason.words not in told
    ]
    if item.kind != "kit":
        return own
    parts = dict.fromkeys(told[reason.words] for reason in item.reasons if reason.words in told)
    return [*own, *(f"{part}, a part of it: see there." for part in parts)]


def _fleet(facts: StoreFacts) -> Iterator[Part]:
    fleet = facts.fleet
    if not fleet.lines:
        yield Paragraph("Where the go-tos of a mount land is not on record yet.")
        return
    yield Paragraph(f"The picture shows what users met with. {_worse_words(fleet)}")
    yield fleet_picture(fleet)
    if fleet.silent:
        yield Paragraph(f"No landing on record of {enumerated(list(fleet.silent))}.")


def _worse_words(fleet: Fleet) -> str:
    """Which mounts are worse themselves; that none is, only where it can be told of one at least."""
    worse = [line.name for line in fleet.lines if line.worse_itself]
    if not worse and all(line.may_be_twice for line in fleet.lines):
        return (
            "Too few set-ups are on record to say whether a mount lands farther out than the club's average."
        )
    return (
        "With those who set up, and the sites, allowed for, "
        f"{enumerated(worse) or 'no mount'} {'land' if len(worse) > 1 else 'lands'} farther out than the club's average"
        f"{' (drawn as a diamond)' if worse else ', chance allowed for'}."
    )


def _loans(facts: StoreFacts) -> Iterator[Part]:
    if not facts.with_names:
        yield Paragraph(NO_NAMES)
    if not facts.loans:
        yield Paragraph("Nothing is on loan.")
        return
    overdue = sum(loan.overdue for loan in facts.loans)
    yield Table(
        caption=f"{counted(len(facts.loans), 'open loan')}, {overdue} overdue; the first due first",
        columns=["item", "kind", *(["with"] if facts.with_names else []), "out since", "due", "days left"],
        rows=[_loan_row(loan, with_names=facts.with_names) for loan in facts.loans],
        numeric=[False, False, *([False] if facts.with_names else []), False, False, True],
    )


def _loan_row(loan: LoanLine, *, with_names: bool) -> list[str]:
    who = [loan.member or ""] if with_names else []
    return [loan.what, loan.kind, *who, str(loan.out_on), str(loan.due_on), _days_left(loan.days_left)]


def _days_left(days: int | None) -> str:
    if days is None:
        return ""
    return str(days) if days >= 0 else f"{-days} late"


def _due(facts: StoreFacts) -> Iterator[Part]:
    loans = [
        (str(loan.due_on), f"{loan.due_on}: {loan.what} ({loan.kind}) back from loan.")
        for loan in facts.loans
    ]
    to_check = [due for due in facts.services_due if due.basis is DueBy.CONDITION]
    services = [
        (str(due.due_on or ""), f"{due.due_on or 'now'}: {due.name} ({due.kind}), {due.words}.")
        for due in facts.services_due
        if due not in to_check
    ]
    rows = sorted([*loans, *services])
    if rows:
        yield Paragraph(f"Services that are due within {DAYS_AHEAD} days, and loans, in order of date:")
        yield Bullets([words for _, words in rows])
    else:
        yield Paragraph(f"Nothing is due in the next {DAYS_AHEAD} days.")
    if to_check:
        yield Paragraph("Check whether it is time:")
        yield Bullets([f"{due.name} ({due.kind}): {due.words}." for due in to_check])


def _worth(facts: StoreFacts) -> Iterator[Part]:
    total, currency = facts.store.worth, facts.store.currency
    if not facts.places:
        yield Paragraph("No item is on record.")
        return
    yield Paragraph(_worth_words(total, currency))
    yield Table(
        caption="Values by place; a kit is worth its parts",
        columns=["place", "items", "value", "of items", "value not known"],
        rows=[*(_place_row(one, currency) for one in facts.places), _total_row(facts)],
        numeric=[False, True, True, True, True],
    )


def _worth_words(total: Worth, currency: str | None) -> str:
    if not total.known:
        return f"No value is on record; {counted(total.unknown, 'item')} without one."
    return (
        f"{counted(total.known, 'item')} with a known value, together {money_text(total.value, currency)}; the value "
        f"of {counted(total.unknown, 'item')} is not known and not counted."
    )


def _place_row(one: PlaceWorth, currency: str | None) -> list[str]:
    return [one.place, str(one.items), *_worth_cells(one.worth, currency)]


def _total_row(facts: StoreFacts) -> list[str]:
    items = sum(one.items for one in facts.places)
    return ["all together", str(items), *_worth_cells(facts.store.worth, facts.store.currency)]


def _worth_cells(worth: Worth, currency: str | None) -> Sequence[str]:
    value = money_text(worth.value, currency) if worth.known else "unknown"
    return value, str(worth.known), str(worth.unknown)


def _waiting(facts: StoreFacts) -> Iterator[Part]:
    if not facts.waiting:
        yield Paragraph("Nobody waits for anything.")
        return
    with_names = facts.with_names
    yield Table(
        caption=f"{counted(len(facts.waiting), 'place')} in waiting lists",
        columns=["item", "kind", "place", *(["member"] if with_names else []), "asked on"],
        rows=[
            [
                line.what,
                line.kind,
                str(line.place),
                *([line.member or ""] if with_names else []),
                str(line.asked_on),
            ]
            for line in facts.waiting
        ],
    )
