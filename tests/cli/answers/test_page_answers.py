"""What the help of pages and their guide tell scripts of is in the schemas."""

import pytest

from tests.cli.answers.held import promised_keys_missing


@pytest.mark.parametrize(
    ("command", "record", "keys"),
    [
        (
            "page mount",
            "PageOfMount",
            "mount day next_steps trend review snags look_first fit residuals axes mechanics budget",
        ),
        ("page night", "PageOfNight", "places story"),
        ("page stocktake", "PageOfStocktake", "lost lost_value before losses"),
    ],
)
def test_the_promised_keys_are_there_and_always(command: str, record: str, keys: str) -> None:
    assert promised_keys_missing(command, record, keys) == set()
