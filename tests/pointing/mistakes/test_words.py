"""How often each mistake is taken to happen: as docs/pointing.md tells it, and the club's own record."""

import re
from pathlib import Path

import pytest

from obslog.pointing.mistakes.prior import prior_shares
from obslog.pointing.mistakes.words import WORDS
from obslog.vocabulary.mistakes import Cause

PAGE = Path(__file__).parents[3] / "docs" / "pointing.md"


def told_shares() -> dict[str, float]:
    """The table of the page, in per cent."""
    section = PAGE.read_text(encoding="utf-8").split("## Mistake finder")[1].split("\n## ")[0]
    return {
        cause: float(share)
        for cause, share in re.findall(r"^\| ([a-z' ]+) \| ([\d.]+) % \|$", section, re.MULTILINE)
    }


def test_the_shares_are_those_that_the_page_tells() -> None:
    told = told_shares()
    assert set(told) == {str(cause) for cause in Cause} == {str(cause) for cause in WORDS}
    assert {cause: round(100 * share, 1) for cause, share in prior_shares().items()} == told
    assert sum(prior_shares().values()) == pytest.approx(1.0)


@pytest.mark.parametrize("cause", list(Cause))
def test_each_mistake_says_what_to_do_and_what_to_look_at(cause: Cause) -> None:
    words = WORDS[cause]
    assert words.remedy.endswith(".")
    assert words.look_at.endswith(".")
