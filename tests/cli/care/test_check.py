"""A full check at the keyboard: what is grave, what is worth knowing, what to do, and what --repair did."""

from pathlib import Path

import pytest

from obslog.records.care import checking
from tests.cli.program import Program
from tests.cli.screens import WIDTHS, screens
from tests.records.care.spoilt import spoil


@pytest.fixture(autouse=True)
def _a_quiet_place(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever the machine that runs the tests is; the place has tests of its own."""
    monkeypatch.setattr(checking, "surroundings", lambda *_, **__: [])


@pytest.fixture
def path(outside: Program) -> Path:
    outside.must("snag", "add", "power", "flat battery")
    return Path(outside.environment["OBSLOG_DB"])


def test_what_is_worth_knowing_is_said_after_that_there_is_no_damage(outside: Program, path: Path) -> None:
    spoil(path, "CREATE TABLE balloons (id TEXT)")
    for shown in screens(outside.environment, outside.now, "db", "check", widths=WIDTHS):
        assert shown.words.startswith("No damage found.")
        assert (
            "Worth knowing: Not of this program: 1 table (balloons). Another program put them there."
            in shown.words
        )
        assert shown.notes == ""
    document = outside.document("db", "check")
    assert document["complaints"] == []
    assert [(one["subject"], one["grave"], one["count"]) for one in document["findings"]] == [
        ("schema", False, 1)
    ]


def test_what_can_be_put_right_is_advised_and_done_when_asked(outside: Program, path: Path) -> None:
    spoil(path, "UPDATE snags SET search_text = 'frost'", "DROP INDEX ix_setups_mount_id")
    told = outside("db", "check")
    assert told.code == 1
    assert told.error_lines[1].endswith("obslog db check --repair")
    done = outside.must("db", "check", "--repair").out.splitlines()
    copy = path.with_name(f"{path.stem}.before-repair-{outside.now:%Y%m%dT%H%M%SZ}.db")
    assert done[:4] == [
        f"A copy of the file as it was: {copy}",
        "The index ix_setups_mount_id was made anew.",
        "The search text of 1 row of snags was made anew.",
        "Results that were kept are dropped; they are computed anew when they are needed.",
    ]
    assert done[4] == "No damage found."
    assert copy.exists()
    document = outside.document("db", "check", "--repair")
    assert (document["repaired"], document["copy"]) == (["Nothing was found that this can mend."], None)


def test_what_cannot_be_put_right_is_advice_with_an_example(outside: Program, path: Path) -> None:
    spoil(path, "UPDATE sites SET lat_deg = 95 WHERE name_key = (SELECT min(name_key) FROM sites)")
    told = outside("db", "check", "--repair")
    assert told.code == 1
    assert told.out.splitlines()[:3] == [
        "Nothing was found that this can mend.",
        "Grave:",
        "  1 row of sites with lat_deg outside of -90 to 90.",
    ]
    assert "    Example: key " in told.out
    assert "edit command of its kind" in told.out
    assert told.error_lines[1].endswith("obslog db restore")
    assert outside("db", "check", "--json").document["kept"] is None, "nothing is computed from such a file"


def test_many_single_cases_are_cut_short_on_the_screen_alone(outside: Program, path: Path) -> None:
    rows = ", ".join(f"('{n}', 'none', '2026-02-{n:02}', 0)" for n in range(1, 15))
    spoil(path, f"INSERT INTO nights (id, site_id, night_of, open) VALUES {rows}")
    told = outside("db", "check")
    assert told.out.count("refers to no sites") == 10
    assert "and 4 more (--json has all)" in told.out
    lines = [line for line in outside("db", "check", "--json").document["complaints"] if "sites" in line]
    assert len(lines) == 14
