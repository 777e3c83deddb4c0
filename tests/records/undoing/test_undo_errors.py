"""Each reason says what, and what to do."""

import pytest

from obslog.errors import ObslogError
from obslog.records.history.acts import NoSuchAct
from obslog.records.undoing.undo_errors import (
    CannotRedo,
    CannotUndo,
    NothingToRedo,
    NothingToUndo,
    NotOneToUndo,
    UndoneAlready,
)

ERRORS = [
    (NothingToUndo(), "There is nothing to undo.", "obslog night show"),
    (
        CannotUndo("sync Vega", "the record is gone"),
        "The last act (sync Vega) cannot be undone",
        "Use edit instead.",
    ),
    (
        CannotUndo("sync Vega", "it is gone", last=False),
        "The act (sync Vega) cannot be undone",
        "Nothing was changed.",
    ),
    (
        NotOneToUndo("a member left"),
        "what was there before is not kept",
        "Removing a member cannot be undone",
    ),
    (UndoneAlready("sync Vega"), "is undone already", "obslog history"),
    (NoSuchAct("abc", 0), "No act has the reference 'abc'.", "obslog history"),
    (NoSuchAct("abcdef", 2), "Several acts have the reference 'abcdef'.", "obslog history"),
    (NothingToRedo(), "There is nothing to redo.", "before anything new"),
    (
        CannotRedo("sync Vega", "the record is gone"),
        "cannot be done again: the record is gone.",
        "Record it anew",
    ),
]


@pytest.mark.parametrize(
    ("error", "message", "hint"), ERRORS, ids=lambda part: part if isinstance(part, str) else ""
)
def test_an_error_says_what_and_what_to_do(error: ObslogError, message: str, hint: str) -> None:
    assert message in error.message
    assert hint in error.hint
