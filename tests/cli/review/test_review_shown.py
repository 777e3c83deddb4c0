"""The review, read back from the screen at every width and held against one made by hand."""

from collections.abc import Iterator
from typing import Any

from obslog.cli.review.review import show_review
from obslog.club.review.review import Review, Reviewed
from obslog.club.review.verdicts import Reason, Status
from obslog.values import Interval
from tests.cli.screens import Shown, shown_by


def an_item(name: str, kind: str, status: Status, *reasons: str, **changed: Any) -> Reviewed:
    values: dict[str, Any] = {
        "name": name, "kind": kind, "status": status, "effect": None, "setups_last_year": 0, "judged": True,
        "reasons": [Reason(status, 1.0, words, {}) for words in reasons],
    }  # fmt: skip
    return Reviewed(**(values | changed))


def review_shown(found: Review | Reviewed) -> Iterator[Shown]:
    return shown_by(lambda screen: show_review(screen, found))


CLUB = Review(
    {},
    [
        an_item("Heron", "mount", Status.READY, effect=Interval(0.876, 0.7, 1.1, 12)),
        an_item("Wren", "mount", Status.SERVICE, "clutch slips", "late", "loud", setups_last_year=3,
                effect=Interval(1.584, 1.03, 2.43, 9)),
        an_item("Dunlin", "mount", Status.SERVICE, "grease", setups_last_year=8),
        an_item("Kit 1", "kit", Status.WATCH, "a part is watched", "so is another"),
        an_item("Long tube", "tube", Status.READY),
        an_item("Short tube", "tube", Status.READY),
        an_item("Old finder", "item", Status.RETIRED),
        an_item("Wide 25", "eyepiece", Status.OUT, "on loan until May"),
    ],
)  # fmt: skip


def test_the_gravest_stand_first_the_most_used_of_them_first_each_with_its_gravest_reason() -> None:
    for shown in review_shown(CLUB):
        assert shown.in_order(
            "Service, most used in the last year first",
            "Dunlin (mount) grease",
            "Wren (mount), landing error 1.58 times the club's average clutch slips; and for 2 more reasons",
            "Watch", "Kit 1 (kit) a part is watched; and for 1 more reason",
            "Out", "Wide 25 (eyepiece) on loan until May",
            "Ready (beside a mount: its landing error, the club's average being 1)",
            "mounts: Heron 0.88", "tubes: Long tube, Short tube",
            "Retired", "items: Old finder",
        )  # fmt: skip
        assert "late" not in shown.words
        assert shown.words.count("more reason") == 2
        assert "All reasons of one: obslog review NAME." in shown.notes


def test_a_club_without_anything_is_told_what_to_begin_with() -> None:
    for shown in review_shown(Review({}, [])):
        assert shown.out == ""
        assert shown.notes == "Nothing is on record yet. Begin with a mount: obslog mount add --help"


def test_reasons_stand_under_the_item_and_groups_apart() -> None:
    for shown in review_shown(CLUB):
        place = shown.lines.index("  Dunlin (mount)")
        assert shown.lines[place + 1] == "    grease"
        assert "  tubes: Long tube, Short tube" in shown.lines
        assert shown.lines.count("") == 5, "one after each of the five groups"


def test_one_item_is_told_with_all_its_reasons_and_numbers() -> None:
    wren = CLUB.items[1]
    for shown in review_shown(wren):
        assert shown.words == (
            "Wren (mount): service service: clutch slips service: late service: loud landing error: "
            "1.58 times the club's average (95 % interval 1.03 to 2.43) over 9 set-ups 3 set-ups in the last year"
        )
        assert [len(line) - len(line.lstrip()) for line in shown.lines[:4]] == [0, 2, 2, 2]
    one = an_item("Wren", "mount", Status.READY, effect=Interval(1.0, 0.5, 2.0, 1), setups_last_year=1)
    for shown in review_shown(one):
        assert shown.in_order(
            "Wren (mount): ready no problems found", "over 1 set-up 1 set-up in the last year"
        )
    for shown in review_shown(CLUB.items[4]):
        assert shown.words == "Long tube (tube): ready no problems found"
        assert [len(line) - len(line.lstrip()) for line in shown.lines] == [0, 2]
