"""What a sheet is made of."""

import pytest

from obslog.club.forms.blocks import Scale


@pytest.mark.parametrize(
    ("direction", "steps", "told"),
    [
        ("10 is best, 0 is worst", (), ("seeing", "10 is best, 0 is worst")),
        ("1 is best", (("1", "calm"),), ("seeing",)),
        ("", (), ("seeing",)),
    ],
)
def test_which_end_is_better_is_told_where_no_step_says_so(
    direction: str, steps: tuple[tuple[str, str], ...], told: tuple[str, ...]
) -> None:
    assert Scale(name="s", meaning="seeing", direction=direction, steps=steps).told == told
