"""The foot of a page says what stands behind it, and what does not."""

from datetime import date

from obslog import __version__
from obslog.club.pages.basis import Basis, Rows
from obslog.report.pages.footer import footer_lines

DAY = date(2026, 3, 2)


def test_it_says_what_was_used_and_left_out_and_why() -> None:
    basis = Basis(
        day=DAY,
        used=(Rows(count=1, kind="set-up"), Rows(count=432, kind="arrival")),
        left_out=(Rows(count=3, kind="arrival", why="after a slip of the mount"),),
    )
    assert footer_lines(basis)[:2] == [
        "Used: 1 set-up, 432 arrivals.",
        "Left out: 3 arrivals (after a slip of the mount).",
    ]


def test_it_says_the_version_the_schema_and_the_day() -> None:
    last = footer_lines(Basis(day=DAY, used=()))[-1]
    assert __version__ in last
    assert "schema revision" in last
    assert last.endswith("2026-03-02.")


def test_nothing_is_said_to_be_nothing() -> None:
    assert footer_lines(Basis(day=DAY, used=()))[:2] == [
        "Nothing is on record for this page yet.",
        "Nothing was left out.",
    ]
