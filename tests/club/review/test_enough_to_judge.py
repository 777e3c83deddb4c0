"""What a mount wants before it is judged, from the numbers to the words."""

from dataclasses import replace

import pytest

from obslog.club.register.rule_book import Rules
from obslog.club.review.enough_to_judge import wanting_to_judge
from obslog.club.review.verdict_rules import mount_reasons
from obslog.club.review.verdicts import MountEvidence, Status, Wanting

BOOK = Rules({})
MOUNT = MountEvidence(setups=20, nights=12, observers=5, usual_site="Mill Field")


def told(mount: MountEvidence, rules: Rules = BOOK) -> list[str]:
    reasons = list(mount_reasons("Heron", mount, rules))
    assert all(reason.status is Status.WATCH for reason in reasons)
    return [reason.words for reason in reasons]


@pytest.mark.parametrize(
    ("setups", "observers", "wanting"),
    [
        (6, 2, None),
        (5, 2, Wanting.SETUPS),
        (6, 1, Wanting.OTHERS),
        (6, 0, Wanting.NAMES),
        (5, 0, Wanting.SETUPS),
    ],
)
def test_enough_is_as_many_as_the_book_asks_for(setups: int, observers: int, wanting: Wanting | None) -> None:
    one = replace(MOUNT, setups=setups, observers=observers)
    assert wanting_to_judge(one, BOOK) is wanting
    assert bool(told(one)) is (wanting is not None)


def test_of_one_night_no_mount_is_judged_however_many_set_ups_it_had() -> None:
    assert wanting_to_judge(replace(MOUNT, nights=1), BOOK) is Wanting.SETUPS
    assert wanting_to_judge(replace(MOUNT, nights=2), BOOK) is None
    assert told(replace(MOUNT, nights=1))[0].startswith(
        "20 set-ups with landings on one night by 5 observers:"
    )


def test_where_more_observers_are_asked_for_two_may_still_be_the_people() -> None:
    few = replace(MOUNT, setups=9, observers=2, unsigned=2)
    assert told(few, Rules({"fewest-observers": 3})) == [
        "7 of its 9 set-ups with landings by 2 observers, and of 2 it is not on record by whom: "
        "it may be the people; let somebody else set it up once"
    ]


def test_the_pointing_run_that_would_settle_it_is_at_the_usual_site_or_at_one_to_be_named() -> None:
    few = replace(MOUNT, setups=1, observers=1)
    (reason,) = mount_reasons("Old Heron", few, BOOK)
    assert reason.words == (
        "1 set-up with landings by 1 observer: too few to judge; a pointing run tells most in one evening: "
        'obslog pointing run-plan "Old Heron" --site "Mill Field"'
    )
    assert reason.numbers == {"setups": 1, "observers": 1}
    assert told(replace(few, usual_site=None))[0].endswith("run-plan Heron --site SITE")


def test_a_mount_that_goes_to_nothing_wants_nothing() -> None:
    assert wanting_to_judge(MountEvidence(goes_to=False), BOOK) is None
