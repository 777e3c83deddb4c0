"""Cells and words that several pages share."""

from obslog.report.overviews.cells import interval_cells, share_words
from obslog.values import Interval


def test_what_is_not_known_is_blank() -> None:
    assert interval_cells(Interval(12.34, 9.0, None, 4)) == ("12.3'", "9.0'", "")
    assert interval_cells(None) == ("", "", "")
    assert interval_cells(Interval(1.234, 1.0, 2.0, 4), "", 2) == ("1.23", "1.00", "2.00")


def test_a_share_in_percent_with_its_ends() -> None:
    assert share_words(Interval(0.5, 0.224, 0.776, 10)) == "50 % (22 % to 78 %)"
