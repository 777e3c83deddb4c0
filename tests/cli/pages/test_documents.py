"""What pages say to scripts is what the commands say that tell the same."""

from pathlib import Path

from tests.cli.program import Program


def test_a_mounts_page_agrees_with_trend_fit_and_budget(outside: Program, tmp_path: Path) -> None:
    facts = outside.document("page", "mount", "Heron", "--out", str(tmp_path / "heron.html"))
    assert facts["trend"] == outside.document("pointing", "trend", "Heron")
    assert facts["fit"] == outside.document("pointing", "fit", "Heron")
    assert facts["budget"] == outside.document("pointing", "budget", "Heron")
    assert facts["fit"]["tube"] == "Long tube"
    assert len(facts["residuals"]) == 1  # a sync and a check, which is measured from it


def test_a_mount_that_has_nothing_on_record_says_so_and_has_the_same_keys(
    outside: Program, tmp_path: Path
) -> None:
    known, new = (
        outside.document("page", "mount", name, "--out", str(tmp_path / "mount.html"))
        for name in ("Heron", "Bracken")
    )
    assert known.keys() == new.keys()
    assert (new["trend"], new["fit"], new["budget"], new["axes"]) == (None, None, None, [])
    assert new["not_computed"].startswith("There is nothing to compute")


def test_a_nights_page_has_all_that_showing_it_gives(outside: Program, tmp_path: Path) -> None:
    facts = outside.document("page", "night", "2026-03-02", "--out", str(tmp_path / "night.html"))
    shown = outside.document("night", "show")
    assert {key: facts[key] for key in shown} == shown
    assert [place["target"] for place in facts["places"]] == ["Regulus", "Procyon"]
