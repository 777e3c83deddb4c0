"""What the bottom line says, and in how much room."""

from dataclasses import replace
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest

from obslog.cli.prompt.bottom_line import bottom_line, parts
from obslog.club.evening.asked import PromptSettings
from obslog.club.evening.night_hours import NightChange
from obslog.club.evening.standing import EveningStanding
from obslog.vocabulary.mounts import PierSide

NOW = datetime(2026, 7, 2, 21, 40, tzinfo=UTC)
OPEN = EveningStanding(
    site="Mill Field",
    zone=ZoneInfo("Europe/London"),
    night=date(2026, 7, 2),
    mount="Heron",
    setup="one",
    next_number=4,
)
DAWN = NightChange("dawn", datetime(2026, 7, 2, 23, 40, 20, tzinfo=UTC))


def test_an_open_stocktake_is_told_and_where_one_counts() -> None:
    counting = EveningStanding(site="Mill Field", stocktake=True)
    assert parts(counting, PromptSettings(), None, NOW)[-1] == "stocktake open"
    assert parts(counting, PromptSettings(counting=True), None, NOW)[-1] == "counting"
    assert parts(counting, PromptSettings(counting=True, place="attic"), None, NOW)[-1] == "counting at attic"
    assert "counting" not in " ".join(parts(EveningStanding(), PromptSettings(counting=True), None, NOW))


def test_it_says_where_when_what_and_how_long() -> None:
    said = bottom_line(replace(OPEN, pier=PierSide.WEST), PromptSettings(), DAWN, NOW, 80)
    assert said == "Mill Field  22:40  Heron  next 4  pier west  dawn in 2 h"


@pytest.mark.parametrize("width", [20, 40, 60])
def test_it_takes_as_many_lines_as_it_needs(width: int) -> None:
    said = bottom_line(OPEN, PromptSettings(quiet=True), DAWN, NOW, width)
    assert all(len(line) <= width for line in said.splitlines())
    assert said.split() == [
        "Mill",
        "Field",
        "22:40",
        "Heron",
        "next",
        "4",
        "dawn",
        "in",
        "2",
        "h",
        "quiet",
    ]


@pytest.mark.parametrize(
    ("at_utc", "told"),
    [
        (datetime(2026, 7, 2, 23, 39, tzinfo=UTC), "dawn in 119 min"),
        (datetime(2026, 7, 3, 5, 10, tzinfo=UTC), "dawn in 7 h 30 min"),
    ],
)
def test_what_is_hours_off_is_told_in_hours(at_utc: datetime, told: str) -> None:
    assert bottom_line(OPEN, PromptSettings(), NightChange("dawn", at_utc), NOW, 80).endswith(told)


def test_what_is_not_there_is_said() -> None:
    assert bottom_line(EveningStanding(), PromptSettings(), None, NOW, 80) == "no site  21:40Z  no night open"
    alone = EveningStanding(site="Mill Field", night=date(2026, 7, 2))
    assert "no set-up" in bottom_line(alone, PromptSettings(), None, NOW, 80)
    other = EveningStanding(site="Mill Field", night=date(2026, 7, 2), several=("Bracken",))
    assert "1 set-up open: setup MOUNT" in bottom_line(other, PromptSettings(), None, NOW, 80)
    two = EveningStanding(site="Mill Field", night=date(2026, 7, 2), several=("Bracken", "Heron"))
    assert "2 set-ups open: setup MOUNT" in bottom_line(two, PromptSettings(), None, NOW, 80)


def test_what_has_come_already_is_not_counted_down() -> None:
    past = NightChange("dark", datetime(2026, 7, 2, 21, 0, tzinfo=UTC))
    assert "dark" not in bottom_line(OPEN, PromptSettings(), past, NOW, 80)
