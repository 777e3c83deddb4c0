"""The page of a stocktake for the committee: what was not seen, what lies elsewhere, and what past counts missed."""

from collections.abc import Iterator
from itertools import groupby

from obslog.club.pages.basis import Basis
from obslog.club.shelves.standing import NO_PLACE, SHOULD_BE_THERE, CountedItem, Found, PastCount, Standing
from obslog.report.pages.content import Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.vocabulary import counted


def stocktake_page(now: Standing, basis: Basis) -> Page:
    """The page, in reading order."""
    return Page(
        kind="stocktake",
        title=f"The stocktake from {now.started_on}",
        lead=lead_words(now),
        sections=list(_sections(now)),
        footer=footer_lines(basis),
    )


def lead_words(now: Standing) -> str:
    """How much was seen, and how much was not."""
    not_seen = len(now.those(Found.NOT_SEEN))
    by = f" Counted by {now.member}." if now.member else ""
    if not now.expected:
        return f"Nothing should be on the shelves.{by}"
    return f"{now.expected - not_seen} of {counted(now.expected, 'item')} seen, {not_seen} not seen yet.{by}"


def _sections(now: Standing) -> Iterator[Section]:
    yield Section(
        "Not seen", [_items(now.those(Found.NOT_SEEN), "What was not seen", "Everything was seen.")]
    )
    yield Section(
        "Seen elsewhere",
        [_items(now.those(Found.ELSEWHERE), "What was seen at another place", "Nothing was seen elsewhere.")],
    )
    for found, title in (
        (Found.BACK, "Missing before, and seen"),
        (Found.AGAINST_RECORD, "Seen, though lent, retired or written off on record"),
        (Found.ON_LOAN, "On loan"),
        (Found.STILL_MISSING, "Missing before, and not seen"),
    ):
        if those := now.those(found):
            yield Section(title, [_items(those, title, "")])
    if now.not_on_record:
        yield Section("Not on record", [_unknown(now)])
    yield Section("Place by place", list(_places(now)))
    yield Section("Stocktakes before", [_past(now.past)])


def _items(items: list[CountedItem], caption: str, none: str) -> Part:
    if not items:
        return Paragraph(none)
    columns = ("item", "kind", "tag", "kept at", "seen at", "note")
    rows = [
        (one.name, one.kind, one.tag or "", one.place or NO_PLACE, one.seen_at or "", one.note or "")
        for one in items
    ]
    told = [place for place in range(len(columns)) if any(row[place] for row in rows)]
    return Table(
        caption=caption,
        columns=[columns[place] for place in told],
        rows=[[row[place] for place in told] for row in rows],
    )


def _unknown(now: Standing) -> Part:
    return Table(
        caption="What was seen and is not on record",
        columns=["as typed", "seen at"],
        rows=[[line.text, line.seen_at or ""] for line in now.not_on_record],
    )


def _places(now: Standing) -> Iterator[Part]:
    """How many things of each place were seen there, elsewhere, and not."""
    rows = []
    for place, group in groupby(now.those(*SHOULD_BE_THERE), key=lambda item: item.place or NO_PLACE):
        found = [item.found for item in group]
        rows.append([place, str(len(found)), *(str(found.count(kind)) for kind in SHOULD_BE_THERE)])
    if not rows:
        yield Paragraph("Nothing should be on the shelves.")
        return
    yield Table(
        caption="What should be at each place",
        columns=["place", "items", "seen", "seen elsewhere", "not seen"],
        rows=rows,
        numeric=[False, True, True, True, True],
    )


def _past(past: list[PastCount]) -> Part:
    if not past:
        return Paragraph("This is the first.")
    return Table(
        caption="What each stocktake did not find, the newest first",
        columns=["finished", "counted by", "should be there", "not found", "share"],
        rows=[
            [
                f"{one.finished_on}",
                one.member or "",
                str(one.expected),
                str(one.not_found),
                "" if one.percent is None else f"{one.percent:.1f} %",
            ]
            for one in past
        ],
        numeric=[False, False, True, True, True],
    )
