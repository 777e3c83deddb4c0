"""Progress through a list: what is complete, what an entry lacks, and what comes up next."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run


def test_progress_tells_what_is_done_and_what_an_entry_lacks(at_heron: Run) -> None:
    for words in (
        ("saw", "M", "81", "-n", "oval glow"),
        ("saw", "M", "82"),
        ("saw", "M", "44", "--suspected", "-n", "perhaps"),
    ):
        assert at_heron(*words).code == 0
    found = at_heron(
        "progress", "messier", "--member", "Ines", "--programme", "messier-described", "--site", "Mill Field", "--json"
    ).document  # fmt: skip
    assert [one["name"] for one in found["done"]] == ["M 81"]
    assert [(one["name"], one["lacks"]) for one in found["lacking"]] == [("M 82", ["description"])]
    assert found["total"] == 110
    assert len(found["to_see"]) == 108
    assert "M 44" in found["to_see"]
    assert found["next_month"] == "2026-04"
    assert {one["name"] for one in found["up_next"]} <= set(found["to_see"])
    text = at_heron("progress", "messier", "--member", "Ines", "--programme", "messier-described")
    assert "1 of 70" in text.out
    assert "tristateastronomers.org" in text.err


def test_what_was_seen_without_a_magnification_is_counted_apart_and_named(at_heron: Run) -> None:
    """Without a set-up nothing gives a magnification; Ines saw three so, one of them without a word on it."""
    assert at_heron("setup", "end").code == 0
    for words in (
        ("saw", "M", "81", "-n", "oval glow", "-o", "Ines"),
        ("saw", "M", "82", "-o", "Ines"),
        ("saw", "M", "44", "-o", "Ines", "-n", "a swarm"),
        ("saw", "M", "3", "-o", "Ines", "-n", "round", "--magnification", "40", "--at", "21:20"),
    ):
        assert at_heron(*words, "--sure").code == 0
    command = ("progress", "messier", "--member", "Ines", "--programme", "messier-described")
    found = at_heron(*command, "--json").document
    magnified = {"lacks": ["aperture", "magnification"], "count": 2}
    silent = {"lacks": ["aperture", "magnification", "description"], "count": 1}
    only = {"lacks": ["aperture"], "count": 1}
    said = "seen, but the entry has no aperture"
    assert found["incomplete"] == [
        magnified | {"words": f"{said} and no magnification"},
        only | {"words": said},
        silent | {"words": f"{said}, no magnification and no description"},
    ]
    assert sum(one["count"] for one in found["incomplete"]) == len(found["lacking"]) == 4
    assert (found["done"], len(found["to_see"])) == ([], 110 - 4)
    lines = at_heron(*command).out.splitlines()
    assert lines[1:4] == ["complete\t0 of 110", "incomplete\t4", "to see\t106"]
    told = [line for line in lines if "seen, but" in line]
    assert told == [
        f"2 {said} and no magnification",
        f"1 {said}",
        f"1 {said}, no magnification and no description",
    ]
    assert told == [f"{one['count']} {one['words']}" for one in found["incomplete"]]


def test_a_magnification_added_later_completes_the_entry(at_heron: Run) -> None:
    """With a tube and no eyepiece at it, the magnification alone is lacking, until it is told."""
    at_heron("setup", "end")
    optics = ("--tube", "Long tube", "--eyepiece", "none")
    at_heron("setup", "start", "Heron", *optics, "--observer", "Ines", "--at", "20:30")
    assert at_heron("saw", "M", "81", "-n", "oval glow").code == 0
    command = ("progress", "messier", "--member", "Ines", "--programme", "messier-described")
    assert "1 seen, but the entry has no magnification" in at_heron(*command).out.splitlines()
    assert at_heron("observation", "edit", "1", "--magnification", "40").code == 0
    answer = at_heron(*command)
    assert "seen, but" not in answer.out
    assert "complete\t1 of 110" in answer.out.splitlines()
    assert at_heron(*command, "--json").document["incomplete"] == []


def test_progress_with_a_list_of_ones_own(at_heron: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "doubles.csv"
    sheet.write_text("Mizar\nAlbireo\nNobody's star\n", encoding="utf-8")
    found = at_heron("progress", str(sheet), "--member", "Ines", "--json").document
    assert (found["total"], found["unknown"], found["up_next"]) == (2, ["Nobody's star"], None)


@pytest.mark.parametrize(
    "words",
    [
        ("mesier", "--member", "Ines"),
        ("messier", "--member", "Nobody"),
        ("messier", "--member", "Ines", "--programme", "nobody's"),
    ],
)
def test_a_list_member_or_programme_that_is_not_known_is_refused_in_two_lines(
    at_heron: Run, words: tuple[str, ...]
) -> None:
    answer = at_heron("progress", *words)
    assert (answer.code, answer.out, len(answer.err.splitlines())) == (2, "", 2)
