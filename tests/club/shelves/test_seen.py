"""What came of a line: what the records say against what was seen."""

import pytest

from obslog.club.shelves.seen import Seen, SeenOutcome
from obslog.club.storeroom.custody import StoreStatus


@pytest.mark.parametrize(
    ("status", "words"),
    [
        (None, None),
        (StoreStatus.IN, None),
        (StoreStatus.OUT, "on loan"),
        (StoreStatus.MISSING, "missing"),
        (StoreStatus.WRITTEN_OFF, "written off"),
    ],
)
def test_only_what_should_not_be_on_the_shelves_is_said(
    status: StoreStatus | None, words: str | None
) -> None:
    assert Seen(text="m", outcome=SeenOutcome.SEEN, name="Heron", status=status).but_on_record == words
