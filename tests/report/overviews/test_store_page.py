"""The page of the store-room: its one sentence, and what it says of each thing."""

from dataclasses import replace
from datetime import UTC, date, datetime

from obslog.club.overviews.fleet import Fleet
from obslog.club.overviews.store_facts import PlaceWorth, StoreFacts
from obslog.club.pages.basis import Basis
from obslog.club.review.review import Review, Reviewed
from obslog.club.review.verdicts import Reason, Status
from obslog.club.storeroom.loan_pages import LoanLine
from obslog.club.storeroom.store_list import StoreList, Worth
from obslog.club.storeroom.waiting_list import WaitingLine
from obslog.club.upkeep.services_due import DueBy, DueService
from obslog.report.overviews.store_page import NO_NAMES, lead_words, store_page
from obslog.report.pages.content import Bullets, Grouped, Page, Paragraph, Part, Table
from obslog.values import Interval
from tests.report.overviews.test_fleet_picture import ALONE, GRUMBLE
from tests.report.overviews.test_fleet_picture import HERON as WORSE

DAY = date(2026, 3, 2)


def reviewed(name: str, status: Status, words: str = "") -> Reviewed:
    reasons = [Reason(status, 1.0, words, {})] if words else []
    return Reviewed(
        name=name, kind="mount", status=status, reasons=reasons, effect=None, setups_last_year=0, judged=True
    )


HERON = reviewed("Heron", Status.SERVICE, "its gears are slack")
LOAN = LoanLine(
    reference="abc123",
    what="Kelp",
    kind="mount",
    member="Ines",
    out_on=date(2026, 1, 1),
    due_on=date(2026, 2, 1),
    back_on=None,
    days_left=-29,
    overdue=True,
    due_soon=False,
    renewals=0,
    waiting=1,
)
WAITS = WaitingLine(
    what="Kelp",
    kind="mount",
    place=1,
    member="Tomasz",
    asked_utc=datetime(2026, 2, 3, 20, tzinfo=UTC),
    asked_on=date(2026, 2, 3),
)


def facts_of(*items: Reviewed, with_names: bool = False, lent: bool = True) -> StoreFacts:
    worth = Worth(1250.5, 1, 2)
    return StoreFacts(
        day=DAY,
        with_names=with_names,
        review=Review({}, list(items)),
        fleet=Fleet([], [], None),
        store=StoreList([], worth, "EUR"),
        loans=[LOAN] if lent else [],
        services_due=[],
        places=[PlaceWorth(place="north shelf", items=3, worth=worth)],
        waiting=[WAITS] if lent else [],
        basis=Basis(day=DAY, used=()),
    )


def said(page: Page, title: str) -> str:
    (section,) = (one for one in page.sections if one.title == title)
    return " ".join(words for part in section.parts for words in _words(part))


def _words(part: Part) -> list[str]:
    if isinstance(part, Grouped):
        return [words for name, points in part.items for words in (name, *points)]
    return (
        [part.text] if isinstance(part, Paragraph) else list(part.items) if isinstance(part, Bullets) else []
    )


def table(page: Page, title: str) -> Table:
    (section,) = (one for one in page.sections if one.title == title)
    (found,) = (part for part in section.parts if isinstance(part, Table))
    return found


def test_the_sentence_counts_what_needs_somebody() -> None:
    ready, watched = reviewed("Anvil", Status.READY), reviewed("Bramble", Status.WATCH, "it drifts")
    retired = reviewed("Wreck", Status.RETIRED)
    assert lead_words(facts_of(HERON, watched, ready, retired)) == (
        "Of 3 kits and items in use: 1 to be serviced and 1 to be watched."
    )
    assert lead_words(facts_of(ready)) == "In use and ready to be lent: 1 kit or item."
    assert lead_words(facts_of()) == "Nothing is in the store-room yet."


def test_each_verdict_stands_with_its_reason() -> None:
    words = said(store_page(facts_of(HERON, reviewed("Anvil", Status.READY))), "What needs somebody")
    assert "Heron (mount) Its gears are slack." in words
    assert "Ready to be lent (1): Anvil." in words


def test_what_a_kit_owes_to_a_part_is_told_under_the_part_alone() -> None:
    own, owed = "it has no case", "Heron: its gears are slack"
    kit = replace(reviewed("Heron kit", Status.SERVICE), kind="kit")
    kit = replace(kit, reasons=[Reason(Status.SERVICE, 1.0, words, {}) for words in (owed, own)])
    words = said(store_page(facts_of(HERON, kit)), "What needs somebody")
    assert words.count("gears") == 1
    assert "Heron kit (kit) It has no case. Heron, a part of it: see there." in words
    alone = said(store_page(facts_of(kit)), "What needs somebody")
    assert "Heron kit (kit) Heron: its gears are slack. It has no case." in alone


def test_borrowers_are_named_only_where_the_facts_are_with_names() -> None:
    plain, named = (store_page(facts_of(HERON, with_names=names)) for names in (False, True))
    assert said(plain, "Who has what") == NO_NAMES
    assert table(plain, "Who has what").rows == [["Kelp", "mount", "2026-01-01", "2026-02-01", "29 late"]]
    assert table(named, "Who has what").rows[0][2] == "Ines"
    assert "member" not in table(plain, "Waiting lists").columns
    assert table(named, "Waiting lists").rows == [["Kelp", "mount", "1", "Tomasz", "2026-02-03"]]


def test_one_who_waits_for_two_items_is_not_told_to_be_two_members() -> None:
    facts = replace(facts_of(HERON), waiting=[WAITS, replace(WAITS, what="Anvil")])
    assert table(store_page(facts), "Waiting lists").caption == "2 places in waiting lists"


def test_values_stand_by_place_with_the_currency_and_what_is_unknown() -> None:
    page = store_page(facts_of(HERON))
    assert "together EUR 1,250.50; the value of 2 items is not known" in said(page, "What it is worth")
    assert table(page, "What it is worth").rows == [
        ["north shelf", "3", "EUR 1,250.50", "1", "2"],
        ["all together", "3", "EUR 1,250.50", "1", "2"],
    ]


def test_what_is_due_stands_with_its_day() -> None:
    assert "2026-02-01: Kelp (mount) back from loan." in said(store_page(facts_of(HERON)), "What is due")
    nothing = store_page(facts_of(HERON, lent=False))
    assert said(nothing, "What is due") == "Nothing is due in the next 60 days."
    assert said(nothing, "Waiting lists") == "Nobody waits for anything."


def test_what_is_due_by_a_condition_is_to_be_checked_and_not_said_to_be_due_now() -> None:
    due = DueService(
        name="Heron",
        kind="mount",
        basis=DueBy.NIGHTS,
        due_on=None,
        words="service is due after 15 nights of use",
        last_on=None,
    )
    check = replace(due, name="Anvil", basis=DueBy.CONDITION, words="service is due when it rocks")
    words = said(store_page(replace(facts_of(HERON), services_due=[due, check])), "What is due")
    assert "now: Heron (mount), service is due after 15 nights of use." in words
    assert words.endswith("Check whether it is time: Anvil (mount): service is due when it rocks.")
    alone = said(store_page(replace(facts_of(HERON, lent=False), services_due=[check])), "What is due")
    assert alone.startswith("Nothing is due in the next 60 days. Check whether it is time: Anvil")


def test_of_a_club_without_a_landing_no_mount_is_compared_with_the_average() -> None:
    assert (
        said(store_page(facts_of()), "Where the fleet lands")
        == "Where the go-tos of a mount land is not on record yet."
    )


def test_that_no_mount_is_worse_is_said_only_where_it_can_be_told_of_one() -> None:
    """Of two mounts that four people had out on three nights it was said, with intervals from 0.02 to 132."""
    wide = replace(GRUMBLE, own=Interval(1.76, 0.02, 131.96, 4))
    for lines, told in (
        ([wide, ALONE], "Too few set-ups are on record to say whether a mount lands farther out"),
        ([wide, GRUMBLE], "no mount lands farther out than the club's average, chance allowed for."),
        ([wide, WORSE], "Heron lands farther out than the club's average (drawn as a diamond)."),
    ):
        facts = replace(facts_of(HERON), fleet=Fleet(lines, [], None))
        assert told in said(store_page(facts), "Where the fleet lands")


def test_where_no_value_is_on_record_no_sum_of_nothing_is_told() -> None:
    unknown = Worth(0.0, 0, 2)
    facts = replace(
        facts_of(),
        store=StoreList([], unknown, "EUR"),
        places=[PlaceWorth(place="north shelf", items=2, worth=unknown)],
    )
    told = said(store_page(facts), "What it is worth")
    assert told.startswith("No value is on record; 2 items without one.")
    assert "0.00" not in told
