"""A target's title, with what stands beside it."""

from typing import Any

import pytest

from obslog.club.targets.planned_targets import PlannedTarget
from tests.cli.targets.test_targets_shown import a_target


def titled(*beside: str) -> PlannedTarget:
    changed: dict[str, Any] = {"title": "M 81, Bode's Galaxy", "beside": beside}
    return a_target(1, **changed)


@pytest.mark.parametrize(
    ("beside", "title"),
    [
        ((), "M 81, Bode's Galaxy"),
        (("M 82",), "M 81, Bode's Galaxy with M 82"),
        (("M 82", "NGC 3077"), "M 81, Bode's Galaxy with M 82 and NGC 3077"),
        (("M 82", "NGC 3077", "A", "B"), "M 81, Bode's Galaxy with M 82, NGC 3077 and 2 more"),
    ],
)
def test_neighbours_are_named_with_it_and_beyond_two_counted(beside: tuple[str, ...], title: str) -> None:
    assert titled(*beside).full_title == title
