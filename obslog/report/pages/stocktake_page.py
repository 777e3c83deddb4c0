"""The page of a stocktake for the committee: what was not found and is worth, what came back, and how losses go."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from obslog.club.pages.basis import Basis, Rows, some
from obslog.club.shelves.committee import BeforeLine, LostLine, StocktakeFacts
from obslog.club.shelves.count_records import NO_PLACE, CountedItem, PastCount, Standing, place_counts
from obslog.money import known_money
from obslog.report.overviews.losses_picture import losses_picture
from obslog.report.pages.content import Bullets, Page, Paragraph, Part, Section, Table
from obslog.report.pages.footer import footer_lines
from obslog.report.pages.stocktake_words import lead_words
from obslog.vocabulary.storeroom import Found

KIND = "stocktake"
NO_NAMES = "Who had them is not named on this page; the officer can have it with names."


def stocktake_page(facts: StocktakeFacts, up: tuple[str, str] | None = None) -> Page:
    """The page, in reading order; `up` is the page above it, where it is one of several."""
    return Page(
        kind=KIND,
        title=title_of(facts.standing),
        lead=lead_words(facts),
        sections=list(_sections(facts)),
        footer=footer_lines(_basis(facts)),
        up=up,
    )


def _basis(facts: StocktakeFacts) -> Basis:
    then = facts.standing
    used = [
        Rows(count=len(then.items), kind="item"),
        Rows(count=len(then.parts), kind="part of a kit", kinds="parts of kits"),
        Rows(count=len(then.past), kind="earlier stocktake"),
    ]
    return Basis(day=facts.day, used=some(used))


def title_of(then: Standing) -> str:
    if then.finished_on is None:
        return f"The stocktake begun on {then.started_on}"
    return f"The stocktake of {then.finished_on}"


def _sections(facts: StocktakeFacts) -> Iterator[Section]:
    then = facts.standing
    if not then.whole:
        yield Section(
            "What was kept",
            [
                Paragraph(
                    "How each item stood was not kept then: told is what was ticked and what was not found."
                )
            ],
        )
    yield Section("Not found" if then.finished_on else "Not seen", list(_lost(facts)))
    if facts.before_on is not None:
        yield Section("Since the stocktake before", list(_since(facts)))
    yield Section("Place by place", list(_places(then)))
    yield Section(
        "Seen elsewhere",
        [
            _items(
                then.those(Found.ELSEWHERE), "What was seen at another place", "Nothing was seen elsewhere."
            )
        ],
    )
    for found, title, caption in (
        (Found.BACK, "Missing before, and seen", "What was missing and is there again"),
        (Found.AGAINST_RECORD, "Seen, against the record", "What is lent, retired or written off on record"),
        (Found.ON_LOAN, "On loan", "What was on loan, and was not looked for"),
        (Found.STILL_MISSING, "Missing before, and not seen", "What has been missing for longer"),
    ):
        if those := then.those(found):
            yield Section(title, [_items(those, caption, "")])
    if then.parts:
        yield Section("Loose parts of kits", list(_parts(then)))
    if then.not_on_record:
        yield Section("Not on record", [_unknown(then)])
    yield Section("How losses go", list(_trend(facts)))


def _lost(facts: StocktakeFacts) -> Iterator[Part]:
    if not facts.lost:
        yield Paragraph("Everything was seen.")
        return
    columns = ["item", "kind", "tag", "kept at", "worth", "last lent", "last with", "since then"]
    rows = [_lost_row(line, facts) for line in facts.lost]
    caption = "What was not found" if facts.standing.finished_on else "What was not seen yet"
    yield _told_table(caption, columns, rows, {"worth"})
    if not facts.with_names and any(line.lent_on for line in facts.lost):
        yield Paragraph(NO_NAMES)


def _lost_row(line: LostLine, facts: StocktakeFacts) -> tuple[str, ...]:
    return (
        line.name,
        line.kind,
        line.tag or "",
        line.place or NO_PLACE,
        known_money(line.value, facts.currency) or "",
        _lent_words(line),
        line.last_with or "",
        _since_words(line) if facts.standing.finished_on else "",
    )


def _lent_words(line: LostLine) -> str:
    if line.lent_on is None:
        return ""
    return f"{line.lent_on} to {line.back_on}" if line.back_on else f"{line.lent_on}"


def _since_words(line: LostLine) -> str:
    if line.written_off_on is not None:
        return f"written off on {line.written_off_on}"
    return f"found on {line.found_on}" if line.found_on else "still missing"


def _since(facts: StocktakeFacts) -> Iterator[Part]:
    if not facts.before:
        yield Paragraph(f"The stocktake of {facts.before_on} found everything.")
        return
    yield _told_table(
        f"What the stocktake of {facts.before_on} did not find, and this one says of it",
        ["item", "tag", "now"],
        [(line.name, line.tag or "", _now_words(line, facts.standing)) for line in facts.before],
    )


def _now_words(line: BeforeLine, then: Standing) -> str:
    if line.found is None:
        return "written off or retired"
    if line.found is Found.STILL_MISSING:
        return "still missing"
    if line.found is Found.NOT_SEEN:
        return "found since, and not seen now" if then.finished_on else "found since, and not seen yet"
    return "back, and on loan" if line.found is Found.ON_LOAN else "back"


def _items(items: list[CountedItem], caption: str, none: str) -> Part:
    if not items:
        return Paragraph(none)
    rows = [
        (one.name, one.kind, one.tag or "", one.place or NO_PLACE, one.seen_at or "", one.note or "")
        for one in items
    ]
    return _told_table(caption, ["item", "kind", "tag", "kept at", "seen at", "note"], rows)


def _told_table(
    caption: str, columns: list[str], rows: Sequence[tuple[str, ...]], numbers: set[str] | None = None
) -> Table:
    """A table without the columns in which nothing stands."""
    told = [place for place in range(len(columns)) if any(row[place] for row in rows)]
    return Table(
        caption=caption,
        columns=[columns[place] for place in told],
        rows=[[row[place] for place in told] for row in rows],
        numeric=[columns[place] in (numbers or ()) for place in told],
    )


def _parts(then: Standing) -> Iterator[Part]:
    """Kit by kit what was there and what was not."""
    told = []
    for kit, group in groupby(then.parts, key=lambda part: part.kit):
        parts = list(group)
        missing = [part.part for part in parts if part.found in (Found.NOT_SEEN, Found.STILL_MISSING)]
        if all(part.found is Found.ON_LOAN for part in parts):
            told.append(f"{kit}: on loan.")
        elif any(part.found is Found.NOT_LOOKED_AT for part in parts):
            also = f" Missing before: {', '.join(missing)}." if missing else ""
            told.append(f"{kit}: nobody looked through it.{also}")
        else:
            told.append(f"{kit}: {'missing: ' + ', '.join(missing) if missing else 'complete'}.")
    yield Bullets(told)


def _unknown(then: Standing) -> Part:
    return Table(
        caption="What was seen and is not on record",
        columns=["as typed", "seen at"],
        rows=[[line.text, line.seen_at or ""] for line in then.not_on_record],
    )


def _places(then: Standing) -> Iterator[Part]:
    """How many things of each place were seen there, elsewhere, and not."""
    rows = [
        [one.place, str(one.items), str(one.seen), str(one.elsewhere), str(one.not_seen)]
        for one in place_counts(then.items)
    ]
    if not rows:
        yield Paragraph("Nothing should be on the shelves.")
        return
    yield Table(
        caption="What should be at each place",
        columns=["place", "items", "seen", "seen elsewhere", "not seen"],
        rows=rows,
        numeric=[False, True, True, True, True],
    )


def _trend(facts: StocktakeFacts) -> Iterator[Part]:
    yield Paragraph(facts.losses.trend)
    if facts.losses.counts:
        yield losses_picture(facts.losses.counts, facts.losses.trend)
    yield _past(facts.standing.past)


def _past(past: list[PastCount]) -> Part:
    if not past:
        return Paragraph("No stocktake before this one is on record.")
    return Table(
        caption="What each stocktake before did not find, the newest first",
        columns=["begun", "finished", "counted by", "should be there", "not found", "share"],
        rows=[
            [
                f"{one.started_on}",
                f"{one.finished_on}",
                one.member or "",
                str(one.expected),
                str(one.not_found),
                "" if one.percent is None else f"{one.percent:.1f} %",
            ]
            for one in past
        ],
        numeric=[False, False, False, True, True, True],
    )
