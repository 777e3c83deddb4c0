"""What the store-room's papers say of an item, from the acts to the sentence of the review: out, missing, due, idle."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.rule_book import Rules, set_rule
from obslog.club.review.review import review, review_of
from obslog.club.review.verdict_rules import standing_reasons
from obslog.club.review.verdicts import Status, StoreroomEvidence, status_of
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.loans import lend, renew, take_back
from obslog.club.storeroom.missing import be_found, go_missing, part_goes_missing, part_is_found
from obslog.club.storeroom.retirement import retire, write_off
from obslog.club.upkeep.batteries import note_test
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.records.database import Database
from obslog.vocabulary.storeroom import Condition
from tests.club.performance.histories import Evening, put_on_record

TODAY = date(2026, 3, 2)
DAY = timedelta(days=1)
YEAR = timedelta(days=365)


def told(
    database: Database, name: str, today: date = TODAY, *, with_names: bool = False
) -> tuple[Status, list[str]]:
    """The status and the reasons of one kit or item; of a mount without that too few nights judge it."""
    one = review_of(database, name, today, with_names=with_names)
    words = [reason.words for reason in one.reasons if "too few to judge" not in reason.words]
    return one.status, words


READY: tuple[Status, list[str]] = (Status.READY, [])


@pytest.mark.parametrize(
    ("due", "words"),
    [
        (TODAY + DAY, "on loan, due 2026-03-03"),
        (TODAY, "on loan, due 2026-03-02"),
        (TODAY - DAY, "on loan, due 2026-03-01; overdue by 1 day"),
        (TODAY - 2 * DAY, "on loan, due 2026-02-28; overdue by 2 days"),
    ],
)
def test_a_loan_is_overdue_from_the_day_after_it_is_due(
    sqlite_club: Database, now: datetime, due: date, words: str
) -> None:
    lend(sqlite_club, "Stop 20", "Ines", now, on=date(2026, 2, 20), due=due)
    assert told(sqlite_club, "Stop 20") == (Status.OUT, [words])
    named = words.replace("on loan", "out with Ines")
    assert told(sqlite_club, "Stop 20", with_names=True) == (Status.OUT, [named])
    numbers = review_of(sqlite_club, "Stop 20", TODAY).reasons[0].numbers
    assert numbers == {"member": None, "due_on": due, "days_late": max((TODAY - due).days, 0)}


def test_the_clubs_days_of_grace_put_that_off(sqlite_club: Database, now: datetime) -> None:
    set_rule(sqlite_club, "overdue-out", 2, now)
    lend(sqlite_club, "Stop 20", "Ines", now, on=date(2026, 2, 20), due=TODAY - 2 * DAY)
    assert told(sqlite_club, "Stop 20") == (Status.OUT, ["on loan, due 2026-02-28"])
    assert told(sqlite_club, "Stop 20", TODAY + DAY)[1] == ["on loan, due 2026-02-28; overdue by 3 days"]


def test_what_came_back_on_its_last_day_is_in_the_store(sqlite_club: Database, now: datetime) -> None:
    lend(sqlite_club, "Stop 20", "Ines", now, on=date(2026, 2, 20), due=TODAY)
    take_back(sqlite_club, "Stop 20", now, on=TODAY)
    assert told(sqlite_club, "Stop 20") == READY
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY)
    renew(sqlite_club, "Stop 20", now, until=date(2026, 5, 1))
    assert told(sqlite_club, "Stop 20") == (Status.OUT, ["on loan, due 2026-05-01"])


def test_what_came_back_damaged_is_for_service_with_its_kit_until_it_is_served(
    sqlite_club: Database, now: datetime
) -> None:
    """A tube whose mirror cell had cracked was "ready: no problems found", and its kit was advised to be lent."""
    add_kit(sqlite_club, "Evening kit", ["Long tube", "Stop 20"], now - 9 * DAY)
    lend(sqlite_club, "Evening kit", "Ines", now, on=TODAY - 8 * DAY, all_good=True)
    cracked = {"Long tube": (Condition.DAMAGED, "mirror cell cracked"), "Stop 20": (Condition.WORN, None)}
    take_back(sqlite_club, "Evening kit", now, on=TODAY - 3 * DAY, conditions=cracked)
    why = "damaged when it came back on 2026-02-27: mirror cell cracked"
    assert told(sqlite_club, "Long tube") == (Status.SERVICE, [why])
    assert told(sqlite_club, "Evening kit") == (Status.SERVICE, [f"Long tube: {why}"])
    assert told(sqlite_club, "Stop 20") == READY
    add_service(sqlite_club, "tube", "Long tube", "washed before that", now, on=TODAY - 5 * DAY)
    assert told(sqlite_club, "Long tube")[0] is Status.SERVICE
    add_service(sqlite_club, "tube", "Long tube", "a new cell", now, on=TODAY - 3 * DAY)
    assert told(sqlite_club, "Evening kit") == READY


def test_what_was_damaged_is_not_when_it_was_good_at_a_later_look(
    sqlite_club: Database, now: datetime
) -> None:
    damaged = {"Stop 20": (Condition.DAMAGED, None)}
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY - 9 * DAY, conditions=damaged)
    take_back(sqlite_club, "Stop 20", now, on=TODAY - 8 * DAY)  # nobody looked
    assert told(sqlite_club, "Stop 20") == (Status.SERVICE, ["damaged when it went out on 2026-02-21"])
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY - 7 * DAY)
    take_back(sqlite_club, "Stop 20", now, on=TODAY - 6 * DAY, all_good=True)
    assert told(sqlite_club, "Stop 20") == READY


def test_a_kit_that_is_out_takes_its_items_along(sqlite_club: Database, now: datetime) -> None:
    add_kit(sqlite_club, "Evening kit", ["Stop 20", "dust cap"], now)
    lend(sqlite_club, "Evening kit", "Ines", now, due=date(2026, 3, 9))
    out = (Status.OUT, ["on loan, due 2026-03-09"])
    assert told(sqlite_club, "Evening kit") == told(sqlite_club, "Stop 20") == out
    assert told(sqlite_club, "Wide 25") == READY


def test_what_is_missing_is_out_and_its_kit_is_to_be_watched_until_it_is_found(
    sqlite_club: Database, now: datetime
) -> None:
    add_kit(sqlite_club, "Evening kit", ["Stop 20", "Wide 25", "dust cap"], now)
    go_missing(sqlite_club, "Stop 20", now, on=date(2026, 2, 25))
    part_goes_missing(sqlite_club, "Evening kit", "dust cap", now, on=date(2026, 2, 27))
    assert told(sqlite_club, "Stop 20") == (Status.OUT, ["missing since 2026-02-25"])
    status, words = told(sqlite_club, "Evening kit")
    assert status is Status.WATCH
    assert sorted(words) == [
        "Stop 20 has been missing since 2026-02-25",
        "dust cap has been missing since 2026-02-27",
    ]
    remove_part(sqlite_club, "Evening kit", "Stop 20", None, now)
    assert told(sqlite_club, "Evening kit")[1] == ["dust cap has been missing since 2026-02-27"]
    part_is_found(sqlite_club, "Evening kit", "dust cap", now)
    be_found(sqlite_club, "Stop 20", now)
    assert told(sqlite_club, "Evening kit") == told(sqlite_club, "Stop 20") == READY


def test_a_kit_is_to_be_watched_while_a_part_is_lent_without_it(sqlite_club: Database, now: datetime) -> None:
    """It was "ready: no problems found" while its mount was at a member's."""
    add_kit(sqlite_club, "Evening kit", ["Stop 20", "Wide 25"], now - 9 * DAY)
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY - 8 * DAY, due=TODAY)
    without = "Stop 20 is on loan without the kit"
    assert told(sqlite_club, "Evening kit") == (Status.WATCH, [f"{without}, due back on 2026-03-02"])
    late = told(sqlite_club, "Evening kit", TODAY + DAY)
    assert late == (Status.WATCH, [f"{without}, and was due back on 2026-03-02"])
    lend(sqlite_club, "Evening kit", "Bram Ostler", now, on=TODAY - 7 * DAY, due=TODAY)
    status, words = told(sqlite_club, "Evening kit")
    assert (status, words[0]) == (Status.OUT, "on loan, due 2026-03-02")
    assert [line for line in words if "without the kit" in line] == [f"{without}, due back on 2026-03-02"]
    take_back(sqlite_club, "Evening kit", now, on=TODAY)
    take_back(sqlite_club, "Stop 20", now, on=TODAY)
    assert told(sqlite_club, "Evening kit") == READY


def test_of_a_part_that_was_lost_on_loan_and_written_off_nobody_says_that_it_is_missing(
    sqlite_club: Database, now: datetime
) -> None:
    add_kit(sqlite_club, "Evening kit", ["Stop 20", "Wide 25"], now - 9 * DAY)
    lend(sqlite_club, "Evening kit", "Ines", now, on=TODAY - 8 * DAY)
    write_off(sqlite_club, "Stop 20", "lost", now, on=TODAY - 3 * DAY, lost_on_loan=True)
    take_back(sqlite_club, "Evening kit", now, on=TODAY)
    gone = "Stop 20 was written off on 2026-02-27; put another in its place: obslog kit replace"
    assert told(sqlite_club, "Evening kit") == (Status.WATCH, [gone])
    assert told(sqlite_club, "Stop 20") == (Status.RETIRED, ["retired on 2026-02-27: lost"])


def test_what_is_retired_is_judged_no_further(sqlite_club: Database, now: datetime) -> None:
    put_on_record(sqlite_club, [Evening(date(2024, 1, 5), [6.0], mount="Bracken")])
    add_kit(sqlite_club, "Old kit", ["Bracken"], now)
    retire(sqlite_club, "mount", "Bracken", "worn out", date(2026, 2, 1), now)
    assert told(sqlite_club, "Bracken") == (Status.RETIRED, ["retired on 2026-02-01: worn out"])
    retire(sqlite_club, "kit", "Old kit", None, date(2026, 2, 3), now)
    assert told(sqlite_club, "Old kit") == (Status.RETIRED, ["retired on 2026-02-03"])


def test_a_service_is_due_on_its_day(sqlite_club: Database, now: datetime) -> None:
    add_service(
        sqlite_club, "eyepiece", "Stop 20", "cleaned", now, on=date(2026, 1, 5), bill=Bill(next_on=TODAY)
    )
    assert told(sqlite_club, "Stop 20", TODAY - DAY) == READY
    due = "service is due on 2026-03-02; the last was on 2026-01-05: cleaned"
    assert told(sqlite_club, "Stop 20") == (Status.SERVICE, [due])
    add_kit(sqlite_club, "Evening kit", ["Stop 20"], now)
    assert told(sqlite_club, "Evening kit") == (Status.SERVICE, [f"Stop 20: {due}"])


def test_a_service_that_waits_for_something_to_happen_is_not_due(
    sqlite_club: Database, now: datetime
) -> None:
    bill = Bill(next_when="it fogs")
    add_service(sqlite_club, "eyepiece", "Stop 20", "cleaned", now, on=date(2026, 1, 5), bill=bill)
    assert told(sqlite_club, "Stop 20") == READY


def test_a_service_is_due_after_the_last_of_its_nights(sqlite_club: Database, now: datetime) -> None:
    bill = Bill(next_after_nights=2)
    add_service(sqlite_club, "mount", "Heron", "greased", now, on=date(2026, 1, 5), bill=bill)
    put_on_record(sqlite_club, [Evening(date(2026, 1, day), [6.0]) for day in (5, 6)])
    assert told(sqlite_club, "Heron")[1] == []  # the night of the day of the service counts as before it
    put_on_record(sqlite_club, [Evening(date(2026, 1, 9), [6.0])])
    assert told(sqlite_club, "Heron")[1] == [
        "service is due after 2 nights of use; it has been used on 2 since 2026-01-05"
    ]


@pytest.mark.parametrize(
    ("percents", "words"),
    [
        ((60.0,), []),  # on the limit it is enough
        ((59.9,), ["at its last test it had 59.9 % of its capacity"]),
        ((80.0, 42.0), ["at its last test it had 42 % of its capacity"]),
        ((42.0, 80.0), []),
        ((42.0, None), ["at its last test it had 42 % of its capacity"]),  # voltage alone tells no capacity
    ],
)
def test_a_battery_is_judged_by_its_last_measured_capacity(
    sqlite_club: Database, now: datetime, percents: tuple[float | None, ...], words: list[str]
) -> None:
    for days, percent in enumerate(percents):
        note_test(
            sqlite_club,
            "Lead battery",
            now,
            on=date(2026, 2, 1) + days * DAY,
            capacity_percent=percent,
            rest_volts=12.6,
        )
    assert told(sqlite_club, "Lead battery") == (Status.SERVICE if words else Status.READY, words)
    set_rule(sqlite_club, "battery-percent", 40, now)
    assert told(sqlite_club, "Lead battery") == READY


def idle(days: int) -> tuple[Status, list[str]]:
    return Status.WATCH, [f"neither used nor lent for {days} days"]


def test_what_was_last_under_the_sky_a_year_ago_is_idle(sqlite_club: Database, now: datetime) -> None:
    """The mount is told by its set-up; its nights are too few to judge it by."""
    put_on_record(
        sqlite_club, [Evening(TODAY - YEAR - 30 * DAY, [6.0]), Evening(TODAY - YEAR, [6.0], mount="Bracken")]
    )
    assert told(sqlite_club, "Bracken")[1] == idle(365)[1]
    assert told(sqlite_club, "Bracken", TODAY - DAY)[1] == []
    assert told(sqlite_club, "Heron")[1] == idle(395)[1]
    assert told(sqlite_club, "Thistle")[1] == []  # of which nobody ever noted a use


def test_what_was_last_lent_a_year_ago_is_idle_from_the_day_it_came_back(
    sqlite_club: Database, now: datetime
) -> None:
    add_kit(sqlite_club, "Evening kit", ["Wide 25", "dust cap"], now)
    for name, out, back in (
        ("Stop 20", TODAY - YEAR - 100 * DAY, TODAY - YEAR - 60 * DAY),
        ("Evening kit", TODAY - YEAR - 40 * DAY, TODAY - YEAR),
        ("Stop 20", TODAY - YEAR - 50 * DAY, TODAY - YEAR - 10 * DAY),
    ):
        lend(sqlite_club, name, "Ines", now, on=out)
        take_back(sqlite_club, name, now, on=back)
    assert told(sqlite_club, "Evening kit")[1][0] == idle(365)[1][0]
    assert told(sqlite_club, "Wide 25") == idle(365)
    assert told(sqlite_club, "Stop 20") == idle(375)
    assert told(sqlite_club, "Wide 25", TODAY - DAY) == READY


def test_a_kit_is_used_with_its_parts_while_they_are_its_parts(sqlite_club: Database, now: datetime) -> None:
    """Heron goes out every month and is never lent: its kit was idle beside the set-ups of the last year."""
    lent = TODAY - YEAR - 51 * DAY
    add_kit(sqlite_club, "Evening kit", ["Heron", "Wide 25"], now - YEAR - 60 * DAY)
    lend(sqlite_club, "Evening kit", "Ines", now, on=lent)
    take_back(sqlite_club, "Evening kit", now, on=lent)
    assert idle(416)[1][0] in told(sqlite_club, "Evening kit")[1]
    put_on_record(sqlite_club, [Evening(TODAY - 30 * DAY, [6.0])])
    assert not any(words.startswith("neither used") for words in told(sqlite_club, "Evening kit")[1])
    remove_part(sqlite_club, "Evening kit", "Heron", None, now - 40 * DAY)
    assert idle(416)[1][0] in told(sqlite_club, "Evening kit")[1]


def test_what_a_member_has_had_for_a_year_is_not_idle(sqlite_club: Database, now: datetime) -> None:
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY - YEAR - DAY, due=TODAY + DAY)
    assert told(sqlite_club, "Stop 20") == (Status.OUT, ["on loan, due 2026-03-03"])


def test_one_idle_day_is_one_day(sqlite_club: Database, now: datetime) -> None:
    set_rule(sqlite_club, "idle-days", 1, now)
    lend(sqlite_club, "Stop 20", "Ines", now, on=TODAY - 9 * DAY)
    take_back(sqlite_club, "Stop 20", now, on=TODAY - DAY)
    assert told(sqlite_club, "Stop 20") == (Status.WATCH, ["neither used nor lent for 1 day"])
    assert told(sqlite_club, "Stop 20", TODAY - DAY) == READY


def test_a_tube_and_an_eyepiece_are_used_by_their_set_ups(sqlite_club: Database, now: datetime) -> None:
    from obslog.club.night.nights import start_night
    from obslog.club.night.setups import start_setup

    then = now - YEAR
    start_night(sqlite_club, "Mill Field", then)
    start_setup(sqlite_club, "Heron", then, tube="Long tube", eyepiece="Wide 25")
    found = {
        item.name: [reason.words for reason in item.reasons] for item in review(sqlite_club, TODAY).items
    }
    assert found["Long tube"] == found["Wide 25"] == idle(365)[1]
    assert found["Stop 20"] == []


@pytest.mark.parametrize(
    ("standing", "status", "words"),
    [
        (StoreroomEvidence(), Status.READY, ""),
        (
            StoreroomEvidence(retired_on=date(2026, 1, 1), retired_why="worn out"),
            Status.RETIRED,
            "retired on 2026-01-01: worn out",
        ),
        (
            StoreroomEvidence(holder="Ines", due_on=date(2026, 3, 2)),
            Status.OUT,
            "out with Ines, due 2026-03-02",
        ),
        (
            StoreroomEvidence(holder="Ines", due_on=date(2026, 2, 27)),
            Status.OUT,
            "out with Ines, due 2026-02-27; overdue by 3 days",
        ),
        (StoreroomEvidence(missing={"": date(2026, 1, 5)}), Status.OUT, "missing since 2026-01-05"),
        (StoreroomEvidence(missing={"Wide 25": None}), Status.WATCH, "Wide 25 is missing"),
        (StoreroomEvidence(astray=["Heron was retired"]), Status.WATCH, "Heron was retired"),
        (StoreroomEvidence(service_due=["service was due"]), Status.SERVICE, "service was due"),
        (StoreroomEvidence(idle_days=365), Status.WATCH, "neither used nor lent for 365 days"),
        (StoreroomEvidence(idle_days=364), Status.READY, ""),
        (
            StoreroomEvidence(battery_percent=40),
            Status.SERVICE,
            "at its last test it had 40 % of its capacity",
        ),
    ],
)
def test_a_standing_has_its_reason(standing: StoreroomEvidence, status: Status, words: str) -> None:
    reasons = list(standing_reasons(standing, Rules({}), TODAY))
    assert status_of(reasons) is status
    assert "; ".join(reason.words for reason in reasons) == words
