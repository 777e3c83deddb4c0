"""Hints are told in the prompt's own words."""

import pytest

from obslog.club.evening.hints import at_the_prompt
from obslog.club.night.open_night import NoOpenNight, NoOpenSetup
from obslog.club.night.plausibility import BelowHorizon
from obslog.records.history.undo_errors import NothingOfHereToUndo


@pytest.mark.parametrize(
    ("written", "told"),
    [
        (NoOpenNight().hint, "Start one: night start SITE"),
        (NoOpenSetup().hint, "Start one: setup start MOUNT"),
        ("If it was typed twice: obslog undo", "If it was typed twice: undo"),
        ("Change it with: obslog edit 4", "Change it with: edit 4"),
        ("See them: obslog setup show", "See them: list"),
        (
            NothingOfHereToUndo().hint,
            "An act of another is named by its reference: history, then undo REFERENCE",
        ),
        ("Look for it: obslog sky find 'x'", "Look for it: obslog sky find 'x'"),
        ("See the references: obslog snag list --all", "See the references: obslog snag list --all"),
        (
            "Say what it is about: --mount MOUNT, --member NAME or --site SITE.",
            "Begin the set-up that it is about: setup MOUNT",
        ),
        ("To add it: obslog site add fen", "To add it: obslog site add fen"),
    ],
)
def test_what_is_a_line_of_the_prompt_is_told_as_one(written: str, told: str) -> None:
    assert at_the_prompt(written) == told


def test_sure_is_an_exclamation_mark_here() -> None:
    hint = at_the_prompt(BelowHorizon("Canopus", -20.0, "21:40", "Mill Field").hint)
    assert "--" not in hint
    assert hint.endswith("end the line with !.")
