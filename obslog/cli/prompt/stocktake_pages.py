"""What came of a line of a stocktake, at the prompt."""

from itertools import groupby
from typing import TYPE_CHECKING

from obslog.cli.terminal.screen import Screen

if TYPE_CHECKING:
    from obslog.club.shelves.count_records import Standing


def show_stocktake(screen: Screen, value: object) -> None:
    """What was begun, ticked or finished, or how it stands."""
    from obslog.cli.shelves.stocktake_show import show_finish, ticked_words
    from obslog.club.shelves.count_records import Standing
    from obslog.club.shelves.counting import Started
    from obslog.club.shelves.finishing import Finish
    from obslog.club.shelves.seen import Seen

    if isinstance(value, Started):
        by = f", counted by {value.member}" if value.member else ""
        screen.line(f"A stocktake is open from {value.started_on}{by}.", hang=2)
        screen.line("Each line is a tag or a whole name now; done ends that.", hang=2)
    elif isinstance(value, Seen):
        screen.line(ticked_words(value), hang=2)
    elif isinstance(value, Finish):
        show_finish(screen, value)
    elif isinstance(value, Standing):
        _show_left(screen, value)


def _show_left(screen: Screen, now: "Standing") -> None:
    """How many were seen, and by place what is left to be seen."""
    from obslog.cli.shelves.stocktake_show import head_words
    from obslog.club.shelves.count_records import NO_PLACE
    from obslog.records.tables.base import spelt_once
    from obslog.vocabulary.storeroom import Found

    screen.line(head_words(now), hang=2)
    places = spelt_once(item.place or NO_PLACE for item in now.items)
    for place, group in groupby(now.those(Found.NOT_SEEN), key=lambda item: places[item.place or NO_PLACE]):
        names = [f"{item.name} ({item.tag})" if item.tag else item.name for item in group]
        screen.line(f"{place}, not seen: {', '.join(names)}", hang=2)
    missing = [part.words for part in now.parts_that(Found.NOT_SEEN)]
    if missing:
        screen.line(f"Missing from kits: {', '.join(missing)}", hang=2)
    if now.kits_not_looked_at:
        screen.line(f"Kits that nobody looked through: {', '.join(now.kits_not_looked_at)}", hang=2)
