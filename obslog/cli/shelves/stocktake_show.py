"""How a stocktake is shown: what came of each line, how the count stands, and what finishing changes."""

from collections import Counter
from collections.abc import Sequence
from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen
from obslog.english import counted, enumerated

if TYPE_CHECKING:
    from obslog.cli.shelves.stocktake import TickedLines
    from obslog.club.shelves.count_records import Moved, PastCount, Standing
    from obslog.club.shelves.counting import Started
    from obslog.club.shelves.finishing import Finish
    from obslog.club.shelves.losses import Losses, LostItem
    from obslog.club.shelves.seen import Seen


def show_started(screen: Screen, started: "Started") -> None:
    by = f", counted by {started.member}" if started.member else ""
    screen.line(f"A stocktake is open from {started.started_on}{by}.")
    screen.line("Tick what you see: obslog stocktake saw TAG; with a scanner: obslog stocktake saw")


def ticked_words(seen: "Seen") -> str:
    """What came of a line, in one."""
    from obslog.club.shelves.seen import SeenOutcome

    if seen.outcome is SeenOutcome.NOT_ON_RECORD:
        meant = f" Did you mean {' or '.join(seen.nearest)}?" if seen.nearest else ""
        return f"{seen.text}: not on record; kept as it is.{meant}"
    if seen.outcome is SeenOutcome.SEVERAL:
        kinds = ", ".join(seen.kinds)
        return f"{seen.text}: not ticked: the name is that of several, {kinds}. Use the tag, or --kind {seen.kinds[0]}."
    if seen.outcome is SeenOutcome.A_PART:
        kits = enumerated(seen.of_kits)
        return f"{seen.text}: not ticked, for it is a part of {kits}. Look through the kit, then tick that by its name."
    if seen.outcome is SeenOutcome.A_KIT:
        return _kit_words(seen)
    tag = f" ({seen.tag})" if seen.tag else ""
    where = f" at {seen.seen_at}" if seen.seen_at else ""
    kept = f", kept at {seen.kept_at}" if seen.outcome is SeenOutcome.ELSEWHERE and seen.kept_at else ""
    but = f". On record it is {seen.but_on_record}." if seen.but_on_record else ""
    return f"{seen.name}{tag}: {seen.outcome}{where}{kept}{but}"


def _kit_words(seen: "Seen") -> str:
    """What came of looking through a kit; one without parts that are only labels is not ticked."""
    if not seen.parts_there and not seen.parts_missing:
        return f"{seen.name}: not ticked, for it is a kit. Tick its parts."
    told = [f"there: {', '.join(seen.parts_there)}"] if seen.parts_there else []
    told += [f"missing: {', '.join(seen.parts_missing)}"] if seen.parts_missing else []
    but = f" On record it is {seen.but_on_record}." if seen.but_on_record else ""
    left = f" Still to be ticked by themselves: {', '.join(seen.to_tick)}." if seen.to_tick else ""
    return f"{seen.name}: {'; '.join(told)}.{but}{left}"


def show_ticked(screen: Screen, ticked: "TickedLines") -> None:
    if not ticked.told:
        for seen in ticked.lines:
            screen.line(ticked_words(seen))
        return
    counts = Counter(seen.outcome for seen in ticked.lines)
    told = ", ".join(f"{number} {outcome}" for outcome, number in counts.items())
    screen.line(f"{counted(len(ticked.lines), 'line')}{': ' if told else ''}{told}.")


def show_standing(screen: Screen, now: "Standing") -> None:
    from obslog.club.shelves.count_records import NO_PLACE, place_counts
    from obslog.vocabulary.storeroom import Found

    screen.line(head_words(now), hang=2)
    if not now.whole:
        screen.line(
            "How each item stood was not kept then: told is what was ticked and what was not found.", hang=2
        )
    screen.table(
        ["place", "items", "seen", "elsewhere", "not seen"],
        [[one.place, one.items, one.seen, one.elsewhere, one.not_seen] for one in place_counts(now.items)],
    )
    screen.line()
    screen.table(
        ["place", "item", "kind", "tag", "found", "seen at"],
        [
            [item.place or NO_PLACE, item.name, item.kind, item.tag, item.found, item.seen_at]
            for item in now.items
            if item.should_be_there or item.found in (Found.BACK, Found.AGAINST_RECORD)
        ],
    )
    screen.line()
    for found, words in ((Found.ON_LOAN, "On loan"), (Found.STILL_MISSING, "Missing before")):
        names = [item.name for item in now.those(found)]
        if names:
            screen.line(f"{words}: {', '.join(names)}.", hang=2)
    _show_parts(screen, now)
    if now.not_on_record:
        screen.line("Not on record:")
        screen.table(["as typed", "seen at"], [[line.text, line.seen_at] for line in now.not_on_record])
    if now.finished_on is not None:
        _show_changes(screen, now)
    if now.past:
        screen.line("Stocktakes before:")
        show_past(screen, now.past)


def head_words(now: "Standing") -> str:
    by = f", counted by {now.member}" if now.member else ""
    seen = f"{now.expected - now.not_seen} of {counted(now.expected, 'item')} seen"
    if now.finished_on is None:
        return f"Stocktake from {now.started_on}{by}: {seen}."
    return f"Stocktake from {now.started_on} to {now.finished_on}{by}, finished: {seen}."


def _show_parts(screen: Screen, now: "Standing") -> None:
    """The parts of kits that are only labels; of a kit that is out, or that nobody looked through, in one line."""
    from obslog.vocabulary.storeroom import Found

    told = [part for part in now.parts if part.found not in (Found.ON_LOAN, Found.NOT_LOOKED_AT)]
    if told:
        screen.line("Loose parts of kits:")
        screen.table(["kit", "part", "found"], [[part.kit, part.part, part.found] for part in told])
    if now.kits_not_looked_at:
        screen.line(f"Kits that nobody looked through: {', '.join(now.kits_not_looked_at)}.", hang=2)


def _show_changes(screen: Screen, then: "Standing") -> None:
    """What finishing changed on record, whatever has become of it since."""
    changed = then.changes
    _names(screen, f"Finishing made missing from {then.finished_on}", changed.goes_missing)
    _names(screen, "Finishing noted as found again", changed.comes_back)
    _parts(screen, f"Finishing made missing from {then.finished_on}", changed.parts_missing)
    _parts(screen, "Finishing noted as found again", changed.parts_back)
    if changed.moved:
        screen.line("Finishing changed the place on record:")
        _moved(screen, changed.moved)
    if not any(
        (changed.goes_missing, changed.comes_back, changed.parts_missing, changed.parts_back, changed.moved)
    ):
        screen.line("Finishing changed nothing else on record.")


def show_past(screen: Screen, past: "Sequence[PastCount]") -> None:
    if not past:
        screen.line("No stocktake is finished yet.")
        return
    screen.table(
        ["begun", "finished", "counted by", "should be there", "not found", "share"],
        [
            [
                one.started_on,
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
    _parts(screen, f"Missing from {plan.finished_on}", plan.parts_missing)
    _parts(screen, "Found again", plan.parts_back)
    if plan.kits_not_looked_at:
        kits = ", ".join(plan.kits_not_looked_at)
        screen.line(
            f"Kits that nobody looked through (their loose parts are left as they are): {kits}.", hang=2
        )
    if plan.moved:
        screen.line(f"The place on record {was} changed:")
        _moved(screen, plan.moved)
    _names(
        screen,
        "Seen, against the record (nothing is changed; settle it by loan back or store reinstate)",
        plan.against_record,
    )
    _names(
        screen,
        "Not on record (nothing is changed; to put one on record: obslog item add)",
        plan.not_on_record,
    )
    if plan.done:
        screen.line("To take all of it back: obslog undo")
    else:
        screen.line("Nothing is changed yet. To do it: obslog stocktake finish --sure")


def _names(screen: Screen, what: str, names: Sequence[str]) -> None:
    if names:
        screen.line(f"{what}, {counted(len(names), 'item')}: {', '.join(names)}.", hang=2)


def _parts(screen: Screen, what: str, parts: Sequence[str]) -> None:
    if parts:
        screen.line(f"{what}, {counted(len(parts), 'part')} of kits: {', '.join(parts)}.", hang=2)


def _moved(screen: Screen, moved: "Sequence[Moved]") -> None:
    screen.table(
        ["item", "tag", "from", "to"], [[one.name, one.tag, one.place, one.seen_at] for one in moved]
    )


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
