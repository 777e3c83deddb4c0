"""What hides a mount's own slope in words, and that users nobody wrote down are not said to have changed."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from numpy.random import default_rng

from obslog.club.over_time.hidden_words import cannot_tell_words, hidden_reason
from obslog.club.over_time.landing_history import mount_history
from obslog.club.over_time.own_trends import MountOwn
from obslog.records.database import Database
from obslog.trends.series.theil_sen import Verdict
from tests.club.over_time.test_trend_words import an_own
from tests.club.performance.histories import Evening, drawn, fortnightly, put_on_record
from tests.known import known

UNSIGNED = "who set it up is not on record"


def said(own: MountOwn, verdict: Verdict = Verdict.CANNOT_TELL) -> str:
    return cannot_tell_words("Heron", own, verdict, newly="", now="22'", earlier="2 years earlier it was 14'")


def hidden(own: MountOwn, by: str = "observer") -> str:
    return hidden_reason(own, replace(known(own.trend), hidden_by=by, told_apart=9.6))


def test_users_who_changed_are_said_to_have_changed() -> None:
    for own in (an_own(), an_own(unsigned=3)):
        assert said(own) == (
            "Half of Heron's go-tos now land within 22'; 2 years earlier it was 14', but its users changed too: "
            "whether that is the mount or they cannot be told."
        )
        assert hidden(own).startswith(
            "its users changed with time, so that the mount's own slope is 9.6 times as"
        )


def test_users_whom_nobody_wrote_down_are_not_said_to_have_changed() -> None:
    nobody, some = an_own(observers=[], unsigned=24), an_own(observers=["Ines"], unsigned=20)
    for own, because in ((nobody, UNSIGNED), (some, "who set it up is on record of only 4 of 24 set-ups")):
        assert said(own) == (
            f"Whether Heron itself gets worse cannot be told, for {because}: half of its go-tos now land within 22'."
        )
        assert hidden(own) == (
            f"{because}, so that the mount's own slope is 9.6 times as unsure as if its users were known: where "
            "somebody still knows, obslog setup edit --observer settles it"
        )


@pytest.mark.parametrize(
    ("verdict", "by", "changed"),
    [
        (Verdict.CANNOT_TELL_TUBES, "tube", "its tubes"),
        (Verdict.CANNOT_TELL_SITES, "site", "the sites where it was used"),
    ],
)
def test_tubes_and_sites_that_changed_are_named_whoever_set_it_up(
    verdict: Verdict, by: str, changed: str
) -> None:
    own = an_own(observers=[], unsigned=24)
    assert said(own, verdict) == (
        f"Whether Heron itself gets worse cannot be told, for {changed} changed too: half of its go-tos now land "
        "within 22'."
    )
    assert hidden(own, by).startswith(f"{changed} changed with time")


@pytest.mark.parametrize("who", [lambda _: "", lambda place: "Ines" if place == 3 else ""])
def test_a_mount_that_nobody_signed_for_says_so_from_the_records(
    club: Database, who: Callable[[int], str]
) -> None:
    """Heron's eight set-ups are nobody's, or but one; those of two others are of two people in turn."""
    rng = default_rng(5)
    put_on_record(
        club,
        [
            Evening(night, drawn(rng, 8.0), mount=mount, observer=by)
            for place, night in enumerate(fortnightly(8))
            for mount, by in (
                ("Heron", who(place)), ("Bracken", ("Ines", "Bram Ostler")[place % 2]), ("Thistle", "Bram Ostler")
            )
        ],
    )  # fmt: skip
    history = mount_history(club, "Heron")
    assert history.verdict is Verdict.CANNOT_TELL
    assert history.words.startswith("Whether Heron itself gets worse cannot be told, for who set it up is ")
    told = [history.words, *history.reasons]
    assert history.adjusted_for == (["observer"] if who(3) else [])
    assert not any("changed" in words or "all set up by" in words for words in told)
    assert sum("who set it up is" in words for words in told) == 2
