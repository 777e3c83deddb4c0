"""One rule for what a time means: in the morning a plan is for the evening to come, in every command."""

from datetime import UTC, datetime

import pytest

from tests.cli.program import Program

SITE = ("--site", "Mill Field")
MORNING, NIGHT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC), datetime(2026, 3, 3, 0, 30, tzinfo=UTC)
# In March the clocks of Mill Field show universal time.
INSTANTS = {
    ("sky", "where", "Vega", *SITE): "at_utc",
    ("sky", "pole", *SITE): "at_utc",
    ("brief", *SITE): "at_utc",
    ("checklist", "Heron", *SITE): "at_utc",
}
NIGHTS = {
    ("sky", "when", "Vega", *SITE): "night",
    ("sky", "sun-moon", *SITE): "night",
    ("targets", *SITE): "night",
    ("brief", *SITE): "night",
}


@pytest.mark.parametrize("words", INSTANTS, ids=" ".join)
@pytest.mark.parametrize(
    ("now", "at", "meant"),
    [
        (MORNING, "21:00", "2026-03-02T21:00:00Z"),
        (MORNING, "01:00", "2026-03-03T01:00:00Z"),
        (NIGHT, "21:00", "2026-03-02T21:00:00Z"),
        (MORNING, "2026-12-05 21:00", "2026-12-05T21:00:00Z"),
        (MORNING, "2026-12-05", "2026-12-05T21:00:00Z"),
    ],
)
def test_a_time_means_the_same_instant_everywhere(
    in_club: Program, words: tuple[str, ...], now: datetime, at: str, meant: str
) -> None:
    in_club.now = now
    assert in_club.document(*words, "--at", at)[INSTANTS[words]] == meant


@pytest.mark.parametrize("words", NIGHTS, ids=" ".join)
@pytest.mark.parametrize("at", ["21:00", "03:00", "2026-03-02", "2026-03-02 22:15"])
def test_a_time_means_the_same_night_everywhere(in_club: Program, words: tuple[str, ...], at: str) -> None:
    in_club.now = MORNING
    assert in_club.document(*words, "--at", at)[NIGHTS[words]] == "2026-03-02"


def test_a_date_has_no_place_where_something_is_recorded(in_club: Program) -> None:
    in_club.now = NIGHT
    in_club.must("night", "start", "Mill Field")
    refused = in_club("saw", "M 31", "--at", "2026-03-02")
    assert (refused.code, len(refused.error_lines)) == (2, 2)
    assert (
        in_club.document("saw", "M 81", "--at", "2026-03-02 23:10")["entries"][0]["at_utc"]
        == "2026-03-02T23:10:00Z"
    )


def test_where_it_is_says_what_it_is_and_how_far_from_sun_and_moon(in_club: Program) -> None:
    # On 3 March 2026 at 11:34 UTC the Moon is full and eclipsed (published for that day): Sun and Moon stand opposite.
    moon = in_club.document("sky", "where", "Moon", *SITE, "--at", "2026-03-03T11:34Z")
    assert (moon["moon_deg"], moon["magnitude"]) == (0.0, None)
    assert 178 < moon["sun_deg"] <= 180
    regulus = in_club.document("sky", "where", "Regulus", *SITE, "--at", "2026-03-02T21:00Z")
    assert (regulus["constellation"], regulus["band"], regulus["site"]) == ("Leo", "V", "Mill Field")
    assert regulus["magnitude"] == pytest.approx(1.4, abs=0.1)
    # Regulus (10.1 h +12) stands some 10 to 20 degrees from a Moon that was full half a day later at 10.8 h +6.
    assert 3 < regulus["moon_deg"] < 25
    shown = in_club.must("sky", "where", "M 31", *SITE, "--at", "2026-03-02T21:00Z").out
    assert "constellation\tAnd" in shown
    assert "away\tfrom the Moon" in shown
