"""Nights, set-ups, observations and snags typed by hand, read back at every width as they were typed."""

import shutil
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from obslog.cli.targets.progress import show_progress
from obslog.club.targets.list_progress import Incomplete, Progress, QuotaState, SeenObject, UpNext
from obslog.club.targets.programmes import Needed
from tests.cli.conftest import typed
from tests.cli.program import Program
from tests.cli.screens import Row, Shown, screens, shown_by
from tests.cli.test_annual_shown import cells, section

LATER = datetime(2026, 3, 2, 22, 30, tzinfo=UTC)
TYPED = [
    "check Pollux 7W 2S --at 21:39 --pier east --note |behind a tree|",
    "goto Castor in --at 21:40",
    "saw M 44 --at 21:32 -o Ines --magnification 40 --rating 3 --note |bright and wide|",
    "saw M 97 --at 21:36 -o Ines --not-seen",
    "snag add power --mount Heron --member Ines |plug loose|",
]


@pytest.fixture(scope="module")
def night(outside_template: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """A night at Mill Field: a sync, two checks and a go-to with Heron, two objects, a snag."""
    path = Path(shutil.copy(outside_template, tmp_path_factory.mktemp("night") / "club.db"))
    return {"OBSLOG_DB": str(typed(path, TYPED))}


def values(rows: list[Row]) -> list[list[str]]:
    return [list(row.values()) for row in rows]


def test_the_arrivals_of_a_set_up_are_those_that_were_typed(night: dict[str, str]) -> None:
    columns = ("no.", "at", "role", "target", "offset '", "landing", "field '", "pier", "note")
    for shown in screens(night, LATER, "setup", "show"):
        assert shown.in_order(
            "Heron, set-up 1 of the night of 2026-03-02 at Mill Field (open)", "tube Long tube, observer Ines",
            "eyepiece Wide 25",
        )  # fmt: skip
        rows = shown.rows(*columns)
        told = [
            [row[name] for name in ("no.", "at", "role", "target", "offset '", "landing")] for row in rows
        ]
        assert told == [
            ["1", "21:35", "sync", "Regulus", "12.0E 5.0N", ""], ["2", "21:38", "check", "Procyon", "3.0E 4.0N", ""],
            ["3", "21:39", "check", "Pollux", "7.0W 2.0S", ""], ["4", "21:40", "goto", "Castor", "", "in"],
        ]  # fmt: skip
        assert (rows[2]["pier"], rows[2]["note"]) == ("east", "behind a tree")
        # 53 degrees over 40 times (1000 mm and 25 mm) are 1.325 degrees: 79.5'.
        assert float(rows[3]["field '"]) == pytest.approx(79.5, abs=0.05)


def test_the_night_counts_its_arrivals_and_names_who_was_there(night: dict[str, str]) -> None:
    for shown in screens(night, LATER, "night", "show"):
        assert shown.in_order("night of 2026-03-02 at Mill Field (open)", "present Ines")
        assert values(shown.rows("mount", "set-up", "tube", "observer", "arrivals", "open"))[0] == [
            "Heron", "1", "Long tube", "Ines", "4", "open",
        ]  # fmt: skip
    for shown in screens(night, LATER, "night", "list"):
        assert values(shown.rows("night", "site", "set-ups", "arrivals", "open", "present")) == [
            ["2026-03-02", "Mill Field", "1", "4", "open", "Ines"]
        ]


def test_what_was_seen_stands_in_the_order_of_time(night: dict[str, str]) -> None:
    columns = ("_1", "at", "object", "_2", "observer", "magnif.", "alt °", "rating", "description")
    for shown in screens(night, LATER, "observation", "list"):
        first, second = shown.rows(*columns)
        assert [first[name] for name in ("_1", "at", "object", "_2", "observer", "magnif.", "rating")] == [
            "1", "21:32", "M 44", "seen", "Ines", "40x", "3",
        ]  # fmt: skip
        assert first["description"] == "bright and wide"
        # M 44 stands at declination +19.6 and passes the meridian of latitude 52.2 that evening: 90 - 52.2 + 19.6.
        assert float(first["alt °"]) == pytest.approx(57.4, abs=1.0)
        assert [second[name] for name in ("_1", "at", "object", "_2", "observer", "rating")] == [
            "2", "21:36", "M 97", "not seen", "Ines", "",
        ]  # fmt: skip


def test_open_snags_are_listed_with_whom_they_concern(night: dict[str, str]) -> None:
    columns = ("reference", "day", "step", "what happened", "mount", "member", "remedy")
    for shown in screens(night, LATER, "snag", "list"):
        (row,) = shown.rows(*columns)
        assert [row[name] for name in columns[1:]] == [
            "2026-03-02",
            "power",
            "plug loose",
            "Heron",
            "Ines",
            "",
        ]


def test_a_snag_is_listed_by_the_day_of_its_site(in_club: Program) -> None:
    # Half past eleven in the evening in universal time is half past one the day after, two hours to the east.
    in_club.now = datetime(2026, 2, 27, 23, 30, tzinfo=UTC)
    in_club.must("night", "start", "Kestrel Ridge")
    in_club.must("snag", "add", "cables", "plug loose", "--mount", "Heron", "--site", "Kestrel Ridge")
    for shown in screens(in_club.environment, LATER, "snag", "list", widths=[80, None]):
        assert "2026-02-28" in shown.words
        assert "2026-02-27" not in shown.words
    (snag,) = in_club.document("snag", "list")
    assert (snag["day"], snag["at_utc"]) == ("2026-02-28", "2026-02-27T23:30:00Z")


def progress_shown(**changed: Any) -> list[Shown]:
    given: dict[str, Any] = {
        "listed": "messier", "programme": "a club's", "source": "its page", "remark": "Mind it.", "member": "Ines",
        "total": 110, "done": [SeenObject(f"M {n}", date(2026, 1, n), []) for n in range(1, 13)],
        "incomplete": [Incomplete([Needed.SEEING, Needed.APERTURE], 1, "1 seen, but the entry has no seeing")],
        "lacking": [SeenObject("M 97", date(2026, 3, 2), [Needed.SEEING, Needed.APERTURE])],
        "to_see": [f"M {n}" for n in range(14, 111)], "steps": {"half": 70, "first": 10},
        "quotas": [QuotaState("sketches", 4, 25)], "next_month": "April 2026",
        "up_next": [UpNext("M 3", 4.26, 71.6), UpNext("M 5", 0.96, 40.4)], "unknown": ["Foo", "Bar"],
    }  # fmt: skip
    return list(shown_by(lambda screen: show_progress(screen, Progress(**(given | changed)))))


def test_progress_counts_what_is_done_lacking_and_left() -> None:
    for shown in progress_shown():
        assert shown.in_order(
            "Ines: messier, rules: a club's", "complete 12 of 110", "incomplete 1", "to see 97", "half 12 of 70",
            "first 10 of 10", "sketches 4 of 25",
        )  # fmt: skip
        assert values(shown.rows("object", "night of", "lacks"))[0] == [
            "M 97",
            "2026-03-02",
            "seeing, aperture",
        ]
        assert "Up in the dark in the middle of April 2026:" in shown.words
        assert values(shown.rows("object", "hours", "highest °"))[-2:] == [
            ["M 3", "4.3", "72"],
            ["M 5", "1.0", "40"],
        ]
        assert shown.notes == (
            "Unknown here, or wandering among the stars: Foo, Bar Mind it. "
            "Source of the rules: its page. The programme's own pages come first."
        )
    for shown in progress_shown(lacking=[], up_next=None, unknown=[], remark=""):
        assert "lacks" not in shown.words
        assert "Up in the dark" not in shown.words
        assert shown.notes.startswith("Source of the rules")


def test_the_officers_report_counts_the_night_and_the_store_room(night: dict[str, str]) -> None:
    """Its other numbers are held against records in tests/club/annual and tests/report."""
    for shown in screens(night, datetime(2026, 3, 3, 12, tzinfo=UTC), "officer", "report"):
        assert shown.in_order(
            "The store-room from 2025-03-03 to 2026-03-02 (365 days)",
            "1 night at 1 site; 1 set-up of 1 mount by 1 observer.",
            "too few set-ups with landing data: 1 in the period and 0 in the period before, where at least 6",
            "Neither lent nor used: ",
            "0 loans to 0 borrowers (0 handed over)",
            "Overdue on 2026-03-03: 0.",
            "0 acquired; 0 retired. Date unknown: 7.",  # three mounts, a tube, two eyepieces, a battery
            "7 values not known, and left out of the sums.",
        )
        held = cells(section(shown, "VALUES BY HOLDER, ON 2026-03-03"), "with", "value", "items")
        assert held == [["the store", "unknown (7 values unknown)", "7"]]
