"""The solar caution comes first, in every command that sends somebody to a place in the sky while it must."""

from datetime import UTC, datetime, timedelta

import pytest

from obslog.vocabulary.cautions import SUN_CAUTION, Danger
from tests.cli.program import Program

SITE = ("--site", "Mill Field")
# In March the Sun stands between 07:00 and 17:30 UTC above the horizon of 52 degrees north.
NOON = datetime(2026, 3, 2, 13, 0, tzinfo=UTC)
DARK = datetime(2026, 3, 2, 21, 40, tzinfo=UTC)
AT_NOON, AT_NIGHT = ("--at", "2026-03-02T13:00Z"), ("--at", "2026-03-02T21:40Z")
BY_DAY = [
    ("sky", "where", "Vega", *SITE, *AT_NOON),
    ("sky", "when", "Venus", *SITE, *AT_NOON),
    ("sky", "when", "Mercury", *SITE, *AT_NIGHT),
    ("sky", "sun-moon", *SITE, *AT_NOON),
    ("sky", "pole", *SITE, *AT_NOON),
    ("sky", "find", "venus"),
    ("sky", "find", "sun"),
    ("pointing", "stars", "Heron", *SITE, *AT_NOON),
    ("pointing", "run-plan", "Heron", *SITE, *AT_NOON),
    ("pointing", "mistakes", *SITE, *AT_NOON, "--star", "Sun", "--east", "1", "--north", "1"),
    ("pointing", "drift", "Deneb 13:00 10 1N", *SITE),
    ("brief", *SITE, *AT_NOON, "--full"),
    ("sync", "Deneb", "2E", "1N"),
    ("check", "the Sun", "2E", "1N"),
    ("goto", "Mercury"),
    ("goto", "Venus", "centred"),
    ("goto", "no such thing", "--as-written"),
    ("saw", "Sun"),
    ("saw", "Venus"),
    ("saw", "Deneb"),
    ("saw", "no such thing", "--as-written"),
]
BY_NIGHT = [
    ("sky", "where", "Vega", *SITE, *AT_NIGHT),
    ("sky", "when", "M 31", *SITE, *AT_NIGHT),
    ("sky", "pole", *SITE, *AT_NIGHT),
    ("sky", "find", "jupiter"),
    ("pointing", "stars", "Heron", *SITE, *AT_NIGHT),
    ("sync", "Regulus", "2E", "1N"),
    ("goto", "Jupiter"),
    ("saw", "M 44"),
    ("saw", "no such thing", "--as-written"),
]


@pytest.fixture
def begun(in_club: Program) -> Program:
    in_club.now = NOON - timedelta(minutes=50)
    in_club.must("night", "start", "Mill Field", "--with", "Ines")
    in_club.must("setup", "start", "Heron", "--tube", "Long tube", "--observer", "Ines")
    in_club.now = NOON
    return in_club


@pytest.mark.parametrize("words", BY_DAY, ids=" ".join)
def test_by_day_the_caution_is_the_first_line(begun: Program, words: tuple[str, ...]) -> None:
    first, *_ = begun.must(*words).out.splitlines()
    assert first.removeprefix("CAUTION. ") in {*Danger, SUN_CAUTION}


@pytest.mark.parametrize("words", BY_NIGHT, ids=" ".join)
def test_by_night_there_is_none(begun: Program, words: tuple[str, ...]) -> None:
    begun.now = DARK
    answer = begun.must(*words)
    assert "CAUTION" not in answer.out + answer.err


@pytest.mark.parametrize(
    "words",
    [("saw", "Sun"), ("goto", "Mercury"), ("sky", "when", "Venus", *SITE), ("sky", "where", "Sun", *SITE)],
)
def test_a_script_is_given_the_caution_too(begun: Program, words: tuple[str, ...]) -> None:
    assert begun.document(*words)["caution"]


def test_words_grow_stronger_toward_the_sun(begun: Program) -> None:
    # On 2 March 2026 the Sun stands at 22.9 h -7: Mercury, near its greatest elongation of February, is 14 degrees off;
    # Deneb (20.7 h +45) is far away.
    assert "Close to the Sun" in begun.must("goto", "Mercury").out
    assert "The Sun is up" in begun.must("goto", "Deneb", "--at", "13:01").out
    assert "solar filter" in begun.must("saw", "Sun").out
