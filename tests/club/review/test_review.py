"""The review as a whole: in which order, what a kit takes from its parts, and what is found by a name."""

from datetime import date, datetime, timedelta

import pytest

from obslog.club.register.named_records import add
from obslog.club.review.review import Review, Reviewed, by_gravity, review, review_of
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.kits import add_kit, remove_part
from obslog.club.storeroom.retirement import retire
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.performance.histories import Evening, put_on_record

TODAY = date(2026, 3, 2)


def reviewed(name: str, status: Status, setups: int = 0) -> Reviewed:
    return Reviewed(
        name=name, kind="mount", status=status, reasons=[], effect=None, setups_last_year=setups, judged=True
    )


def test_what_wants_work_comes_first_and_of_that_the_most_used() -> None:
    items = [
        reviewed("ready, idle", Status.READY),
        reviewed("ready, used", Status.READY, 9),
        reviewed("watch, idle", Status.WATCH),
        reviewed("service, idle", Status.SERVICE, 1),
        reviewed("watch, used", Status.WATCH, 9),
        reviewed("service, used", Status.SERVICE, 5),
        reviewed("retired", Status.RETIRED),
    ]
    found = by_gravity(Review({}, items))
    assert [(status, [item.name for item in group]) for status, group in found] == [
        (Status.SERVICE, ["service, used", "service, idle"]),
        (Status.WATCH, ["watch, used", "watch, idle"]),
        (Status.READY, ["ready, idle", "ready, used"]),  # as they stand on record
        (Status.RETIRED, ["retired"]),
    ]


@pytest.fixture
def judged(sqlite_club: Database, now: datetime) -> Database:
    """Heron set up six times by two members, one of them in the last year; in a kit with an eyepiece for service."""
    nights = [date(2025, 1, 5) + timedelta(days=30 * place) for place in range(6)]
    put_on_record(
        sqlite_club,
        [
            Evening(night, [6.0], observer=("Ines", "Bram Ostler")[place % 2])
            for place, night in enumerate(nights)
        ],
    )
    bill = Bill(next_on=date(2026, 3, 1))
    add_service(sqlite_club, "eyepiece", "Wide 25", "cleaned", now, on=date(2026, 1, 5), bill=bill)
    add_kit(sqlite_club, "Evening kit", ["Heron", "Wide 25"], now)
    add_kit(sqlite_club, "Box", ["Stop 20"], now)
    return sqlite_club


DUE = "service was due on 2026-03-01; the last was on 2026-01-05: cleaned"


def test_a_kit_takes_the_set_ups_of_its_mount_and_what_speaks_against_its_parts(judged: Database) -> None:
    kit = review_of(judged, "evening kit", TODAY)
    assert (kit.kind, kit.status, kit.judged) == ("kit", Status.SERVICE, True)
    assert [reason.words for reason in kit.reasons] == [f"Wide 25: {DUE}"]
    # 5 January is the first of the six nights; from 2 March 2025 on there are four.
    assert kit.setups_last_year == review_of(judged, "Heron", TODAY).setups_last_year == 4


def test_what_does_not_need_nights_is_judged_without_them(judged: Database) -> None:
    found = {item.name: item.judged for item in review(judged, TODAY).items}
    assert {name for name, enough in found.items() if not enough} == {"Bracken", "Thistle"}


def test_a_kit_with_a_mount_that_is_not_judged_is_not_judged(judged: Database, now: datetime) -> None:
    add_kit(judged, "Fork kit", ["Bracken"], now)
    kit = review_of(judged, "Fork kit", TODAY)
    assert (kit.judged, kit.status) == (False, Status.WATCH)
    assert kit.reasons[0].words.startswith(
        "Bracken: 0 set-ups with landings by 0 observers: too few to judge"
    )
    remove_part(judged, "Fork kit", "Bracken", None, now)
    kit = review_of(judged, "Fork kit", TODAY)
    assert (kit.judged, kit.status, kit.setups_last_year) == (True, Status.READY, 0)


def test_of_a_part_that_is_out_or_retired_the_kit_is_not_held_to_be_so(
    judged: Database, now: datetime
) -> None:
    retire(judged, "eyepiece", "Stop 20", None, TODAY, now)
    assert review_of(judged, "Stop 20", TODAY).status is Status.RETIRED
    assert review_of(judged, "Box", TODAY).status is Status.READY


def test_a_retired_mount_is_not_judged_by_its_nights_and_its_kit_says_only_that(
    judged: Database, now: datetime
) -> None:
    retire(judged, "mount", "Bracken", None, TODAY, now)
    assert [reason.words for reason in review_of(judged, "Bracken", TODAY).reasons] == [
        "retired on 2026-03-02"
    ]
    retire(judged, "kit", "Evening kit", None, TODAY, now)
    assert [reason.words for reason in review_of(judged, "Evening kit", TODAY).reasons] == [
        "retired on 2026-03-02"
    ]


def test_of_two_of_one_name_the_kind_says_which(judged: Database, now: datetime) -> None:
    add(judged, "item", "Box", {"sort": "case"}, now)
    assert review_of(judged, "Box", TODAY, "item").kind == "item"
    assert review_of(judged, "Box", TODAY, "kit").kind == "kit"
    with pytest.raises(UnknownName, match="Bax"):
        review_of(judged, "Bax", TODAY)
