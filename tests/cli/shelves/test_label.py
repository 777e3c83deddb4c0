"""Labels from the command line."""

from pathlib import Path

import pytest

from tests.cli.conftest import Run


def test_labels_are_written_and_what_has_no_tag_is_named(run: Run, tmp_path: Path) -> None:
    run("store", "note", "Heron", "--tag", "M-01")
    path = tmp_path / "labels.pdf"
    answer = run("label", "--all", "--out", str(path), "--size", "38x21", "--from", "5")
    assert answer.out == f"Written: {path}, 1 label on 1 page\n"
    assert "Wide 25" in answer.err
    assert path.read_bytes().startswith(b"%PDF-")


@pytest.mark.parametrize("words", [[], ["Heron", "--all"], ["--all", "--place", "attic"]])
def test_one_way_of_saying_which_is_wanted(run: Run, tmp_path: Path, words: list[str]) -> None:
    answer = run("label", *words, "--out", str(tmp_path / "labels.pdf"))
    assert answer.code == 2
    assert "Labels of which items?" in answer.err


def test_an_item_without_a_tag_is_refused_with_what_to_do(run: Run, tmp_path: Path) -> None:
    answer = run("label", "Heron", "--out", str(tmp_path / "labels.pdf"))
    assert answer.code == 2
    assert "obslog store note Heron --tag TAG" in answer.err
    assert not (tmp_path / "labels.pdf").exists()
