"""How a stocktake is shown: what came of each line, how the count stands, and what finishing changes."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen
from obslog.vocabulary import counted

if TYPE_CHECKING:
    from obslog.cli.shelves.stocktake import Ticked
    from obslog.club.shelves.counting import Seen, Started
    from obslog.club.shelves.finishing import Finish
    from obslog.club.shelves.losses import Losses, LostItem
    from obslog.club.shelves.standing import PastCount, Standing


def show_started(screen: Screen, started: "Started") -> None:
    by = f", counted by {started.member}" if started.member else ""
    screen.line(f"A stocktake is open from {started.started_on}{by}.")
    screen.line("Tick what you see: obslog stocktake saw TAG; with a scanner: obslog stocktake saw")


def ticked_words(seen: "Seen") -> str:
    """What came of a line, in one."""
    from obslog.club.shelves.counting import Outcome

    if seen.outcome is Outcome.NOT_ON_RECORD:
        return f"{seen.text}: not on record; kept as it is."
    if seen.outcome is Outcome.SEVERAL:
        kinds = ", ".join(seen.kinds)
        return f"{seen.text}: not ticked: the name is that of several, {kinds}. Use the tag, or --kind {seen.kinds[0]}."
    if seen.outcome is Outcome.A_KIT:
        return f"{seen.text}: not ticked, for it is a kit. Tick its parts."
    tag = f" ({seen.tag})" if seen.tag else ""
    where = f" at {seen.seen_at}" if seen.seen_at else ""
    kept = f", kept at {seen.kept_at}" if seen.outcome is Outcome.ELSEWHERE and seen.kept_at else ""
    but = f". On record it is {seen.but_on_record}." if seen.but_on_record else ""
    return f"{seen.name}{tag}: {seen.outcome}{where}{kept}{but}"


def show_ticked(screen: Screen, ticked: "Ticked") -> None:
    if not ticked.told:
        for seen in ticked.lines:
            screen.line(ticked_words(seen))
        return
    counts = Counter(seen.outcome for seen in ticked.lines)
    told = ", ".join(f"{number} {outcome}" for outcome, number in counts.items())
    screen.line(f"{counted(len(ticked.lines), 'line')}{': ' if told else ''}{told}.")


def show_standing(screen: Screen, now: "Standing") -> None:
    from obslog.club.shelves.standing import NO_PLACE, SHOULD_BE_THERE, Found

    by = f", counted by {now.member}" if now.member else ""
    screen.line(f"Stocktake from {now.started_on}{by}: {_seen_of(now)}.")
    screen.table(
        ["place", "item", "kind", "tag", "found", "seen at"],
        [
            [item.place or NO_PLACE, item.name, item.kind, item.tag, item.found, item.seen_at]
            for item in now.items
            if item.found in SHOULD_BE_THERE or item.found in (Found.BACK, Found.AGAINST_RECORD)
        ],
    )
    for found, words in ((Found.ON_LOAN, "On loan"), (Found.STILL_MISSING, "Missing before")):
        names = [item.name for item in now.those(found)]
        if names:
            screen.line(f"{words}: {', '.join(names)}.", hang=2)
    if now.not_on_record:
        screen.line("Not on record:")
        screen.table(["as typed", "seen at"], [[line.text, line.seen_at] for line in now.not_on_record])
    if now.past:
        screen.line("Stocktakes before:")
        show_past(screen, now.past)


def _seen_of(now: "Standing") -> str:
    from obslog.club.shelves.standing import Found

    seen = now.expected - len(now.those(Found.NOT_SEEN))
    return f"{seen} of {counted(now.expected, 'item')} seen"


def show_past(screen: Screen, past: "Sequence[PastCount]") -> None:
    if not past:
        screen.line("No stocktake is finished yet.")
        return
    screen.table(
        ["finished", "counted by", "should be there", "not found", "share"],
        [
            [
                one.finished_on,
                one.member,
                one.expected,
                one.not_found,
                None if one.percent is None else f"{one.percent:.1f} %",
            ]
            for one in past
        ],
    )


def show_finish(screen: Screen, plan: "Finish") -> None:
    """What finishing changes, or once it is done, has changed."""
    was, head = ("was", "Finished") if plan.done else ("would be", "To finish")
    screen.line(
        f"{head}: stocktake from {plan.started_on}, {plan.seen} of {counted(plan.expected, 'item')} seen."
    )
    _names(screen, f"Missing from {plan.finished_on}", plan.goes_missing)
    _names(screen, "Found again", plan.comes_back)
    if plan.moved:
        screen.line(f"The place on record {was} changed:")
        screen.table(
            ["item", "tag", "from", "to"], [[one.name, one.tag, one.place, one.seen_at] for one in plan.moved]
        )
    _names(
        screen,
        "Seen, against the record (left as it is: settle it by loan back or store reinstate)",
        plan.against_record,
    )
    _names(screen, "Not on record (left as it is: put it on record by item add)", plan.not_on_record)
    if plan.done:
        screen.line("To take all of it back: obslog undo")
    else:
        screen.line("Nothing is changed yet. To do it: obslog stocktake finish --sure")


def _names(screen: Screen, what: str, names: Sequence[str]) -> None:
    if names:
        screen.line(f"{what}, {counted(len(names), 'item')}: {', '.join(names)}.", hang=2)


def show_losses(screen: Screen, found: "Losses") -> None:
    for one in found.counts:
        by = f", counted by {one.member}" if one.member else ""
        share = "" if one.percent is None else f" ({one.percent:.1f} %)"
        screen.line(
            f"{one.finished_on}{by}: {one.not_found} of {counted(one.expected, 'item')} not found{share}",
            style="bold",
        )
        for item in one.items:
            tag = f" ({item.tag})" if item.tag else ""
            screen.line(f"{item.name}{tag}: {_became(item)}", indent=4, hang=2)
        if one.unnamed:
            screen.line(f"of {counted(one.unnamed, 'item')} it was not kept which", indent=4)
    screen.line(found.trend, hang=2)


def _became(item: "LostItem") -> str:
    if item.written_off_on is not None:
        return f"written off on {item.written_off_on}"
    return f"found on {item.found_on}" if item.found_on else "still missing"
