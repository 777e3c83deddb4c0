"""The review as a whole: in which order, what a kit takes from its parts, what is found by a name, and what is read.

It reads the records once, in one session, and what was computed before not at all.
"""

from datetime import date, datetime, timedelta

import numpy as np
import pytest

from obslog.club.performance.snapshot import snapshot_of
from obslog.club.register.named_records import add
from obslog.club.review.review import Review, Reviewed, by_gravity, review, review_of
from obslog.club.review.verdicts import Status
from obslog.club.storeroom.kits import add_kit, remove_part, replace_part
from obslog.club.storeroom.retirement import retire
from obslog.club.upkeep.service_bills import Bill
from obslog.club.upkeep.services import add_service
from obslog.errors import UnknownName
from obslog.records.database import Database
from tests.club.conftest import MOUNTS
from tests.club.performance.histories import NOW, Evening, counted_reading, put_on_record

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
    assert kit.reasons[0].words.startswith("Bracken: 0 set-ups with landings: too few to judge")
    remove_part(judged, "Fork kit", "Bracken", None, now)
    kit = review_of(judged, "Fork kit", TODAY)
    assert (kit.judged, kit.status, kit.setups_last_year) == (True, Status.READY, 0)


def test_of_a_part_that_is_retired_the_kit_is_not_held_to_be_so_but_it_wants_another(
    judged: Database, now: datetime
) -> None:
    retire(judged, "eyepiece", "Stop 20", None, TODAY, now)
    assert review_of(judged, "Stop 20", TODAY).status is Status.RETIRED
    box = review_of(judged, "Box", TODAY)
    assert (box.status, [reason.words for reason in box.reasons]) == (
        Status.WATCH,
        ["Stop 20 was retired on 2026-03-02; put another in its place: obslog kit replace"],
    )
    replace_part(judged, "Box", "Stop 20", "a cap", now)
    assert review_of(judged, "Box", TODAY).status is Status.READY


def test_a_kit_whose_mount_is_retired_has_neither_its_effect_nor_its_set_ups(
    judged: Database, now: datetime
) -> None:
    retire(judged, "mount", "Heron", "worn out", TODAY, now)
    kit = review_of(judged, "Evening kit", TODAY)
    assert (kit.setups_last_year, kit.effect, kit.tube, kit.wanting) == (0, None, None, None)
    assert "Heron was retired on 2026-03-02" in " ".join(reason.words for reason in kit.reasons)


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


def test_the_review_reads_in_one_session_and_the_arrivals_of_each_mount_once(club_of_three: Database) -> None:
    today = NOW.date()
    with counted_reading(club_of_three) as count:
        review(club_of_three, today)
    assert count == {"sessions": 1, "arrivals": len(MOUNTS)}


def test_what_was_computed_is_not_computed_again(club_of_three: Database) -> None:
    today = NOW.date()
    found = review(club_of_three, today)
    with counted_reading(club_of_three) as count:
        assert repr(review(club_of_three, today)) == repr(found)  # nan is not equal to itself
        review_of(club_of_three, "Birch", today)
    assert count == {"sessions": 2, "arrivals": 0}


def test_the_landings_of_all_mounts_are_those_of_each(club_of_three: Database) -> None:
    with snapshot_of(club_of_three) as snapshot:
        with counted_reading(club_of_three) as count:
            together = snapshot.all_landings()
        assert count["arrivals"] == len(MOUNTS)
        keys = [snapshot.mount_named(name.upper()) for name in MOUNTS]
        with counted_reading(club_of_three) as count:
            of_each = [snapshot.landings(key) for key in keys]
        assert count["arrivals"] == 0
    assert [setup.mount for setup in together.setups] == [name for name in MOUNTS for _ in range(12)]
    np.testing.assert_array_equal(
        np.concatenate([landings.log_error for landings in of_each]), together.log_error
    )
    assert together.setups[1].night - together.setups[0].night == timedelta(days=14)
    assert len({setup.key for setup in together.setups}) == 36
