"""The review's evidence from the keyboard to the sentence: snags, services and loans, on screen and as JSON."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.cli.program import Program

TODAY = datetime(2026, 3, 2, 12, tzinfo=UTC)
A_YEAR_AGO = TODAY - timedelta(days=365)
SLIPS = "at the step centre from 3 members, most recently on"


@pytest.fixture
def three(in_club: Program) -> Program:
    """The small club with a third member, at noon."""
    in_club.must("member", "add", "Cleo Marsh")
    in_club.now = TODAY
    return in_club


def snag(program: Program, member: str, at: datetime, mount: str = "Heron") -> None:
    program.now = at
    program.must("snag", "add", "centre", "it", "slips", "--mount", mount, "--member", member)
    program.now = TODAY


def item(program: Program, name: str) -> Any:
    return next(one for one in program.document("review")["items"] if one["name"] == name)


def test_a_snag_counts_on_its_day_a_year_ago_and_not_the_day_before(three: Program) -> None:
    """Midnight by UTC begins the day from which snags count."""
    first = A_YEAR_AGO.replace(hour=0, minute=0)
    snag(three, "Ines", first)
    snag(three, "Bram Ostler", TODAY - timedelta(days=40))
    snag(three, "Cleo Marsh", TODAY - timedelta(days=50))
    words = f"3 open snags {SLIPS} {(TODAY - timedelta(days=40)).date()}"
    one = three.document("review", "Heron")
    assert (one["status"], one["reasons"][0]) == ("watch", words)
    assert one["evidence"][0] == {
        "status": "watch",
        "weight": 1.3,
        "words": words,
        "numbers": {"step": "centre", "count": 3, "members": 3},
    }
    assert item(three, "Heron")["reasons"] == one["reasons"]
    assert three.must("review", "Heron").out.splitlines()[:2] == ["Heron (mount): watch", f"  watch: {words}"]
    three.now = TODAY + timedelta(days=1)
    assert not any("snag" in reason for reason in three.document("review", "Heron")["reasons"])


def test_a_snag_that_was_mended_counts_no_more_and_a_service_mends_it(three: Program) -> None:
    for member in ("Ines", "Bram Ostler", "Cleo Marsh"):
        snag(three, member, TODAY - timedelta(days=9))
    assert any(SLIPS in reason for reason in item(three, "Heron")["reasons"])
    assert not any(SLIPS in reason for reason in item(three, "Bracken")["reasons"])
    three.must("service", "add", "Heron", "clutch", "tightened", "--on", "2026-03-01", "--for", "centre")
    assert not any("snag" in reason for reason in item(three, "Heron")["reasons"])


def test_items_stand_by_kind_mounts_and_kits_first(three: Program) -> None:
    three.must("kit", "add", "Evening kit", "--part", "Heron")
    three.must("tube", "add", "Zenith tube", "--aperture-mm", "80", "--focal-mm", "500")
    three.must("eyepiece", "add", "Apple 10", "--focal-mm", "10", "--field-deg", "50")
    kinds = [one["kind"] for one in three.document("review")["items"]]
    assert kinds == ["mount"] * 3 + ["kit"] + ["tube"] * 2 + ["eyepiece"] * 3 + ["item"]
    names = [one["name"] for one in three.document("review")["items"]]
    assert names == [
        *("Bracken", "Heron", "Thistle", "Evening kit", "Long tube", "Zenith tube"),
        *("Apple 10", "Stop 20", "Wide 25", "Lead battery"),
    ]


def test_on_the_screen_what_wants_work_comes_first_and_what_is_ready_is_gathered(three: Program) -> None:
    three.must("service", "add", "Wide 25", "--kind", "eyepiece", "cleaned", "--on", "2026-01-05",
               "--next-on", "2026-03-02")  # fmt: skip
    three.must("loan", "out", "Stop 20", "Ines", "--on", "2026-02-01", "--due", "2026-03-01")
    three.must("tube", "retire", "Long tube", "--why", "worn out")
    blocks = three.must("review").out.strip().split("\n\n")
    assert blocks[0].splitlines() == [
        "Service, most used in the last year first",
        "  Wide 25 (eyepiece)",
        "    service is due on 2026-03-02; the last was on 2026-01-05: cleaned",
    ]
    assert blocks[1].splitlines()[:2] == ["Watch", "  Bracken (mount)"]
    assert blocks[2].splitlines() == [
        "Out",
        "  Stop 20 (eyepiece)",
        "    on loan, due 2026-03-01; overdue by 1 day",
    ]
    assert blocks[3].splitlines() == [
        "Ready (beside a mount: its landing error, the club's average being 1)",
        "  items: Lead battery",
    ]
    assert blocks[4].splitlines() == [
        "Retired",
        "  Long tube (tube)",
        "    retired on 2026-03-02: worn out",
    ]
    assert three.must("review", "Lead battery").out.splitlines() == [
        "Lead battery (item): ready",
        "  no problems found",
    ]


def test_of_several_reasons_the_gravest_is_told_and_how_many_more_there_are(three: Program) -> None:
    three.must("kit", "add", "Evening kit", "--part", "Heron", "--part", "Wide 25", "--part", "dust cap")
    three.must("kit", "missing", "Evening kit", "dust cap")
    three.must("kit", "missing", "Evening kit", "Wide 25")
    lines = three.must("review").out.splitlines()
    place = lines.index("  Evening kit (kit)")
    assert lines[place + 1].endswith("has been missing since 2026-03-02; and for 2 more reasons")
