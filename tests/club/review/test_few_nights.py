"""Set-ups on few nights, from the database to the sentences of the trend and of the review."""

from collections.abc import Iterable
from datetime import date
from math import log

import pytest
from numpy.random import default_rng

from obslog.club.over_time.landing_history import mount_history
from obslog.club.review.review import review_of
from obslog.club.review.verdicts import Status
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.performance.histories import Evening, drawn, fortnightly, put_on_record
from tests.club.review.evidence import told, with_names
from tests.known import known

SOON = date(2026, 7, 1)
USERS = ("Ines", "Bram Ostler")


@pytest.fixture
def club(sqlite_database: Database) -> Database:
    """Heron, of which nothing is on record yet, and three mounts that land at 8' on ten evenings."""
    rng = default_rng(3)
    others = ("Bracken", "Thistle", "Kelp")
    put_on_record(
        with_names(sqlite_database, ("Heron", *others)),
        [
            Evening(night, drawn(rng, 8.0), mount=mount, observer=USERS[place % 2])
            for place, night in enumerate(fortnightly(10, date(2026, 1, 5)))
            for mount in others
        ],
    )
    return sqlite_database


def put(club: Database, nights: Iterable[date], halves: Iterable[float], checks: int = 6) -> None:
    """Set-ups of Heron in order, by two users in turn."""
    rng = default_rng(4)
    put_on_record(
        club,
        [
            Evening(night, drawn(rng, half, checks), observer=USERS[place % 2])
            for place, (night, half) in enumerate(zip(nights, halves, strict=True))
        ],
    )


def test_six_set_ups_on_two_nights_give_no_verdict_on_the_trend(club: Database) -> None:
    put(club, [date(2026, 3, 5)] * 3 + [date(2026, 3, 20)] * 3, [4.0] * 3 + [24.0] * 3)
    history = mount_history(club, "Heron")
    assert history.verdict is Verdict.TOO_FEW
    assert history.words == (
        "Too few nights to say whether Heron gets worse: 6 set-ups with a landing on 2 nights, and it takes 6 nights."
    )
    assert history.reasons == ["6 set-ups on 2 nights; a verdict needs 6 nights"]
    assert not any("landing error grows" in reason for reason in told(club, "Heron", SOON))


def test_a_growth_seen_over_two_months_is_told_of_those_and_not_of_a_year(club: Database) -> None:
    """By a tenth an evening, ten evenings a week apart: 1.1 to the ninth power is 2.36, in 63 days."""
    put(club, fortnightly(10, date(2026, 3, 2), days=7), [8.0 * 1.1**n for n in range(10)])
    history = mount_history(club, "Heron")
    assert history.verdict is Verdict.WORSENING
    assert history.yearly_factor is None
    assert history.grown is not None
    assert history.grown.days == 63
    assert history.grown.factor.low is not None
    assert history.grown.factor.high is not None
    assert history.grown.factor.low < 2.36 < history.grown.factor.high
    assert (
        sum(" in 63 days (95 % interval " in reason for reason in history.reasons) == 2
    )  # its own, and as used
    assert not any("a year" in reason for reason in history.reasons)
    (grew,) = (words for words in told(club, "Heron", SOON) if "landing error grew by a factor of" in words)
    assert grew.endswith(" in 63 days over 10 set-ups")
    assert review_of(club, "Heron", SOON).status is not Status.READY


def test_what_may_be_anything_is_not_called_steady(club: Database) -> None:
    """Nine evenings of one landing each in three months: nobody can say what that comes to in a year."""
    put(club, fortnightly(9, date(2026, 2, 2), days=11), [8.0] * 9, checks=1)
    history = mount_history(club, "Heron")
    assert history.slope is not None
    low, high = known(history.slope.per_year.low), known(history.slope.per_year.high)
    assert high - low > log(30)
    assert history.verdict is Verdict.TOO_FEW
    assert history.words.startswith(
        "Whether Heron changes cannot be told yet: half of its go-tos land within "
    )
    assert (
        "in a year the ends would be more than 30 times apart, and that is not called steady"
        in history.reasons
    )
    assert not any("a verdict needs" in reason for reason in history.reasons)


@pytest.mark.parametrize(("nights", "judged"), [([date(2026, 3, 1)] * 8, False), (fortnightly(8), True)])
def test_eight_set_ups_of_one_night_are_not_judged_however_far_out_they_landed(
    club: Database, nights: list[date], judged: bool
) -> None:
    put(club, nights, [60.0] * 8)
    found = review_of(club, "Heron", SOON)
    few = "8 set-ups with landings on one night by 2 observers: too few to judge"
    assert found.judged is judged
    assert any(reason.words.startswith(few) for reason in found.reasons) is not judged
    if not judged:
        assert found.status is Status.WATCH
