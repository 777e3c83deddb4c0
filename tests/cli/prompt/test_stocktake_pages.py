"""A stocktake at the prompt: what is left to be seen, by place."""

import io

import pytest

from obslog.cli.prompt.stocktake_pages import show_stocktake
from obslog.cli.terminal.screen import Screen
from obslog.club.shelves.counting import Started
from tests.report.pages.test_stocktake_page import DAY, STANDING


@pytest.mark.parametrize(
    ("value", "lines"),
    [
        (
            Started(DAY, None),
            [
                "A stocktake is open from 2026-03-02.",
                "Each line is a tag or a whole name now; done ends that.",
            ],
        ),
        (
            STANDING,
            [
                "Stocktake from 2026-03-02 to 2026-03-02, counted by Ines, finished: 3 of 4 items seen.",
                "shelf 2, not seen: A",
                "Missing from kits: cap of Evening kit",
                "Kits that nobody looked through: Old kit",
            ],
        ),
    ],
)
def test_what_is_left_is_told_by_place(value: object, lines: list[str]) -> None:
    out = io.StringIO()
    show_stocktake(Screen(out, io.StringIO()), value)
    assert out.getvalue().splitlines() == lines
