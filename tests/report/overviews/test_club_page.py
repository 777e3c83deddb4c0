"""The page of the club: the year beside the one before, and the whole report."""

from dataclasses import replace
from datetime import date

import pytest

from obslog.club.annual.report_records import NightYear
from obslog.club.overviews.club_facts import ClubFacts, YearBefore
from obslog.club.overviews.months import MonthCount
from obslog.club.pages.basis import Basis
from obslog.report.overviews.club_page import club_page, landing_words, lead_words
from obslog.report.pages.annual_page import report_sections
from obslog.report.pages.content import Paragraph, Table
from obslog.report.pictures.picture import Picture
from obslog.values import Interval
from tests.report.annual.test_annual_pages import report_of

FACTS = ClubFacts(
    day=date(2026, 3, 2),
    report=report_of(2, with_names=False),
    observations=31,
    before=YearBefore(
        first=date(2025, 9, 3),
        last=date(2025, 12, 1),
        nights=NightYear(nights=5, sites=2, setups=6, mounts=1, observers=1),
        observations=7,
        landed=2,
        half_arcmin=None,
        loans=1,
        borrowers=1,
        came_back_late=0,
    ),
    months=[],
    years=[],
    basis=Basis(day=date(2026, 3, 2), used=()),
)


def test_the_sentence_says_both_periods() -> None:
    assert lead_words(FACTS) == (
        "3 nights with 4 set-ups; in the same number of days before, 5 nights with 6 set-ups. "
        "Too few landings are on record to say whether they changed."
    )


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (Interval(1.3, 1.1, 1.5, 9), "farther out"),
        (Interval(0.7, 0.5, 0.9, 9), "nearer"),
        (Interval(1.1, 0.9, 1.3, 9), "did not change"),
        (Interval(1.1, None, None, 9), "did not change"),
        (None, "Too few"),
    ],
)
def test_a_change_is_told_only_beyond_chance(change: Interval | None, words: str) -> None:
    assert words in landing_words(change)


def test_the_periods_stand_side_by_side() -> None:
    (table,) = (part for part in club_page(FACTS).sections[0].parts if isinstance(part, Table))
    told = {row[0]: row[1:] for row in table.rows}
    assert told["nights"] == ["3", "5"]
    assert told["members who set up"] == ["2", "1"]
    assert told["half of the go-tos landed within"] == ["12' (9.0' to 15')", "too few"]
    assert told["loans"] == ["4", "1"]


def test_months_without_a_night_are_told_and_not_drawn() -> None:
    silent = replace(FACTS, months=[MonthCount(date(2026, 1, 1), 0)])
    told, drawn = (
        club_page(facts).sections[1].parts
        for facts in (silent, replace(FACTS, months=[MonthCount(date(2026, 1, 1), 2)]))
    )
    assert told == [Paragraph("No night is on record in these months.")]
    assert isinstance(drawn[-1], Picture)


def test_the_report_of_the_annual_meeting_is_whole() -> None:
    assert club_page(FACTS).sections[3:] == report_sections(FACTS.report)


def test_a_period_that_is_not_over_says_so() -> None:
    unfinished = replace(FACTS, report=replace(FACTS.report, asked_to=date(2026, 12, 31)))
    assert "have not come yet" in repr(club_page(unfinished).sections[0])
