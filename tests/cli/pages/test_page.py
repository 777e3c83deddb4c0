"""The pages of a mount and of a night at the keyboard."""

from pathlib import Path

from tests.cli.program import Program


def test_the_page_of_a_mount_and_its_facts(outside: Program, tmp_path: Path) -> None:
    page = tmp_path / "heron.html"
    facts = outside.document("page", "mount", "heron", "--out", str(page))
    assert facts["mount"] == "Heron"
    assert "<h1>The mount Heron" in page.read_text(encoding="utf-8")


def test_the_page_of_a_night_and_its_facts(outside: Program, tmp_path: Path) -> None:
    page = tmp_path / "night.html"
    facts = outside.document("page", "night", "2026-03-02", "--out", str(page))
    assert facts["site"] == "Mill Field"
    assert "Mill Field" in page.read_text(encoding="utf-8")


def test_where_two_sites_had_a_night_the_site_says_which(outside: Program, tmp_path: Path) -> None:
    outside.must("night", "start", "Kestrel Ridge", "--on", "2026-03-02")
    page = str(tmp_path / "night.html")
    asked = outside.document("page", "night", "2026-03-02", "--site", "kestrel", "--out", page)
    assert asked["site"] == "Kestrel Ridge"


def test_a_night_that_is_not_on_record_is_said_and_nothing_is_written(
    outside: Program, tmp_path: Path
) -> None:
    page = tmp_path / "night.html"
    answer = outside("page", "night", "2025-03-02", "--out", str(page))
    assert (answer.code, len(answer.error_lines), page.exists()) == (1, 2, False)
